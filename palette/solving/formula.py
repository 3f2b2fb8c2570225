"""Clauses that grow, and the variables they speak of.

Variable numbers start at 1, as in DIMACS. Whole families of clauses are made as integer arrays,
one row a clause, because a panel of a thousand sections has some hundred thousand of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.solving.model import Limit, Model

__all__ = ["Formula", "Ints", "Watched"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Watched:
    """A limit held only roughly by clauses: every answer is added up, and a cut added if it is over.

    `spare` is a literal that lifts the limit, or None. `steps` are the literals of what pairs weigh:
    for each pair the literals, and what the sum grows by with each. A `wide` limit is not held by
    clauses at all: it runs over more sections than cuts could ever rule out.
    """

    limit: Limit
    spare: int | None
    steps: list[tuple[Ints, Ints]]
    wide: bool


class Formula:
    """A growing set of clauses over "section s has paint p".

    `paint[s, p]` is the variable that says so; `watched` are limits to be added up exactly;
    `loosening` is the literal that lifts all of them that must hold, where there are any.
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
        self.watched: list[Watched] = []
        self.misses: Ints = np.zeros(0, np.int64)
        self._fresh: list[list[int]] = []
        self._used: Ints | None = None
        self.loosening: int | None = None

    def new_variables(self, *shape: int) -> Ints:
        """Return fresh variables in an array of this shape."""
        amount = int(np.prod(shape))
        first = self.variables + 1
        self.variables += amount
        return np.arange(first, first + amount, dtype=np.int64).reshape(shape)

    def add(self, *columns: Ints | int) -> None:
        """Add one clause a row; columns are literals and broadcast against each other."""
        rows = np.broadcast_arrays(*[np.atleast_1d(np.asarray(column, np.int64)) for column in columns])
        self._fresh.extend(np.stack([row.ravel() for row in rows], axis=1).tolist())

    def add_clause(self, literals: Sequence[int]) -> None:
        """Add one clause of any length."""
        self._fresh.append([int(literal) for literal in literals])

    def add_clauses(self, clauses: Ints) -> None:
        """Add the rows of an array."""
        self._fresh.extend(clauses.tolist())

    def loosened(self) -> int:
        """Return the literal that lifts the limits on unequal weights."""
        if self.loosening is None:
            self.loosening = int(self.new_variables(1)[0])
        return self.loosening

    def used_paints(self) -> Ints:
        """Return one literal a paint, shape (P,): true exactly when some section has it."""
        if self._used is None:
            used = self.new_variables(self.paint.shape[1])
            self.add(-self.paint, used[None, :])
            self.add_clauses(np.concatenate([self.paint.T, -used[:, None]], axis=1))
            self._used = used
        return self._used

    def take_clauses(self) -> list[list[int]]:
        """Return the clauses added since the last call."""
        taken, self._fresh = self._fresh, []
        return taken
