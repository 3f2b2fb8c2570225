"""Least numbers of mutually distinct paints against published chromatic numbers.

Queen graphs: 5, 7, 7, 9 and 10 for the boards from 5 x 5 to 9 x 9 (the DIMACS graph colouring
instances). Mycielski graphs: 4, 5, 6 for 11, 23 and 47 vertices, by Mycielski's theorem
(Colloq. Math. 3, 1955). Petersen graph: 3. Four colours suffice for planar maps (Appel & Haken
1977).
"""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from grounds import distinct_labs, graph_survey, voronoi_wall

from palette.demands import check_scheme
from palette.errors import NoScheme
from palette.rules import Clash
from palette.solving import solve

ONLY_THE_SAME_PAINT_CLASHES = Clash(min_difference=None, min_hue_angle=None)


def queen(side: int) -> nx.Graph:
    graph = nx.Graph()
    squares = [(row, column) for row in range(side) for column in range(side)]
    graph.add_nodes_from(squares)
    for k, (row, column) in enumerate(squares):
        for other_row, other_column in squares[k + 1 :]:
            if (
                row == other_row
                or column == other_column
                or abs(row - other_row) == abs(column - other_column)
            ):
                graph.add_edge((row, column), (other_row, other_column))
    return nx.convert_node_labels_to_integers(graph)


def paintable(graph: nx.Graph, paints: int) -> bool:
    survey = graph_survey(sorted(graph.edges), len(graph), distinct_labs(paints))
    try:
        scheme = solve(survey, [ONLY_THE_SAME_PAINT_CLASHES], aims=())
    except NoScheme:
        return False
    return check_scheme(survey, [ONLY_THE_SAME_PAINT_CLASHES], scheme).kept


@pytest.mark.parametrize(
    ("graph", "paints"),
    [
        (queen(5), 5),
        (queen(6), 7),
        (queen(7), 7),
        (queen(8), 9),
        (queen(9), 10),
        (nx.mycielski_graph(4), 4),
        (nx.mycielski_graph(5), 5),
        (nx.mycielski_graph(6), 6),
        (nx.petersen_graph(), 3),
        (nx.cycle_graph(7), 3),
        (nx.wheel_graph(6), 4),
        (nx.icosahedral_graph(), 4),
    ],
    ids=str,
)
def test_least_number_of_paints(graph, paints):
    assert paintable(graph, paints)
    assert not paintable(graph, paints - 1)


@pytest.mark.parametrize("seed", [1, 2])
def test_four_paints_suffice_for_planar_walls(seed):
    survey = voronoi_wall(1000, seed=seed, labs=np.repeat(distinct_labs(4), 2, axis=1))
    scheme = solve(survey, [ONLY_THE_SAME_PAINT_CLASHES], aims=())
    assert check_scheme(survey, [ONLY_THE_SAME_PAINT_CLASHES], scheme).kept
