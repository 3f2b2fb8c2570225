"""The demands of all rules, gathered into tables over sections and paints.

The model still knows nothing of clauses: it is what every way of solving starts from.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.demands import Demand, Falling, OnlyPaints, PairTable, Rule
from palette.survey import Survey

__all__ = ["Model", "Slope", "build_model"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Slope:
    """A `Falling` demand over section numbers."""

    sections: NDArray[np.int64]
    position: NDArray[np.float64]
    value: NDArray[np.float64]
    tolerance: float
    apart: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Model:
    """S sections, P paints and what is wanted of them.

    Parameters
    ----------
    mask : ndarray of bool, shape (S, P)
        Paints each section may have.
    pairs : ndarray of int, shape (M, 2)
        Sections that share a table, each pair once, first number smaller.
    table_of : ndarray of int, shape (M,)
        Which of `tables` holds for the pair.
    tables : ndarray of bool, shape (T, P, P)
        Allowed paints: row for the first section of the pair, column for the second.
    slopes : tuple of Slope
    contacts : ndarray of int, shape (C, 2)
        Neighbours, which the aims look at.
    strength : ndarray of float, shape (P, P)
        How different two paints look, the least over all lights.
    """

    mask: NDArray[np.bool_]
    pairs: NDArray[np.int64]
    table_of: NDArray[np.int64]
    tables: NDArray[np.bool_]
    slopes: tuple[Slope, ...]
    contacts: NDArray[np.int64]
    strength: NDArray[np.float64]

    @property
    def shape(self) -> tuple[int, int]:
        """Sections and paints."""
        return self.mask.shape[0], self.mask.shape[1]


def build_model(survey: Survey, rules: Sequence[Rule]) -> Model:
    """Return the model of all demands of the rules."""
    return gather_model(survey, (demand for rule in rules for demand in rule.demands(survey)))


def gather_model(survey: Survey, demands: Iterable[Demand]) -> Model:
    """Return the model of some demands: tables on one pair merge, so do masks of one section."""
    number = {section: k for k, section in enumerate(survey.panel.ids)}
    paints = len(survey.appearance.paints)
    mask = np.ones((len(number), paints), bool)
    merging = _Tables(paints)
    slopes: list[Slope] = []
    for demand in demands:
        match demand:
            case PairTable():
                merging.add(number[demand.a], number[demand.b], demand.allowed)
            case OnlyPaints():
                mask[number[demand.section]] &= demand.allowed
            case Falling():
                slopes.append(
                    Slope(
                        sections=np.array([number[section] for section in demand.sections], np.int64),
                        position=np.asarray(demand.position, float),
                        value=np.asarray(demand.value, float),
                        tolerance=demand.tolerance,
                        apart=demand.apart,
                    )
                )
    pairs, table_of, tables = merging.arrays()
    contacts = [(number[contact.a], number[contact.b]) for contact in survey.adjacency.neighbours]
    return Model(
        mask=mask,
        pairs=pairs,
        table_of=table_of,
        tables=tables,
        slopes=tuple(slopes),
        contacts=np.array(contacts, np.int64).reshape(-1, 2),
        strength=survey.appearance.weakest_differences(survey.appearance.lights),
    )


class _Tables:
    """Pair tables, each distinct one kept once: a rule shares one among thousands of pairs."""

    def __init__(self, paints: int) -> None:
        self._paints = paints
        self._tables: list[NDArray[np.bool_]] = []
        self._known: dict[bytes, int] = {}
        self._of_object: dict[tuple[int, bool], int] = {}
        self._alive: list[NDArray[np.bool_]] = []
        self._of_pair: dict[tuple[int, int], int] = {}
        self._merged: dict[tuple[int, int], int] = {}

    def add(self, a: int, b: int, allowed: NDArray[np.bool_]) -> None:
        key = (id(allowed), a <= b)
        if key not in self._of_object:
            # The array is kept alive so that its id stays its own.
            self._alive.append(allowed)
            self._of_object[key] = self._number(allowed if a <= b else allowed.T)
        table = self._of_object[key]
        pair = (a, b) if a <= b else (b, a)
        earlier = self._of_pair.get(pair)
        self._of_pair[pair] = table if earlier is None else self._merge(earlier, table)

    def _number(self, allowed: NDArray[np.bool_]) -> int:
        table = np.ascontiguousarray(allowed, bool)
        found = self._known.setdefault(table.tobytes(), len(self._tables))
        if found == len(self._tables):
            self._tables.append(table)
        return found

    def _merge(self, first: int, second: int) -> int:
        key = (min(first, second), max(first, second))
        if key not in self._merged:
            self._merged[key] = self._number(self._tables[first] & self._tables[second])
        return self._merged[key]

    def arrays(self) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.bool_]]:
        ordered = sorted(self._of_pair)
        pairs = np.array(ordered, np.int64).reshape(-1, 2)
        table_of = np.array([self._of_pair[pair] for pair in ordered], np.int64)
        shape = (-1, self._paints, self._paints)
        tables = np.array(self._tables, bool).reshape(shape)
        return pairs, table_of, tables
