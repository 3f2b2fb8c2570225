"""A model written as clauses.

Variable numbers start at 1, as in DIMACS. Whole families of clauses are made as integer arrays,
one row a clause, because a panel of a thousand sections has some hundred thousand of them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.solving.model import Model, Slope

__all__ = ["Formula", "write_formula"]

Ints = NDArray[np.int64]


class Formula:
    """Clauses that grow, and the variables they speak of.

    `paint[s, p]` is the variable that says section s has paint p.
    """

    def __init__(self, model: Model, *, seed: int = 0) -> None:
        sections, paints = model.shape
        numbers = np.arange(1, sections * paints + 1, dtype=np.int64)
        if seed:
            # Another numbering is another road through the same search.
            numbers = np.random.default_rng(seed).permutation(numbers)
        self.model = model
        self.paint: Ints = numbers.reshape(sections, paints)
        self.variables = sections * paints
        self.clauses: list[list[int]] = []

    def new_variables(self, *shape: int) -> Ints:
        """Return fresh variables in an array of this shape."""
        amount = int(np.prod(shape))
        first = self.variables + 1
        self.variables += amount
        return np.arange(first, first + amount, dtype=np.int64).reshape(shape)

    def add(self, *columns: Ints | int) -> None:
        """Add one clause a row; columns are literals and broadcast against each other."""
        rows = np.broadcast_arrays(*[np.atleast_1d(np.asarray(column, np.int64)) for column in columns])
        self.clauses.extend(np.stack([row.ravel() for row in rows], axis=1).tolist())

    def take_clauses(self) -> list[list[int]]:
        """Return the clauses added since the last call."""
        taken, self.clauses = self.clauses, []
        return taken


def write_formula(model: Model, *, seed: int = 0) -> Formula:
    """Return the clauses every scheme must satisfy: one paint a section, and the demands."""
    formula = Formula(model, seed=seed)
    _one_paint_each(formula)
    _pair_tables(formula)
    for slope in model.slopes:
        _slope(formula, slope)
    return formula


def _one_paint_each(formula: Formula) -> None:
    paint = formula.paint
    formula.clauses.extend(paint.tolist())
    for p in range(paint.shape[1]):
        for q in range(p):
            formula.add(-paint[:, p], -paint[:, q])
    sections, paints = np.nonzero(~formula.model.mask)
    if sections.size:
        formula.add(-paint[sections, paints])


def _pair_tables(formula: Formula) -> None:
    model, paint = formula.model, formula.paint
    for table in range(len(model.tables)):
        pairs = model.pairs[model.table_of == table]
        rows, columns = np.nonzero(~model.tables[table])
        if len(pairs) and rows.size:
            formula.add(-paint[pairs[:, :1], rows[None, :]], -paint[pairs[:, 1:], columns[None, :]])


def _slope(formula: Formula, slope: Slope) -> None:
    """Bound every section by the least value of the sections far enough before it.

    ``low[g, k]`` says that a section in the first g + 1 places has a value of at most the k-th.
    """
    values, rank = np.unique(slope.value, return_inverse=True)
    places, place = np.unique(slope.position, return_inverse=True)
    if len(values) < 2 or len(places) < 2:
        return
    low = formula.new_variables(len(places), len(values))
    paint = formula.paint[slope.sections]
    formula.add(-low[:-1], low[1:])
    formula.add(-low[:, :-1], low[:, 1:])
    formula.add(-paint, low[place[:, None], rank[None, :]])
    # The last place that lies far enough before each place, or -1. The comparison is the very
    # one the demand is defined by, so that rounding cannot part them.
    far = (places[:, None] - places[None, :] >= slope.apart) & (places[:, None] > places[None, :])
    before = far.sum(axis=1) - 1
    # The greatest value that is too low for each paint; a lower one is covered by the chain.
    above = (slope.value[:, None] - values[None, :] > slope.tolerance).sum(axis=1) - 1
    bounded = np.flatnonzero(before[place] >= 0)
    bright = np.flatnonzero(above >= 0)
    if bounded.size and bright.size:
        caps = low[before[place[bounded]][:, None], above[bright][None, :]]
        formula.add(-caps, -paint[np.ix_(bounded, bright)])
