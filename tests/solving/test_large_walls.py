"""Walls too large for one exact search."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from grounds import slab_wall, voronoi_wall

from palette.demands import check_scheme
from palette.merits import measure_merits
from palette.rules import Clash, Depth, Stock
from palette.scheme import Scheme
from palette.solving import Limits, solve
from palette.solving.elimination import best_sum

CLASH = Clash(min_difference=10.0, min_hue_angle=None)


def test_elimination_finds_the_heaviest_cut():
    """Two paints that gain the border where they differ: a maximum cut, here of rings and grids.

    A ring of n is cut in all n borders when n is even, in n - 1 when it is odd; a grid in all.
    """
    gain = np.array([[0.0, 1.0], [1.0, 0.0]])
    for graph, most in [(nx.cycle_graph(8), 8), (nx.cycle_graph(9), 8), (nx.grid_2d_graph(4, 6), 38)]:
        plain = nx.convert_node_labels_to_integers(graph)
        pairs = {(min(edge), max(edge)): gain for edge in plain.edges}
        value, scheme = best_sum([np.arange(2)] * len(plain), pairs)
        assert value == most == sum(scheme[a] != scheme[b] for a, b in plain.edges)


@pytest.mark.parametrize("wall", [slab_wall, voronoi_wall])
def test_stock_is_met_without_losing_the_weakest_pair(wall):
    bare = wall(300, seed=11)
    litres = sum(s.outline.area for s in bare.panel.sections) / 1e6 * 2 / 7 * 1.1 / 8 * 1.5
    survey = wall(300, seed=11, stock_l=[litres] * 8)
    rules = [CLASH, Depth(tolerance=25.0)]
    free = solve(survey, rules, aims=("weakest-pair",)).proof.levels[0]
    scheme = solve(survey, [*rules, Stock()], aims=("weakest-pair",))
    assert check_scheme(survey, [*rules, Stock()], scheme).kept
    level = scheme.proof.levels[0]
    # What is proven without stock bounds what stock leaves.
    assert level.value <= level.bound <= free.value + 1e-9


def test_windows_end_between_a_greedy_scheme_and_their_bound():
    survey = voronoi_wall(120, seed=5)
    colours = nx.greedy_color(survey.adjacency.to_networkx(), strategy="DSATUR")
    paint_of = {s: survey.appearance.paints[colours[s]] for s in survey.panel.ids}
    greedy = measure_merits(survey, Scheme(paint_of=paint_of)).contrast
    level = solve(survey, [CLASH], aims=("contrast",), limits=Limits(seconds=4)).proof.levels[0]
    assert greedy < level.value <= level.bound < 1.2 * level.value


def test_depth_is_kept_window_by_window():
    survey = slab_wall(100, seed=5)
    rules = [CLASH, Depth(by="order", tolerance=30.0)]
    scheme = solve(survey, rules, aims=("contrast",), limits=Limits(seconds=3))
    assert check_scheme(survey, rules, scheme).kept
