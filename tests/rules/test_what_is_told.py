"""What a breach tells: its sentence and its figures, each worked out by hand on a small wall.

The figures' names are those of the published `answer-check.schema.json`.
"""

from __future__ import annotations

import json
from dataclasses import replace
from importlib.resources import files
from types import MappingProxyType

import numpy as np
import pytest
import shapely
from grounds import make_survey

from palette.demands import Verdict, check_scheme
from palette.errors import InputError, NoScheme
from palette.report import verdict_to_dict
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
from palette.solving import solve

# L* 20, 50 and 80, no hue; then a red and an orange by CIELAB hue angle (37 and 67 degrees).
LABS = np.array([[[20, 0, 0]], [[50, 0, 0]], [[80, 0, 0]], [[50, 60, 45]], [[70, 30, 70]]], float)


def painted(*paints: int) -> Scheme:
    return Scheme(paint_of=MappingProxyType({f"s{k:03d}": f"paint-{p}" for k, p in enumerate(paints)}))


def row(**given):
    """Three slabs of 100 x 100 mm side by side, 6 mm apart, on a wall of 312 x 100 mm."""
    boxes = [shapely.box(k * 106, 0, k * 106 + 100, 100) for k in range(3)]
    return make_survey(boxes, [(0, 1, 100.0), (1, 2, 100.0)], LABS, **given)


def column(**given):
    """Two slabs of 100 x 97 mm, one over the other, on a wall 200 mm high."""
    boxes = [shapely.box(0, 0, 100, 97), shapely.box(0, 103, 100, 200)]
    return make_survey(boxes, [(0, 1, 100.0)], LABS, **given)


def run():
    """Two panels of one slab each, side by side."""
    boxes = [shapely.box(0, 0, 100, 300), shapely.box(100, 0, 200, 250)]
    return make_survey(boxes, [], LABS, members=[("west", 0, 100, (0,)), ("east", 100, 100, (1,))])


def hatch_wall():
    """A hatch of two slabs, one over the other, beside two others."""
    boxes = [shapely.box(x, y, x + 100, y + 100) for x, y in ((0, 0), (0, 106), (106, 0), (106, 106))]
    contacts = [(0, 1, 100.0), (2, 3, 100.0), (0, 2, 100.0), (1, 3, 100.0)]
    return make_survey(boxes, contacts, LABS, hatch=shapely.box(-3, -3, 103, 209))


CASES = [
    (Pin(sections=("s001",), paint="paint-0"), row, (0, 1, 2),
     ("s001",), "s001 is paint-1, not paint-0.", {"section": "s001", "paint": "paint-1"}),
    (Only(sections=("s001",), paints=("paint-0", "paint-2", "paint-3")), row, (0, 1, 2),
     ("s001",), "s001 is paint-1, which is not paint-0, paint-2 or paint-3.",
     {"section": "s001", "paint": "paint-1"}),
    (Never(sections=("s001",), paints=("paint-1",)), row, (0, 1, 2),
     ("s001",), "s001 is paint-1.", {"section": "s001", "paint": "paint-1"}),
    (Same(sections=("s000", "s002")), row, (0, 1, 2),
     ("s000", "s002"), "s000 (paint-0) and s002 (paint-2) do not have the same paint.",
     {"a": "s000", "b": "s002", "paints": ["paint-0", "paint-2"]}),
    (Different(sections=("s000", "s002")), row, (1, 0, 1),
     ("s000", "s002"), "s000 (paint-1) and s002 (paint-1) have the same paint.",
     {"a": "s000", "b": "s002", "paints": ["paint-1", "paint-1"]}),
    # 2 x 100 x 100 mm² in two coats at 7 m²/L, a tenth wasted: 6.286 ml; 2 ml on the shelf, 1 to be had.
    (Stock(extra=(("paint-1", 0.001),)), lambda: row(stock_l=[None, 0.002, None, None, None]), (1, 0, 1),
     ("s000", "s002"), "paint-1: 0.01 L are needed, 0.00 L are on hand.",
     {"paint": "paint-1", "needed_l": 0.02 * 2 / 7 * 1.1, "stock_l": 0.003}),
    (Variety(at_most=2), row, (2, 0, 1), (), "3 different paints are used, not at most 2.",
     {"used": ["paint-0", "paint-1", "paint-2"]}),
    (Variety(at_least=4), row, (2, 0, 1), (), "3 different paints are used, not at least 4.",
     {"used": ["paint-0", "paint-1", "paint-2"]}),
    (Variety(at_least=2), row, (1, 1, 1), (), "1 different paint is used, not at least 2.",
     {"used": ["paint-1"]}),
    (Quota(paints=("paint-0",), at_most=0), row, (1, 0, 1), ("s001",),
     "paint-0 is on 1 section, not at most 0.", {"paint": "paint-0", "count": 1}),
    (Quota(paints=("paint-1",), at_most=1), row, (1, 0, 1), ("s000", "s002"),
     "paint-1 is on 2 sections, not at most 1.", {"paint": "paint-1", "count": 2}),
    (Quota(paints=("paint-3",), at_least=1, at_most=2), row, (1, 0, 1), (),
     "paint-3 is on 0 sections, not between 1 and 2.", {"paint": "paint-3", "count": 0}),
    (Quota(paints=("paint-1",), at_least=3, at_most=3), row, (1, 0, 1), ("s000", "s002"),
     "paint-1 is on 2 sections, not exactly 3.", {"paint": "paint-1", "count": 2}),
    (Share(paints=("paint-1",), at_most=0.5), row, (1, 0, 1), ("s000", "s002"),
     "paint-1 covers 66.7% of the painted area, not 0% to 50%.", {"paint": "paint-1", "share": 2 / 3}),
    (Spacing(distance=200.0), row, (1, 0, 1), ("s000", "s002"),
     "s000 and s002, both paint-1, are 112 mm apart.",
     {"a": "s000", "b": "s002", "paint": "paint-1", "distance_mm": 112.0}),
    (Stripe(), row, (1, 1, 1), ("s000", "s001", "s002"),
     "s000, s001 and s002, all paint-1, stand in a line.",
     {"paint": "paint-1"}),
    (Families(apart=(("red", "orange"),)), row, (3, 4, 0), ("s000", "s001"),
     "s000 (paint-3) and s001 (paint-4) are red beside orange under daylight.",
     {"a": "s000", "b": "s001", "paints": ["paint-3", "paint-4"]}),
    (Depth(bands=2), column, (2, 0), ("s000", "s001"),
     "s000 (paint-2) stands higher than s001 (paint-0) but is 60.0 L* lighter under daylight.",
     {"upper": "s000", "lower": "s001", "light": "daylight", "lightness": [80.0, 20.0], "excess": 60.0}),
    (Depth(by="given"), lambda: column(depths=[1.0, 2.0]), (0, 1), ("s001", "s000"),
     "s001 (paint-1) is given as farther back than s000 (paint-0) but is 30.0 L* lighter under daylight.",
     {"upper": "s001", "lower": "s000", "light": "daylight", "lightness": [50.0, 20.0], "excess": 30.0}),
    # The upper slab stands from 103 to 200 mm above the bottom edge.
    (Seam(side="left", facing=((50.0, 180.0, "paint-1"),)), column, (1, 2), ("s000",),
     "s000 (paint-1) and paint-1 beside the left edge both are paint-1.",
     {"section": "s000", "facing": "paint-1", "border_mm": 77.0}),
    (AnyOrder(), run, (1, 1), ("s000", "s001"),
     "Side by side, s000 (paint-1) and s001 (paint-1) both are paint-1.",
     {"a": "s000", "b": "s001", "paints": ["paint-1", "paint-1"], "border_mm": 250.0}),
    (Hatch(mixed_sides=False, ratio=9.0), hatch_wall, (0, 2, 2, 1), ("s000",),
     "At the hatch s000 is paint-0, which stands nowhere outside along it.",
     {"section": "s000", "paint": "paint-0"}),
    (Hatch(both_sides=False, ratio=9.0), hatch_wall, (1, 2, 0, 1), ("s000", "s001"),
     "Under daylight one straight side of the hatch is lighter inside all along.",
     {"light": "daylight", "steps": [30.0, 30.0]}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "wall", "paints", "sections", "sentence", "detail"),
    CASES,
    ids=lambda value: getattr(value, "kind", ""),
)
def test_a_breach_says_where_and_by_how_much(rule, wall, paints, sections, sentence, detail):
    survey = wall()
    assert not list(rule.faults(survey))
    breach = check_scheme(survey, [rule], painted(*paints)).breaches[0]
    assert (breach.rule, breach.sections, breach.sentence) == (rule.kind, sections, sentence)
    assert dict(breach.detail) == {
        key: pytest.approx(value, rel=1e-6) if isinstance(value, float) else value
        for key, value in detail.items()
    }


@pytest.mark.parametrize(
    ("rule", "wall"), [case[:2] for case in CASES], ids=lambda value: getattr(value, "kind", "")
)
def test_a_demand_carries_its_rules_name(rule, wall):
    """By it the engine says which rules collide."""
    demands = list(rule.demands(wall()))
    assert demands
    assert {demand.rule for demand in demands} == {rule.kind}


@pytest.mark.parametrize(
    ("rule", "wall", "paints"), [case[:3] for case in CASES], ids=lambda value: getattr(value, "kind", "")
)
def test_the_engine_does_not_find_what_the_checker_breaks(rule, wall, paints):
    survey = wall()
    pins = [Pin(sections=(s,), paint=p) for s, p in painted(*paints).paint_of.items()]
    assert solve(survey, pins, aims=()).paint_of == painted(*paints).paint_of
    with pytest.raises(NoScheme):
        solve(survey, [rule, *pins], aims=())
    # Only preferred, it is missed in just as many places as the checker counts.
    wish = replace(rule, strength="prefer")
    (level,) = solve(survey, [wish, *pins], aims=()).proof.levels
    assert level.value == len(check_scheme(survey, [rule], painted(*paints)).breaches)


def test_the_hatch_tells_both_means():
    """Along it 20 beside 80 and 20 beside 20, elsewhere 20 beside 20 and 80 beside 20: equal."""
    survey = hatch_wall()
    rule = Hatch(ratio=0.5, both_sides=False, mixed_sides=False)
    (breach,) = check_scheme(survey, [rule], painted(0, 0, 2, 0)).breaches
    assert breach.sections == ("s000", "s001", "s002", "s003")
    detail = dict(breach.detail)
    # CIEDE2000 of L* 20 and 80: Sharma, Wu & Dalal's S_L at the mean of 50 is 1, so it is 60.
    assert detail == {"light": "daylight", "outline": pytest.approx(30.0), "elsewhere": pytest.approx(30.0)}
    told = "Under daylight the hatch's outline has a mean contrast of 30.0, the other gaps of 30.0."
    assert breach.sentence == told
    pins = [Pin(sections=(s,), paint=p) for s, p in painted(0, 0, 2, 0).paint_of.items()]
    with pytest.raises(NoScheme):
        solve(survey, [rule, *pins], aims=())
    assert check_scheme(survey, [Hatch(both_sides=False, mixed_sides=False)], painted(0, 0, 2, 0)).kept


def test_litres_that_can_be_had_and_shares_are_the_engines_too():
    """Two slabs of 100 x 100 mm need 6.286 ml with a tenth wasted; 3 are there, 4 can be had."""
    survey = row(stock_l=[None, 0.003, None, None, None])
    pins = [Pin(sections=(s,), paint=p) for s, p in painted(1, 0, 1).paint_of.items()]
    assert solve(survey, [Stock(extra=(("paint-1", 0.004),)), *pins], aims=())
    with pytest.raises(NoScheme):
        solve(survey, [Stock(extra=(("paint-1", 0.003),)), *pins], aims=())
    assert solve(survey, [Share(paints=("paint-0",), at_least=0.33), *pins], aims=())
    with pytest.raises(NoScheme):
        solve(survey, [Share(paints=("paint-0",), at_least=0.34), *pins], aims=())


def test_a_clash_has_figures_of_its_own():
    survey = row()
    rule = Clash(min_difference=25.0)
    verdict = check_scheme(survey, [rule], painted(0, 0, 1))
    same, near = verdict.breaches
    assert (same.rule, same.sections) == ("clash", ("s000", "s001"))
    assert same.sentence == "s000 (paint-0) and s001 (paint-0) both are paint-0."
    # 20 beside 50: 30 / S_L, see below.
    assert near.sentence == "s001 (paint-0) and s002 (paint-1) differ by only 24.7 under daylight."
    assert dict(near.detail) == {
        "a": "s001",
        "b": "s002",
        "paints": ["paint-0", "paint-1"],
        "border_mm": 100.0,
        "difference": {"daylight": pytest.approx(30 / (1 + 0.015 * 225 / 245**0.5), rel=1e-6)},
        "hue_angle": {"daylight": None},
    }
    assert {demand.rule for demand in rule.demands(survey)} == {"clash"}
    answer = verdict_to_dict(verdict)
    assert [(clash["a"], clash["b"]) for clash in answer["clashes"]] == [("s000", "s001"), ("s001", "s002")]
    assert answer["breaches"] == []


def test_two_lights_are_told_in_one_sentence():
    labs = np.concatenate([LABS, LABS], axis=1)
    boxes = [shapely.box(0, 0, 90, 90), shapely.box(100, 0, 190, 90)]
    survey = make_survey(boxes, [(0, 1, 90.0)], labs)
    rule = Families(apart=(("orange", "red"),))
    (breach,) = check_scheme(survey, [rule], painted(3, 4)).breaches
    assert breach.sentence == (
        "s000 (paint-3) and s001 (paint-4) are red beside orange under daylight and "
        "red beside orange under blacklight."
    )


def test_every_figure_is_one_the_schema_publishes():
    text = files("palette").joinpath("data/schemas/answer-check.schema.json").read_text(encoding="utf-8")
    import jsonschema

    schema = json.loads(text)
    for rule, wall, paints, _, _, _ in CASES:
        answer = verdict_to_dict(check_scheme(wall(), [rule], painted(*paints)))
        jsonschema.validate({"version": 1, **answer}, schema)
        assert answer["breaches"][0]["rule"] == rule.kind


def test_the_verdict_keeps_rules_apart_and_finds_the_weakest_pair():
    survey = row()
    rules = [Pin(sections=("s000",), paint="paint-2", strength="prefer"), Never(paints=("paint-1",))]
    verdict = check_scheme(survey, rules, painted(0, 1, 2))
    assert [[breach.sections for breach in broken] for broken in verdict.of_rule] == [
        [("s000",)],
        [("s001",)],
    ]
    assert [breach.sections for breach in verdict.breaches] == [("s001",)]
    assert [breach.sections for breach in verdict.missed] == [("s000",)]
    assert not verdict.kept
    # 20 beside 50 differs less than 50 beside 80? By CIEDE2000's S_L, largest far from 50, yes or no:
    # S_L(35) = 1 + 0.015 * 225 / sqrt(245) = 1.2156, and S_L(65) is the same; the first pair is named.
    weakest = verdict.weakest
    assert (weakest.a, weakest.b, weakest.light) == ("s000", "s001", "daylight")
    assert weakest.difference == pytest.approx(30 / (1 + 0.015 * 225 / 245**0.5), rel=1e-6)


def test_a_verdict_on_neighbours_alone_has_no_rules_to_tell_of():
    verdict = Verdict(breaches=(), weakest=None)
    assert verdict.kept
    assert (verdict.missed, verdict.of_rule) == ((), ())


def test_no_neighbours_no_weakest_pair():
    survey = make_survey([shapely.box(0, 0, 9, 9)], [], LABS)
    assert check_scheme(survey, [], painted(0)).weakest is None


def test_a_scheme_that_does_not_fit_is_told_whole():
    scheme = Scheme(paint_of={"s000": "paint-0", "s001": "rust", "s009": "paint-0"})
    with pytest.raises(InputError) as stop:
        check_scheme(row(), [], scheme, where="half.json")
    assert str(stop.value).splitlines() == [
        'half.json: the section "s002" has no paint; add it to paint_of.',
        'half.json: it gives "s001" the paint "rust", which is not on the shelf; '
        "correct the name or add the paint to the paint file.",
        'half.json: it paints "s009", which the panel does not have; '
        "correct the name or take it out of paint_of.",
    ]
    with pytest.raises(InputError, match=r'^scheme: the section "s002" has no paint'):
        check_scheme(row(), [], Scheme(paint_of={"s000": "paint-0", "s001": "paint-0"}))
