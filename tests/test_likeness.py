"""When two paints pass for one: too small a difference, or one strong hue; either is enough."""

from __future__ import annotations

import numpy as np
import pytest

from palette.likeness import likeness_sentence, look_alike, too_near_in_hue

# CIEDE2000 of the pairs as Sharma, Wu & Dalal 2005 have it for greys, and plainly large for the rest.
GREY, NEAR_GREY = (50.0, 0, 0), (52.0, 0, 0)
DARK_RED, LIGHT_RED, GREEN = (25.0, 60, 0), (85.0, 60, 5), (60.0, -60, 40)


@pytest.mark.parametrize(
    ("one", "two", "difference", "alike"),
    [
        (GREY, NEAR_GREY, 2.0, True),
        (DARK_RED, LIGHT_RED, 55.0, True),
        (LIGHT_RED, GREEN, 80.0, False),
        (GREY, GREEN, 40.0, False),
        (GREY, GREEN, 20.0, False),
        (GREY, GREEN, 19.9, True),
    ],
)
def test_either_half_makes_two_paints_alike(one, two, difference, alike):
    table = np.array([[0.0, difference], [difference, 0]])
    assert look_alike(np.array([one, two]), table)[0, 1] == alike


def test_only_strong_colours_have_a_hue_to_be_near_in():
    lab = np.array([[50.0, 25, 0], [50, 25.1, 0], [50, 0, 25.1], [80, 60, 1]])
    near = too_near_in_hue(lab)
    assert near.tolist() == [
        [False, False, False, False],
        [False, True, False, True],
        [False, False, True, False],
        [False, True, False, True],
    ]
    # Hue angles of 0 and 1 degree, 1 apart; at least so many degrees are enough.
    angle = float(np.degrees(np.arctan2(1, 60)))
    assert not too_near_in_hue(lab, min_hue_angle=angle - 1e-9)[1, 3]
    assert too_near_in_hue(lab, min_hue_angle=angle + 1e-9)[1, 3]


def test_a_pair_is_told_light_by_light():
    told = likeness_sentence(
        "moss",
        "fern",
        {"D65": 30.0, "A": 25.0, "led-395": 3.0, "led-365": 40.0},
        {"D65": False, "A": False, "led-395": True, "led-365": True},
    )
    assert told == "moss and fern: far apart under D65 and A, of one hue under led-365, twins under led-395"
    three = likeness_sentence("a", "b", dict.fromkeys("XYZ", 50.0), dict.fromkeys("XYZ", False))
    assert three == "a and b: far apart under X, Y and Z"
    assert likeness_sentence("a", "b", {"X": 20.0}, {"X": True}) == "a and b: of one hue under X"
