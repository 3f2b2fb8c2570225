"""The number of schemes of mutually distinct paints against chromatic polynomials.

Closed forms (Read, An introduction to chromatic polynomials, J. Combin. Theory 4, 1968): a tree of
n sections q(q-1)^(n-1), a ring (q-1)^n + (-1)^n (q-1), n sections that all touch q!/(q-n)!, a wheel
of rim n: q times the ring of n with q-1. Petersen's graph has 120 colourings in three colours.
"""

from __future__ import annotations

import math

import networkx as nx
import pytest
from grounds import distinct_labs, graph_survey

from palette.progress import silent
from palette.rules import Clash
from palette.solving.limits import Clock, Limits
from palette.solving.listing import list_schemes
from palette.solving.search import begin

SAME = Clash(min_difference=None, min_hue_angle=None)


def ring(n: int, q: int) -> int:
    return (q - 1) ** n + (-1) ** n * (q - 1)


@pytest.mark.parametrize(
    ("graph", "paints", "number"),
    [
        (nx.path_graph(5), 3, 3 * 2**4),
        (nx.star_graph(5), 3, 3 * 2**5),
        (nx.balanced_tree(2, 2), 3, 3 * 2**6),
        (nx.cycle_graph(5), 3, ring(5, 3)),
        (nx.cycle_graph(6), 4, ring(6, 4)),
        (nx.complete_graph(4), 5, math.perm(5, 4)),
        (nx.wheel_graph(6), 4, 4 * ring(5, 3)),
        (nx.wheel_graph(7), 3, 3 * ring(6, 2)),
        (nx.petersen_graph(), 3, 120),
    ],
    ids=str,
)
def test_every_scheme_is_found_once(graph, paints, number):
    survey = graph_survey(sorted(graph.edges), len(graph), distinct_labs(paints))
    clock = Clock(Limits())
    with begin(survey, [SAME], clock=clock, seed=0, on_progress=silent) as standing:
        schemes, complete = list_schemes(standing, number + 1)
    assert complete
    assert len({tuple(scheme.tolist()) for scheme in schemes}) == len(schemes) == number
