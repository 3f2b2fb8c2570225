"""Looser versions of rules: the smallest changes that would help, from small to large.

Worked by hand on greys, where CIEDE2000 is |L1 - L2| / (1 + 0.015 m² / sqrt(20 + m²)) with m the mean
lightness less 50 (Sharma, Wu & Dalal 2005, eqs. 8 and 15).
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
import shapely
from grounds import make_survey, random_survey

from palette.demands import check_scheme
from palette.rules import (
    AnyOrder,
    Clash,
    Depth,
    Different,
    Families,
    Hatch,
    Never,
    Only,
    Pin,
    Quota,
    Same,
    Seam,
    Share,
    Spacing,
    Stock,
    Stripe,
    Variety,
)
from palette.scheme import Scheme

# Greys of L* 20, 50 and 80: 20 and 80 differ by 60, the other two pairs by 24.6786.
GREYS = np.array([[[20, 0, 0]], [[50, 0, 0]], [[80, 0, 0]]], float)
# Three strong colours of L* 50 and chroma 60, at hue angles of 0, 12.34 and 100 degrees.
HUES = np.array(
    [[[50, 60 * np.cos(np.radians(h)), 60 * np.sin(np.radians(h))]] for h in (0.0, 12.34, 100.0)]
)
BOXES = [shapely.box(0, y, 100, y + 90) for y in (0, 100, 250, 350)]


def wall(labs=GREYS, **given):
    return make_survey(BOXES, [(0, 1, 90.0), (1, 2, 90.0), (2, 3, 90.0)], labs, **given)


def told(rule, survey):
    return [[change for change, _ in ladder] for ladder in rule.looser(survey)]


def values(rule, survey, key):
    """Return a key's values along the one ladder that changes it; nothing else changes on the way."""
    ladders = [
        ladder
        for ladder in rule.looser(survey)
        if ladder and getattr(ladder[0][1], key) != getattr(rule, key)
    ]
    (ladder,) = ladders
    for _, looser in ladder:
        assert replace(looser, **{key: getattr(rule, key)}) == rule
    return [getattr(looser, key) for _, looser in ladder]


@pytest.mark.parametrize("kind", ["clash", "seam", "any-order"])
def test_a_smaller_difference_is_one_that_some_pair_just_passes(kind):
    make = {"clash": Clash, "seam": Seam, "any-order": AnyOrder}[kind]
    rule = make(min_difference=70.0, min_hue_angle=None)
    # Rounded down to tenths, greatest first, and off in the end.
    assert values(rule, wall(), "min_difference") == [60.0, 24.6, None]
    assert told(rule, wall()) == [
        [
            f"lower min_difference of {kind} to 60",
            f"lower min_difference of {kind} to 24.6",
            f"switch min_difference of {kind} off",
        ]
    ]
    assert values(make(min_difference=60.0, min_hue_angle=None), wall(), "min_difference") == [24.6, None]
    assert values(make(min_difference=20.0, min_hue_angle=None), wall(), "min_difference") == [None]


@pytest.mark.parametrize("kind", ["clash", "seam", "any-order"])
def test_a_smaller_angle_is_one_that_some_pair_just_passes(kind):
    make = {"clash": Clash, "seam": Seam, "any-order": AnyOrder}[kind]
    rule = make(min_difference=None, min_hue_angle=90.0)
    assert values(rule, wall(HUES), "min_hue_angle") == [87.6, 12.3, None]
    assert told(rule, wall(HUES)) == [
        [
            f"lower min_hue_angle of {kind} to 87.6",
            f"lower min_hue_angle of {kind} to 12.3",
            f"switch min_hue_angle of {kind} off",
        ]
    ]


def test_both_halves_have_a_ladder_of_their_own():
    rule = Clash(min_difference=20.0, min_hue_angle=20.0)
    assert [len(ladder) for ladder in told(rule, wall(HUES))] == [2, 2]
    assert told(Clash(min_difference=None, min_hue_angle=None), wall()) == []


def test_to_colour_blind_eyes_greys_are_the_greys_they_are():
    rule = Clash(min_difference=70.0, min_hue_angle=None, eyes=("deutan", "tritan"))
    assert values(rule, wall(), "min_difference") == pytest.approx(
        [60.0, 24.6, None], nan_ok=True, abs=0.11
    )


def test_only_the_chosen_lights_are_looked_at():
    two = np.concatenate([GREYS, GREYS * [0.5, 1, 1]], axis=1)
    rule = Clash(min_difference=70.0, min_hue_angle=None, lights=("daylight",))
    assert values(rule, wall(two), "min_difference") == [60.0, 24.6, None]
    # In the other light 10 and 40 differ by 22.4, 25 and 40 by 11.9, 10 and 25 by 10.3.
    both = values(replace(rule, lights=None), wall(two), "min_difference")
    darker = [30 / (1 + 0.015 * 625 / 645**0.5), 15 / (1 + 0.015 * 17.5**2 / (20 + 17.5**2) ** 0.5)]
    darker.append(15 / (1 + 0.015 * 32.5**2 / (20 + 32.5**2) ** 0.5))
    assert both == [pytest.approx(np.floor(value * 10) / 10) for value in sorted(darker)[::-1]] + [None]


def test_more_tolerance_is_a_step_of_lightness_that_the_shelf_has():
    assert values(Depth(), wall(), "tolerance") == [30.0, 60.0]
    assert values(Depth(tolerance=30.0), wall(), "tolerance") == [60.0]
    assert told(Depth(), wall()) == [
        ["raise the tolerance of depth to 30 L*", "raise the tolerance of depth to 60 L*"]
    ]
    # Rounded up to tenths, so that the step passes.
    odd = np.array([[[20, 0, 0]], [[50.04, 0, 0]]], float)
    assert values(Depth(), wall(odd), "tolerance") == [30.1]


def test_fewer_bands_are_unions_of_the_bands_there_were():
    """Four bands are no union of six: who keeps six need not keep four, so they are no ladder."""
    rule = Depth(bands=12, tolerance=60.0)
    assert told(rule, wall())[1:] == [
        ["compare 6 bands of height instead of 12", "compare 3 bands of height instead of 12"],
        ["compare 4 bands of height instead of 12", "compare 2 bands of height instead of 12"],
    ]
    assert [[looser.bands for _, looser in ladder] for ladder in rule.looser(wall())][1:] == [
        [6, 3],
        [4, 2],
    ]
    assert values(Depth(bands=8, tolerance=60.0), wall(), "bands") == [4, 2]
    assert len(told(Depth(bands=2), wall())) == len(told(Depth(bands=7), wall())) == 1


def test_more_rise_passes_a_height_that_two_slabs_have():
    """Centres at 45, 145, 295 and 395 mm: 100, 150, 250 and 350 apart. A hair more excuses them."""
    rule = Depth(by="order", rise=0.0, tolerance=60.0)
    steps = values(rule, wall(), "rise")
    assert steps == [1.0, 101.0, 151.0, 251.0, 351.0]
    assert told(rule, wall())[1][1] == "raise the rise of depth to 101 mm"
    assert values(replace(rule, rise=150.0), wall(), "rise") == [151.0, 251.0, 351.0]


def test_a_distance_is_shortened_by_tenths():
    rule = Spacing(distance=200.0)
    assert values(rule, wall(), "distance") == pytest.approx([180, 160, 140, 120, 100, 80, 60, 40, 20])
    assert told(rule, wall())[0][::8] == [
        "shorten the distance of spacing to 180 mm",
        "shorten the distance of spacing to 20 mm",
    ]


def test_one_more_can_of_each_limited_paint_in_turn():
    """Cans the trade sells, from 50 mL to 20 L; what was to be had already stays to be had."""
    survey = wall(stock_l=[0.5, None, 0.25])
    rule = Stock(extra=(("paint-2", 0.25), ("paint-1", 1.0)))
    first, second = told(rule, survey)
    assert first[0] == "get 0.05 L more of paint-0"
    assert first[-1] == "get 20 L more of paint-0"
    assert second[0] == "get 0.05 L more of paint-2"
    cans = [0.05, 0.1, 0.25, 0.5, 0.75, 1, 1.5, 2, 3, 5, 10, 20]
    ladders = list(rule.looser(survey))
    assert [dict(looser.extra)["paint-0"] for _, looser in ladders[0]] == cans
    assert [dict(looser.extra)["paint-2"] for _, looser in ladders[1]] == [0.25 + can for can in cans]
    assert all(dict(looser.extra)["paint-1"] == 1.0 for ladder in ladders for _, looser in ladder)
    assert all(dict(looser.extra)["paint-2"] == 0.25 for _, looser in ladders[0])


def test_counts_go_step_by_step_to_their_ends():
    survey = wall()
    assert values(Quota(at_least=3), survey, "at_least") == [2, 1, 0]
    assert values(Quota(at_most=1), survey, "at_most") == [2, 3, 4]
    assert values(Variety(at_least=2, at_most=2), survey, "at_least") == [1, 0]
    assert values(Variety(at_least=2, at_most=2), survey, "at_most") == [3]
    assert told(Quota(at_least=1, at_most=3), survey) == [
        ["ask quota for at least 0 sections"],
        ["allow quota up to 4 sections"],
    ]
    assert told(Variety(at_least=1), survey) == [["ask variety for at least 0 different paints"]]
    assert told(Quota(at_least=2), survey) == [
        ["ask quota for at least 1 section", "ask quota for at least 0 sections"]
    ]
    assert told(Variety(at_least=2), survey)[0][0] == "ask variety for at least 1 different paint"
    assert told(Variety(at_most=2), survey)[1] == ["allow variety up to 3 different paints"]


def test_shares_go_by_hundredths():
    survey = wall()
    assert values(Share(at_least=0.03), survey, "at_least") == [0.02, 0.01, 0.0]
    assert values(Share(at_least=0.025), survey, "at_least") == [0.02, 0.01, 0.0]
    assert values(Share(at_most=0.97), survey, "at_most") == [0.98, 0.99, 1.0]
    assert values(Share(at_most=0.975), survey, "at_most") == [0.98, 0.99, 1.0]
    assert told(Share(at_least=0.01, at_most=0.99), survey) == [
        ["ask share for at least 0%"],
        ["allow share up to 100%"],
    ]
    assert len(told(Share(at_most=0.5), survey)) == 1


def test_a_hatch_may_show_more_up_to_three_times_as_much():
    rule = Hatch(ratio=2.7, both_sides=False, mixed_sides=False)
    assert values(rule, wall(), "ratio") == [2.8, 2.9, 3.0]
    assert told(Hatch(ratio=2.9), wall()) == [
        ["raise the ratio of hatch to 3"],
        ["switch both_sides of hatch off"],
        ["switch mixed_sides of hatch off"],
    ]
    assert values(Hatch(ratio=2.9), wall(), "both_sides") == [False]
    assert values(Hatch(ratio=2.9), wall(), "mixed_sides") == [False]


@pytest.mark.parametrize(
    "rule",
    [
        Pin(paint="paint-0"),
        Only(paints=("paint-0",)),
        Never(paints=("paint-0",)),
        Same(sections=("s000", "s001")),
        Different(sections=("s000", "s001")),
        Families(apart=(("red", "red"),)),
        Stripe(),
    ],
)
def test_some_rules_can_only_be_left_out(rule):
    assert list(rule.looser(wall())) == []


@pytest.mark.parametrize("seed", range(4))
def test_whatever_keeps_a_rung_keeps_the_rungs_after_it(seed):
    rng = np.random.default_rng(seed)
    survey = random_survey(rng)
    paints = survey.appearance.paints
    rules = [
        Clash(min_difference=40.0, min_hue_angle=60.0),
        Depth(by="order", rise=0.0),
        Depth(bands=12),
        Spacing(distance=300.0),
        Stock(),
        Quota(at_least=2, at_most=2),
        Share(at_least=0.2, at_most=0.3),
        Variety(at_least=3, at_most=3),
        Hatch(ratio=0.5),
    ]
    for rule in [rule for rule in rules if not list(rule.faults(survey))]:
        for ladder in rule.looser(survey):
            rungs = [rule, *(looser for _, looser in ladder)]
            for _ in range(5):
                chosen = rng.integers(len(paints), size=len(survey.panel.ids)).tolist()
                paint_of = dict(zip(survey.panel.ids, [paints[k] for k in chosen], strict=True))
                scheme = Scheme(paint_of=MappingProxyType(paint_of))
                kept = [check_scheme(survey, [rung], scheme).kept for rung in rungs]
                assert kept == sorted(kept), (rule, paint_of)
