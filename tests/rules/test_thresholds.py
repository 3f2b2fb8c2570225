"""Exactly at a threshold: "at least" and "at most" include it, "above" does not."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
import shapely
from grounds import graph_survey, make_survey

from palette.demands import check_scheme
from palette.errors import InputError, NoScheme
from palette.rules import Clash, Depth, Pin, Same, Spacing, rule_from_dict
from palette.rules.families import FAMILIES, family_of
from palette.rules.naming import nearest, select_sections, unknown_names
from palette.scheme import Scheme
from palette.solving import solve

APART = Scheme(paint_of=MappingProxyType({"s000": "paint-0", "s001": "paint-1"}))


def both_voices(labs, rule):
    """Return whether the checker keeps two neighbours of two paints, and whether the engine finds them."""
    survey = graph_survey([(0, 1)], 2, np.array(labs, float)[:, None, :])
    try:
        solve(survey, [rule], aims=())
        found = True
    except NoScheme:
        found = False
    return check_scheme(survey, [rule], APART).kept, found


# Greys of L* 20 and 80 have S_L = 1 (Sharma, Wu & Dalal 2005, eq. 15): their CIEDE2000 is 60.
@pytest.mark.parametrize(("least", "kept"), [(60.0, True), (60.001, False)])
def test_neighbours_that_differ_by_just_so_much_are_kept(least, kept):
    rule = Clash(min_difference=least, min_hue_angle=None)
    assert both_voices([[20, 0, 0], [80, 0, 0]], rule) == (kept, kept)


@pytest.mark.parametrize(("least", "kept"), [(90.0, True), (90.001, False)])
def test_hues_just_so_far_apart_are_kept(least, kept):
    rule = Clash(min_difference=None, min_hue_angle=least)
    assert both_voices([[50, 60, 0], [50, 0, 60]], rule) == (kept, kept)


@pytest.mark.parametrize(("above", "kept"), [(30.0, True), (29.999, False)])
def test_a_chroma_not_above_the_limit_is_not_strong(above, kept):
    rule = Clash(min_difference=None, min_chroma=above)
    assert both_voices([[40, 30, 0], [80, 60, 0]], rule) == (kept, kept)
    assert both_voices([[40, 60, 0], [80, 30, 0]], rule) == (kept, kept)


@pytest.mark.parametrize(("rise", "kept"), [(0.5, False), (0.7, False), (0.8, True)])
def test_a_rise_of_less_than_a_millimetre_counts_too(rise, kept):
    boxes = [shapely.box(0, 0, 10, 10), shapely.box(20, 0.7, 30, 10.7)]
    survey = make_survey(boxes, [], np.array([[[80, 0, 0]], [[20, 0, 0]]], float))
    assert check_scheme(survey, [Depth(by="order", rise=rise)], APART).kept is kept


def test_slabs_exactly_so_far_apart_are_far_enough():
    """Edges at 258 and 264 mm: exactly 6 apart, yet GEOS measures a last digit less for these two."""
    boxes = [shapely.box(3, 3, 186, 258), shapely.box(3, 264, 370, 442)]
    survey = make_survey(boxes, [], np.array([[[20, 0, 0]], [[80, 0, 0]]], float))
    one_paint = Scheme(paint_of=MappingProxyType(dict.fromkeys(survey.panel.ids, "paint-0")))
    pins = [Pin(paint="paint-0")]
    assert check_scheme(survey, [Spacing(distance=6.0)], one_paint).kept
    assert solve(survey, [Spacing(distance=6.0), *pins], aims=()).paint_of == one_paint.paint_of
    assert not check_scheme(survey, [Spacing(distance=6.00001)], one_paint).kept
    with pytest.raises(NoScheme):
        solve(survey, [Spacing(distance=6.00001), *pins], aims=())


def test_the_families_go_round_the_hue_circle_without_a_hole():
    for (name, start, end), (following, begins, _) in zip(
        FAMILIES, FAMILIES[1:] + FAMILIES[:1], strict=True
    ):
        assert end == begins
        assert family_of(start) == name
        assert family_of(end) == following
        assert family_of((end - 0.001) % 360) == name
    assert family_of(0.0) == family_of(359.9) == "pink"


@pytest.mark.parametrize(
    ("named", "chosen"),
    [
        (["sill", "cap west"], ("cap west", "sill")),
        (["cap *"], ("cap west", "cap east")),
        (["cap ????", "sill"], ("cap west", "cap east", "sill")),
        (["[ci]*"], ("cap west", "cap east")),
        (["Cap *"], ()),
        (["cap"], ()),
        (["step [1]"], ("step [1]",)),
    ],
)
def test_names_and_patterns_choose_in_the_panels_order(named, chosen):
    assert select_sections(named, ["cap west", "cap east", "sill", "step [1]"]) == chosen


def test_help_with_a_name_is_as_long_as_a_person_reads():
    assert nearest("mos", ["flame", "moss"]) == 'write "moss" if that was meant'
    assert nearest("zzz", ["flame", "moss"]) == "use one of: flame, moss"
    assert nearest("zzz", []) == "there is none to name"
    twelve = [f"paint-{k:02}" for k in range(12)]
    assert nearest("zzz", twelve) == f"use one of: {', '.join(twelve)}"
    assert nearest("zzz", [*twelve, "x"]) == f"use one of: {', '.join(twelve)} or 1 more"


def test_many_unknown_names_are_counted_and_not_all_told():
    faults = [
        str(fault) for fault in unknown_names("pin", "paint", (f"zz{k}" for k in range(1053)), ["moss"])
    ]
    assert len(faults) == 51
    assert faults[49].startswith('rule "pin": the paint "zz49" does not exist; use one of: moss.')
    assert faults[50] == (
        'rule "pin": 1,003 more of its paints do not exist; mend the first ones, then look again.'
    )
    faults = list(unknown_names("pin", "paint", (f"zz{k}" for k in range(50)), ["moss"]))
    assert len(faults) == 50


def test_lists_no_person_wrote_are_refused():
    with pytest.raises(InputError) as stop:
        rule_from_dict({"kind": "pin", "sections": [f"s{k}" for k in range(10_001)]}, where="b.toml")
    assert str(stop.value) == (
        'b.toml (pin), sections: it lists 10,001 names, more than 10,000; use patterns like "ledge *".'
    )
    row = {"from": "0 mm", "to": "300 mm", "paint": "moss"}
    with pytest.raises(InputError) as stop:
        rule_from_dict({"kind": "seam", "facing": [row] * 1001}, where="b.toml")
    assert str(stop.value) == (
        "b.toml (seam), facing: it lists 1,001 stretches, more than 1,000; join those of one paint."
    )
    with pytest.raises(InputError) as stop:
        rule_from_dict({"kind": "quota", "at_least": 1_000_001}, where="b.toml")
    assert str(stop.value) == (
        "b.toml (quota), at_least: 1,000,001 is more than 1,000,000; write what you count with."
    )
    many = rule_from_dict({"kind": "pin", "sections": [f"s{k}" for k in range(10_000)]}, where="b.toml")
    assert isinstance(many, Pin)
    assert rule_from_dict({"kind": "same", "sections": "ledge *"}, where="x") == Same(sections=("ledge *",))
