"""Reasons: the fewest rules and places that collide."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from grounds import distinct_labs, graph_survey, slab_wall

from palette.errors import NoScheme
from palette.rules import Clash, Depth, Pin, Quota, Stripe, Variety
from palette.solving import find_collision, solve

SAME = Clash(min_difference=None, min_hue_angle=None)


def test_an_odd_ring_is_told_edge_by_edge():
    """Two paints go round an even ring only: an odd cycle is a smallest collision (Koenig 1936)."""
    ring = nx.cycle_graph(7)
    ring.add_edges_from([(0, 7), (7, 8), (8, 9)])
    survey = graph_survey(sorted(ring.edges), 10, distinct_labs(2))
    found = find_collision(survey, [SAME, Variety(at_least=2)])
    assert found.rules == (0,)
    assert found.minimal
    named = {frozenset(places) for _, places in found.places}
    assert named == {frozenset((f"s{k:03d}", f"s{(k + 1) % 7:03d}")) for k in range(7)}


def test_a_critical_graph_needs_every_edge():
    """Groetzsch's graph is 4-critical: with three paints every one of its 20 edges is needed."""
    graph = nx.mycielski_graph(4)
    survey = graph_survey(sorted(graph.edges), 11, distinct_labs(3))
    found = find_collision(survey, [SAME])
    assert (len(found.places), found.minimal) == (20, True)


def test_harmless_rules_are_not_named():
    survey = graph_survey([(0, 1), (1, 2)], 3, distinct_labs(3))
    rules = [
        Stripe(),
        Pin(sections=("s000",), paint="paint-1"),
        SAME,
        Pin(sections=("s001",), paint="paint-1"),
        Variety(at_most=3, at_least=1),
    ]
    found = find_collision(survey, rules)
    assert found.rules == (1, 2, 3)
    assert set(found.places) == {(1, ("s000",)), (2, ("s000", "s001")), (3, ("s001",))}
    with pytest.raises(NoScheme) as stop:
        solve(survey, rules)
    assert set(stop.value.rules) == {"pin", "clash"}
    assert str(stop.value) == (
        "There is no scheme for test wall: the rules pin and clash cannot all be kept with the 3 paints "
        "on s000 and s001."
    )


def test_contradicting_pins_name_their_section():
    survey = graph_survey([], 2, distinct_labs(2))
    pins = [Pin(sections=("s001",), paint=f"paint-{k}") for k in range(2)]
    with pytest.raises(NoScheme, match="2 rules of kind pin cannot all be kept with the 2 paints on s001"):
        solve(survey, pins)


def test_a_whole_panel_rule_is_named_without_sections():
    survey = graph_survey([], 3, distinct_labs(2))
    found = find_collision(survey, [Quota(at_least=2)])
    assert found.rules == (0,)
    assert all(sections == () for _, sections in found.places)


@pytest.mark.parametrize("seed", range(4))
def test_the_named_pairs_alone_collide(seed):
    """A wall on which only the named pairs are neighbours has no scheme either."""
    survey = slab_wall(40, seed=seed)
    rules = [Clash(min_difference=20.0), Depth(by="order", rise=0.0)]
    found = find_collision(survey, rules)
    assert found.minimal
    assert found.rules == (0, 1)
    named = {frozenset(sections) for rule, sections in found.places if rule == 0}
    contacts = tuple(c for c in survey.adjacency.contacts if frozenset((c.a, c.b)) in named)
    assert len(contacts) == len(named) < len(survey.adjacency.contacts) / 2
    fewer = replace(survey, adjacency=replace(survey.adjacency, contacts=contacts))
    with pytest.raises(NoScheme):
        solve(fewer, rules)


def test_what_can_be_kept_has_no_collision():
    assert find_collision(slab_wall(12, seed=1), [SAME]) is None
