"""What is wanted, as tables over section and paint numbers.

The model still knows nothing of clauses: it is what every way of solving starts from.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from palette.solving.pairs import PairTables

__all__ = ["Limit", "Model", "Slope", "Wants"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Slope:
    """A `Falling` demand over section numbers."""

    sections: NDArray[np.int64]
    position: NDArray[np.float64]
    value: NDArray[np.float64]
    tolerance: float
    apart: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Limit:
    """One end of a `Total`: the sum of weights may not pass `cap`.

    ``weight[k]`` counts when section ``sections[k]`` has paint ``paints[k]``, or, where `holds` is
    False, when it has not. `pairs` are section numbers and a table of what their paints weigh.
    """

    sections: NDArray[np.int64]
    paints: NDArray[np.int64]
    weight: NDArray[np.int64]
    holds: bool
    pairs: tuple[tuple[int, int, NDArray[np.int64]], ...]
    cap: int

    def amount(self, scheme: NDArray[np.int64]) -> int:
        """Return the sum for a scheme, exactly."""
        has = scheme[self.sections] == self.paints
        total = int(self.weight[has if self.holds else ~has].sum())
        return total + sum(int(table[scheme[a], scheme[b]]) for a, b, table in self.pairs)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wants:
    """Demands of one strength, by kind.

    `only` are sections with the paints they may have; `clauses` pairs of (section, paint) lists,
    had and lacked. `places` say of each way to miss a demand, in the order the kinds stand here,
    the number of its rule and the sections it happens at (none for the whole panel).
    """

    only: tuple[tuple[int, NDArray[np.bool_]], ...] = ()
    tables: PairTables = field(default_factory=PairTables)
    slopes: tuple[Slope, ...] = ()
    alike: tuple[tuple[int, ...], ...] = ()
    clauses: tuple[tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]], ...] = ()
    limits: tuple[tuple[Limit, ...], ...] = ()
    varieties: tuple[tuple[int, int | None], ...] = ()
    places: tuple[tuple[int, tuple[int, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Model:
    """S sections, P paints and what is wanted of them.

    Parameters
    ----------
    mask : ndarray of bool, shape (S, P)
        Paints each section may have.
    must, prefer : Wants
        What has to hold, and what is missed as seldom as can be.
    contacts : ndarray of int, shape (C, 2)
        Neighbours, which the aims look at.
    borders : ndarray of float, shape (C,)
        How long they face each other, mm.
    strength : ndarray of float, shape (P, P)
        How different two paints look, the least over all lights.
    """

    mask: NDArray[np.bool_]
    must: Wants
    prefer: Wants
    contacts: NDArray[np.int64]
    borders: NDArray[np.float64]
    strength: NDArray[np.float64]

    @property
    def shape(self) -> tuple[int, int]:
        """Sections and paints."""
        return self.mask.shape[0], self.mask.shape[1]

    def contrast(self, scheme: NDArray[np.int64]) -> float:
        """Return the sum of border times strength over the contacts, of a scheme's paint numbers."""
        first, second = scheme[self.contacts[:, 0]], scheme[self.contacts[:, 1]]
        return float((self.borders * self.strength[first, second]).sum())
