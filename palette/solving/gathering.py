"""The demands of all rules, gathered into one model."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from palette.demands import Clause, Falling, NotAllAlike, OnlyPaints, PairTable, Rule, Total, Variety
from palette.solving.model import Limit, Model, Slope, Wants
from palette.solving.pairs import gather_pairs
from palette.survey import Survey

__all__ = ["build_model", "gather_model"]


def build_model(survey: Survey, rules: Sequence[Rule]) -> Model:
    """Return the model of all demands of the rules."""
    must = [(k, rule) for k, rule in enumerate(rules) if rule.strength == "must"]
    prefer = [(k, rule) for k, rule in enumerate(rules) if rule.strength == "prefer"]
    return gather_model(survey, must, prefer)


def gather_model(
    survey: Survey, must: Sequence[tuple[int, Rule]], prefer: Sequence[tuple[int, Rule]]
) -> Model:
    """Return the model of numbered rules, some to be kept and some preferred.

    What must hold is merged where it meets on one pair or one section; what is preferred stays
    apart, for each demand is missed by itself.
    """
    number = {section: k for k, section in enumerate(survey.panel.ids)}
    paints = len(survey.appearance.paints)
    firm = _gather(must, survey, number, paints, merge=True)
    mask = np.ones((len(number), paints), bool)
    for section, allowed in firm.only:
        mask[section] &= allowed
    neighbours = survey.adjacency.neighbours
    return Model(
        mask=mask,
        must=firm,
        prefer=_gather(prefer, survey, number, paints, merge=False),
        contacts=np.array([(number[c.a], number[c.b]) for c in neighbours], np.int64).reshape(-1, 2),
        borders=np.array([c.border_mm for c in neighbours], float),
        strength=survey.appearance.weakest_differences(survey.appearance.lights),
    )


def _gather(
    rules: Sequence[tuple[int, Rule]], survey: Survey, number: dict[str, int], paints: int, *, merge: bool
) -> Wants:
    tables: list[tuple[int, int, NDArray[np.bool_]]] = []
    only, slopes, alike, clauses, limits, varieties = [], [], [], [], [], []
    # Where each kind can be missed: the rule's number and the sections.
    spots: dict[str, list[tuple[int, tuple[int, ...]]]] = {kind: [] for kind in _KINDS}
    for rule, demand in ((k, demand) for k, one in rules for demand in one.demands(survey)):
        match demand:
            case PairTable():
                a, b = number[demand.a], number[demand.b]
                tables.append((a, b, demand.allowed))
                spots["tables"].append((rule, (a, b)))
            case OnlyPaints():
                only.append((number[demand.section], demand.allowed))
                spots["only"].append((rule, (number[demand.section],)))
            case Falling():
                slopes.append(_slope(demand, number))
                spots["slopes"] += [(rule, (number[section],)) for section in demand.sections]
            case NotAllAlike():
                alike.append(tuple(number[section] for section in demand.sections))
                spots["alike"].append((rule, alike[-1]))
            case Clause():
                have = tuple((number[section], paint) for section, paint in demand.have)
                lack = tuple((number[section], paint) for section, paint in demand.lack)
                clauses.append((have, lack))
                spots["clauses"].append((rule, tuple(dict.fromkeys(s for s, _ in have + lack))))
            case Total():
                limits.append(_limits(demand, number))
                spots["limits"].append((rule, ()))
            case Variety():
                varieties.append((demand.at_least, demand.at_most))
                spots["varieties"].append((rule, ()))
    return Wants(
        only=tuple(only),
        tables=gather_pairs(tables, paints, merge=merge),
        slopes=tuple(slopes),
        alike=tuple(alike),
        clauses=tuple(clauses),
        limits=tuple(limits),
        varieties=tuple(varieties),
        places=() if merge else tuple(spot for kind in _KINDS for spot in spots[kind]),
    )


_KINDS = ("only", "tables", "slopes", "alike", "clauses", "limits", "varieties")
"""In the order `Wants.places` and the literals of preferred demands follow."""


def _slope(demand: Falling, number: dict[str, int]) -> Slope:
    return Slope(
        sections=np.array([number[section] for section in demand.sections], np.int64),
        position=np.asarray(demand.position, float),
        value=np.asarray(demand.value, float),
        tolerance=demand.tolerance,
        apart=demand.apart,
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
