"""The demands of all rules, gathered into tables over section and paint numbers.

The model still knows nothing of clauses: it is what every way of solving starts from.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from palette.demands import (
    Clause,
    Demand,
    Falling,
    NotAllAlike,
    OnlyPaints,
    PairTable,
    Rule,
    Total,
    Variety,
)
from palette.solving.pairs import PairTables, gather_pairs
from palette.survey import Survey

__all__ = ["Limit", "Model", "Slope", "Wants", "build_model", "gather_model"]


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
    had and lacked.
    """

    only: tuple[tuple[int, NDArray[np.bool_]], ...] = ()
    tables: PairTables = field(default_factory=PairTables)
    slopes: tuple[Slope, ...] = ()
    alike: tuple[tuple[int, ...], ...] = ()
    clauses: tuple[tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]], ...] = ()
    limits: tuple[tuple[Limit, ...], ...] = ()
    varieties: tuple[tuple[int, int | None], ...] = ()


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


def build_model(survey: Survey, rules: Sequence[Rule]) -> Model:
    """Return the model of all demands of the rules."""
    must = (demand for rule in rules if rule.strength == "must" for demand in rule.demands(survey))
    prefer = (demand for rule in rules if rule.strength == "prefer" for demand in rule.demands(survey))
    return gather_model(survey, must, prefer)


def gather_model(survey: Survey, must: Iterable[Demand], prefer: Iterable[Demand] = ()) -> Model:
    """Return the model of some demands.

    What must hold is merged where it meets on one pair or one section; what is preferred stays
    apart, for each demand is missed by itself.
    """
    number = {section: k for k, section in enumerate(survey.panel.ids)}
    paints = len(survey.appearance.paints)
    firm = _gather(must, number, paints, merge=True)
    mask = np.ones((len(number), paints), bool)
    for section, allowed in firm.only:
        mask[section] &= allowed
    neighbours = survey.adjacency.neighbours
    return Model(
        mask=mask,
        must=firm,
        prefer=_gather(prefer, number, paints, merge=False),
        contacts=np.array([(number[c.a], number[c.b]) for c in neighbours], np.int64).reshape(-1, 2),
        borders=np.array([c.border_mm for c in neighbours], float),
        strength=survey.appearance.weakest_differences(survey.appearance.lights),
    )


def _gather(demands: Iterable[Demand], number: dict[str, int], paints: int, *, merge: bool) -> Wants:
    tables: list[tuple[int, int, NDArray[np.bool_]]] = []
    only, slopes, alike, clauses, limits, varieties = [], [], [], [], [], []
    for demand in demands:
        match demand:
            case PairTable():
                tables.append((number[demand.a], number[demand.b], demand.allowed))
            case OnlyPaints():
                only.append((number[demand.section], demand.allowed))
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
            case NotAllAlike():
                alike.append(tuple(number[section] for section in demand.sections))
            case Clause():
                have = tuple((number[section], paint) for section, paint in demand.have)
                lack = tuple((number[section], paint) for section, paint in demand.lack)
                clauses.append((have, lack))
            case Total():
                limits.append(_limits(demand, number))
            case Variety():
                varieties.append((demand.at_least, demand.at_most))
    return Wants(
        only=tuple(only),
        tables=gather_pairs(tables, paints, merge=merge),
        slopes=tuple(slopes),
        alike=tuple(alike),
        clauses=tuple(clauses),
        limits=tuple(limits),
        varieties=tuple(varieties),
    )


def _limits(demand: Total, number: dict[str, int]) -> tuple[Limit, ...]:
    sections, paints = np.nonzero(demand.weight)
    weight = demand.weight[sections, paints]
    pairs = tuple((number[pair.a], number[pair.b], pair.weight) for pair in demand.pairs)
    ends = []
    if demand.at_most is not None:
        ends.append(
            Limit(
                sections=sections, paints=paints, weight=weight, holds=True, pairs=pairs, cap=demand.at_most
            )
        )
    if demand.at_least is not None:
        # "At least" is "at most" of what is left out.
        most = [(a, b, int(table.max()) - table) for a, b, table in pairs]
        whole = int(weight.sum()) + sum(int(table.max()) for _, _, table in pairs)
        ends.append(
            Limit(
                sections=sections,
                paints=paints,
                weight=weight,
                holds=False,
                pairs=tuple(most),
                cap=whole - demand.at_least,
            )
        )
    return tuple(ends)
