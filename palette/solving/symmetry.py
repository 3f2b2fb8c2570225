"""Paints that could change places, and sections that must all differ.

Only the question "is there any scheme" is helped by this: the aims tell the paints apart.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.solving.formula import Formula
from palette.solving.model import Model

__all__ = ["tell_apart"]


def tell_apart(formula: Formula) -> list[int]:
    """Return assumptions that lose no solvability: paints that could change places, placed.

    Where whole groups of paints are interchangeable, the members of one clique of sections that
    must all differ may take them in any order, so one order is enough. And where such a clique
    is as large as the shelf, every paint stands somewhere in it; that is added as clauses.
    """
    model = formula.model
    paints = model.shape[1]
    if not len(model.must.tables.pairs) or not _interchangeable(model):
        return []
    cliques = _cliques(model)
    if not cliques:
        return []
    for clique in cliques:
        if len(clique) == paints:
            formula.add_clauses(formula.paint[clique].T)
    largest = max(cliques, key=len)
    return [int(formula.paint[section, k]) for k, section in enumerate(largest[:paints])]


def _interchangeable(model: Model) -> bool:
    """Return True when any permutation of all paints maps the model onto itself."""
    must = model.must
    others = (must.slopes, must.alike, must.clauses, must.limits, must.varieties)
    if not model.mask.all() or any(others):
        return False
    diagonal = np.eye(model.shape[1], dtype=bool)
    for table in model.must.tables.tables:
        same, other = table[diagonal], table[~diagonal]
        if same.size and (same.min() != same.max()):
            return False
        if other.size and (other.min() != other.max()):
            return False
    return True


def _cliques(model: Model) -> list[list[int]]:
    """Return maximal sets of sections that must all have different paints."""
    import networkx as nx

    diagonal = np.eye(model.shape[1], dtype=bool)
    apart: NDArray[np.bool_] = np.array(
        [not table[diagonal].any() for table in model.must.tables.tables], bool
    )
    graph = nx.Graph()
    pairs = model.must.tables
    graph.add_edges_from(pairs.pairs[apart[pairs.table_of]].tolist())
    return sorted(sorted(clique) for clique in nx.find_cliques(graph))
