"""Darker toward the top."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
import shapely
from grounds import make_survey

from palette.demands import check_scheme
from palette.rules import Depth
from palette.scheme import Scheme

# L* 20, 50 and 80: dark, middle, light.
LABS = np.array([[[20, 0, 0]], [[50, 0, 0]], [[80, 0, 0]]], float)


def column(*tops: float):
    """Return sections 100 mm tall, one under another, with these top edges (mm, y down)."""
    boxes = [shapely.box(0, top, 100, top + 100) for top in tops]
    return make_survey(boxes, [], LABS)


def painted(*paints: int) -> Scheme:
    return Scheme(paint_of=MappingProxyType({f"s{k:03d}": f"paint-{p}" for k, p in enumerate(paints)}))


WALL = column(0, 100, 200, 300, 400, 500)


@pytest.mark.parametrize(
    ("paints", "broken"),
    [
        ((0, 0, 1, 1, 2, 2), 0),
        ((0, 0, 0, 0, 0, 0), 0),
        ((2, 2, 1, 1, 0, 0), 4),  # upside down: both upper bands are too light
        ((0, 0, 1, 2, 1, 2), 1),  # only the light one in the middle band
        ((1, 0, 1, 0, 2, 2), 1),
    ],
)
def test_bands_compare_whole_bands(paints, broken):
    assert len(check_scheme(WALL, [Depth(bands=3)], painted(*paints)).breaches) == broken


def test_order_compares_every_section():
    assert check_scheme(WALL, [Depth(by="order")], painted(0, 0, 1, 1, 2, 2)).kept
    (breach,) = check_scheme(WALL, [Depth(by="order")], painted(0, 1, 0, 1, 2, 2)).breaches
    assert breach.sections == ("s001", "s002")
    assert breach.sentence == (
        "s001 (paint-1) stands higher than s002 (paint-0) but is 30.0 L* lighter under daylight."
    )


def test_rise_excuses_sections_of_one_course():
    survey = column(0, 60)
    assert not check_scheme(survey, [Depth(by="order", rise=60.0)], painted(2, 0)).kept
    assert check_scheme(survey, [Depth(by="order", rise=61.0)], painted(2, 0)).kept
    assert check_scheme(survey, [Depth(by="order")], painted(2, 0)).kept


def test_equal_heights_are_never_compared():
    survey = column(0, 0)
    assert check_scheme(survey, [Depth(by="order", rise=0.0)], painted(2, 0)).kept


def test_tolerance_is_in_lightness():
    assert check_scheme(WALL, [Depth(tolerance=30.0)], painted(1, 1, 0, 0, 1, 1)).kept
    assert not check_scheme(WALL, [Depth(tolerance=29.9)], painted(1, 1, 0, 0, 1, 1)).kept


def test_sentence_is_plain():
    assert Depth().sentence() == (
        "Cut into 3 bands of height, no section is lighter than one in a lower band, under daylight."
    )
    assert Depth(by="order", tolerance=5.0, light=("blacklight",)).sentence() == (
        "No section is lighter than one that stands lower by at least 100 mm by more than 5 L*, "
        "under blacklight."
    )
