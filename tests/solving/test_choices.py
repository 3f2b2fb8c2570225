"""Alternatives, started schemes, ways out and purchases."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from grounds import EIGHT_LABS, distinct_labs, graph_survey, slab_wall

from palette.demands import check_scheme
from palette.errors import InputError, NoScheme
from palette.merits import measure_merits
from palette.rules import Clash, Depth, Pin, Quota, Stock
from palette.solving import (
    advise_purchase,
    find_alternatives,
    find_ways_out,
    finish_scheme,
    solve,
)

SAME = Clash(min_difference=None, min_hue_angle=None)
RULES = [Clash(min_difference=15.0, min_hue_angle=None), Depth(tolerance=30.0)]


def least_difference(survey, one, other) -> float:
    """The measure by its definition: the least share that differs over all renamings of paints."""
    paints = survey.appearance.paints
    best = 1.0
    for renaming in itertools.permutations(paints):
        to = dict(zip(paints, renaming, strict=True))
        differ = sum(to[one.paint_of[s]] != other.paint_of[s] for s in survey.panel.ids)
        best = min(best, differ / len(survey.panel.ids))
    return best


def test_alternatives_keep_the_levels_and_really_differ():
    survey = slab_wall(20, seed=3, labs=EIGHT_LABS[:6])
    rules = [Clash(min_difference=10.0, min_hue_angle=None)]
    found = find_alternatives(survey, rules, 4, aims=("weakest-pair", "contrast"), keep=1)
    assert len(found) == 4
    best = measure_merits(survey, found[0].scheme)
    for k, one in enumerate(found):
        assert check_scheme(survey, rules, one.scheme).kept
        assert one.merits.weakest == pytest.approx(best.weakest)
        for other in found[:k]:
            assert least_difference(survey, one.scheme, other.scheme) >= 1 / 3
    assert found[0].merits.contrast == max(one.merits.contrast for one in found)
    assert "most contrast" in found[0].best_at


def test_fewer_come_back_when_there_are_no_more():
    """A path of two mutually distinct paints has two schemes, and they are a mere swap."""
    survey = graph_survey([(0, 1), (1, 2)], 3, distinct_labs(2))
    assert len(find_alternatives(survey, [SAME], 5)) == 1


def test_a_started_scheme_is_finished_and_its_cost_told():
    survey = slab_wall(20, seed=3)
    free = solve(survey, RULES)
    first = survey.panel.ids[0]
    other = next(paint for paint in survey.appearance.paints if paint != free.paint_of[first])
    finished = finish_scheme(survey, RULES, {first: other})
    assert finished.scheme.paint_of[first] == other
    assert check_scheme(survey, RULES, finished.scheme).kept
    with_start, without = finished.cost["weakest-pair"]
    assert with_start <= without == free.proof.levels[0].value


def test_a_start_that_cannot_be_finished_is_named():
    survey = graph_survey([(0, 1)], 2, distinct_labs(2))
    with pytest.raises(NoScheme, match=r"already painted and clash|clash and already painted"):
        finish_scheme(survey, [SAME], {"s000": "paint-0", "s001": "paint-0"})
    with pytest.raises(InputError, match='started scheme: the panel has no section "x"'):
        finish_scheme(survey, [SAME], {"x": "paint-0"})


def test_the_threshold_is_lowered_no_further_than_needed():
    """Greys of L* 5, 50 and 95 on a triangle: all three pairs must be allowed."""
    survey = graph_survey([(0, 1), (1, 2), (0, 2)], 3, distinct_labs(3))
    rules = [Clash(min_difference=60.0, min_hue_angle=None)]
    (way,) = find_ways_out(survey, rules)
    tables = survey.appearance.differences("daylight")
    closest = min(tables[0, 1], tables[1, 2], tables[0, 2])
    (rule,) = way.rules
    assert closest - 0.1 <= rule.min_difference <= closest
    assert way.changes == (f"lower min_difference of clash to {rule.min_difference:g}",)
    assert solve(survey, way.rules)


def test_either_pin_can_be_freed():
    survey = graph_survey([(0, 1)], 2, distinct_labs(2))
    pins = [Pin(sections=(f"s00{k}",), paint="paint-0") for k in range(2)]
    ways = find_ways_out(survey, [SAME, *pins])
    told = {way.changes[0] for way in ways}
    assert "leave out: s000 is painted paint-0" in told
    assert "leave out: s001 is painted paint-0" in told
    for way in ways:
        assert solve(survey, way.rules)


def test_the_missing_litres_are_told():
    """Two boxes of 90 x 90 mm each need 8,100 mm2 x 2 coats / 7 m2/L x 1.1 = 2.5 ml; there is 1 ml."""
    survey = graph_survey([(0, 1)], 2, distinct_labs(2))
    paints = tuple(paint for paint in survey.paints)
    short = [type(paints[0])(id=paint.id, stock_l=0.001) for paint in paints[:1]] + [paints[1]]
    survey = type(survey)(
        panel=survey.panel, adjacency=survey.adjacency, paints=tuple(short), appearance=survey.appearance
    )
    ways = find_ways_out(survey, [SAME, Stock()])
    assert ("get 0.05 L more of paint-0",) in {way.changes for way in ways}


def test_nothing_to_change_when_there_is_a_scheme():
    assert find_ways_out(slab_wall(10, seed=1), [SAME]) == ()


def test_two_rules_are_left_out_when_one_is_not_enough():
    survey = graph_survey([], 3, distinct_labs(2))
    rules = [Quota(paints=("paint-0",), at_least=2), Quota(paints=("paint-1",), at_least=2)]
    ways = find_ways_out(survey, rules)
    assert ways
    assert all(solve(survey, way.rules) for way in ways)


def test_the_purchase_that_makes_it_possible_comes_first():
    """A triangle needs three distinct paints: the near-copy of an owned one does not help."""
    labs = np.array([[[20, 0, 0]], [[80, 0, 0]], [[21, 0, 0]], [[50, 0, 0]]], float)
    survey = graph_survey([(0, 1), (1, 2), (0, 2)], 3, labs)
    rules = [Clash(min_difference=10.0, min_hue_angle=None)]
    best, worst = advise_purchase(survey, rules, ["paint-0", "paint-1"])
    assert (best.paint, best.possible) == ("paint-3", True)
    assert (worst.paint, worst.possible) == ("paint-2", False)


def test_the_purchase_that_helps_most_comes_first():
    labs = np.array([[[20, 0, 0]], [[80, 0, 0]], [[30, 0, 0]], [[50, 0, 0]]], float)
    survey = graph_survey([(0, 1), (1, 2), (0, 2)], 3, labs)
    best, second = advise_purchase(survey, [SAME], ["paint-0", "paint-1", "paint-2"][:2])
    assert best.paint == "paint-3"
    assert best.weakest > second.weakest
