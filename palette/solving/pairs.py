"""Pair tables by the thousand: each distinct table kept once, for a rule shares one among many pairs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["PairTables", "gather_pairs"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairTables:
    """Pairs of sections and the paints they may have together.

    Parameters
    ----------
    pairs : ndarray of int, shape (M, 2)
        First number smaller.
    table_of : ndarray of int, shape (M,)
        Which of `tables` holds for the pair.
    tables : ndarray of bool, shape (T, P, P)
        Allowed paints: row for the first section of the pair, column for the second.
    """

    pairs: NDArray[np.int64] = field(default_factory=lambda: np.zeros((0, 2), np.int64))
    table_of: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, np.int64))
    tables: NDArray[np.bool_] = field(default_factory=lambda: np.zeros((0, 0, 0), bool))


def gather_pairs(
    given: Iterable[tuple[int, int, NDArray[np.bool_]]], paints: int, *, merge: bool
) -> PairTables:
    """Return the tables of all pairs: merged, one a pair and sorted; else all, in the order given."""
    shelf = _Shelf()
    placed: list[tuple[int, int, int]] = []
    of_pair: dict[tuple[int, int], int] = {}
    for a, b, allowed in given:
        table = shelf.number_of(allowed, turned=a > b)
        pair = (a, b) if a < b else (b, a)
        if not merge:
            placed.append((*pair, table))
            continue
        earlier = of_pair.get(pair)
        of_pair[pair] = table if earlier is None else shelf.merged(earlier, table)
    if merge:
        placed = sorted((*pair, table) for pair, table in of_pair.items())
    rows = np.array(placed, np.int64).reshape(-1, 3)
    tables = np.array(shelf.tables, bool).reshape(-1, paints, paints)
    return PairTables(pairs=rows[:, :2], table_of=rows[:, 2], tables=tables)


class _Shelf:
    def __init__(self) -> None:
        self.tables: list[NDArray[np.bool_]] = []
        self._known: dict[bytes, int] = {}
        self._of_object: dict[tuple[int, bool], int] = {}
        self._alive: list[NDArray[np.bool_]] = []
        self._merged: dict[tuple[int, int], int] = {}

    def number_of(self, allowed: NDArray[np.bool_], *, turned: bool) -> int:
        key = (id(allowed), turned)
        if key not in self._of_object:
            # The array is kept alive so that its id stays its own.
            self._alive.append(allowed)
            self._of_object[key] = self._number(allowed.T if turned else allowed)
        return self._of_object[key]

    def merged(self, first: int, second: int) -> int:
        key = (min(first, second), max(first, second))
        if key not in self._merged:
            self._merged[key] = self._number(self.tables[first] & self.tables[second])
        return self._merged[key]

    def _number(self, allowed: NDArray[np.bool_]) -> int:
        table = np.ascontiguousarray(allowed, bool)
        found = self._known.setdefault(table.tobytes(), len(self.tables))
        if found == len(self.tables):
            self.tables.append(table)
        return found
