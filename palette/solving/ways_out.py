"""What to change when there is no scheme, and what to buy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette.demands import Rule
from palette.errors import InputError, NoScheme
from palette.solving.clauses import write_formula
from palette.solving.collision import find_collision
from palette.solving.engine import Engine
from palette.solving.gathering import build_model
from palette.solving.limits import Clock, Limits, Undecided
from palette.solving.search import solve
from palette.survey import Survey

__all__ = ["Purchase", "WayOut", "advise_purchase", "find_ways_out"]

_PATIENCE = 5_000
"""Conflicts over one change: what takes longer is not offered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """A smallest change after which there is a scheme.

    `changes` are instructions, all of them needed; `rules` is the list as it is after them.
    """

    changes: tuple[str, ...]
    rules: tuple[Rule, ...]


def find_ways_out(survey: Survey, rules: Sequence[Rule], *, seconds: float = 5.0) -> tuple[WayOut, ...]:
    """Return the changes to single rules, or else to two at once, that make a scheme possible.

    For each option of each rule that collides, the least change that is enough; leaving the rule
    out where no smaller change is. Empty where there is a scheme already, or no way was found.
    """
    found = find_collision(survey, rules)
    if found is None:
        return ()
    clock = Clock(Limits(seconds=seconds))
    listed = list(rules)
    single: list[WayOut] = []
    hopeless: list[int] = []
    for number in found.rules:
        if _possible(survey, _without(listed, number), clock):
            single += _least_changes(survey, listed, number, clock)
        else:
            hopeless.append(number)
    return tuple(single) if single else _pairs_of_rules(survey, listed, hopeless, clock)


def _least_changes(survey: Survey, rules: list[Rule], number: int, clock: Clock) -> list[WayOut]:
    """Return, for each ladder of a rule, its first rung that is enough; or the rule left out."""
    rule = rules[number]
    ways = []
    for ladder in rule.looser(survey):
        enough = len(ladder)
        low, high = 0, len(ladder)
        while low < high:
            middle = (low + high) // 2
            if _possible(survey, [*rules[:number], ladder[middle][1], *rules[number + 1 :]], clock):
                enough = high = middle
            else:
                low = middle + 1
        if enough < len(ladder):
            told, looser = ladder[enough]
            ways.append(WayOut(changes=(told,), rules=(*rules[:number], looser, *rules[number + 1 :])))
    if not ways:
        told = f"leave out: {rule.sentence()[:-1]}"
        ways.append(WayOut(changes=(told,), rules=tuple(_without(rules, number))))
    return ways


def _pairs_of_rules(
    survey: Survey, rules: list[Rule], numbers: list[int], clock: Clock
) -> tuple[WayOut, ...]:
    """Return two rules to leave out together, one of them from the collision."""
    ways = []
    for first in numbers:
        for second in range(len(rules)):
            if second == first or (second in numbers and second < first):
                continue
            rest = [rule for k, rule in enumerate(rules) if k not in (first, second)]
            if _possible(survey, rest, clock):
                told = tuple(f"leave out: {rules[k].sentence()[:-1]}" for k in (first, second))
                ways.append(WayOut(changes=told, rules=tuple(rest)))
    return tuple(ways)


def _without(rules: list[Rule], number: int) -> list[Rule]:
    return [*rules[:number], *rules[number + 1 :]]


def _possible(survey: Survey, rules: Sequence[Rule], clock: Clock) -> bool:
    try:
        with Engine(write_formula(build_model(survey, rules)), clock) as engine:
            return engine.find(patience=_PATIENCE) is not None
    except Undecided:
        return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One paint that could be bought.

    `possible` says whether there is a scheme with it; `weakest` is the weakest pair it allows
    (None without neighbours or scheme), `gain` by how much that is better than without it.
    """

    paint: str
    possible: bool
    weakest: float | None
    gain: float | None


def advise_purchase(
    survey: Survey, rules: Sequence[Rule], owned: Sequence[str], *, limits: Limits | None = None
) -> tuple[Purchase, ...]:
    """Return each paint that is not owned with what buying it alone would bring, best first.

    Parameters
    ----------
    survey : Survey
        With all paints: those owned and those on offer.
    owned : sequence of str
        Paints on the shelf.

    Raises
    ------
    InputError
        A paint that is owned is not in the survey, or nothing is on offer.
    """
    unknown = [paint for paint in owned if paint not in survey.appearance.paints]
    InputError.gather(
        InputError("shelf", f'the paint "{paint}" is not in the survey', "correct its name")
        for paint in unknown
    )
    offers = [paint for paint in survey.appearance.paints if paint not in owned]
    if not offers:
        raise InputError("shelf", "no paint is on offer that is not owned", "add paints to choose from")
    before = _weakest(_with_paints(survey, owned), rules, limits)
    found = []
    for paint in offers:
        possible, weakest = _weakest(_with_paints(survey, [*owned, paint]), rules, limits)
        gain = weakest - before[1] if weakest is not None and before[1] is not None else None
        found.append(Purchase(paint=paint, possible=possible, weakest=weakest, gain=gain))
    return tuple(sorted(found, key=lambda one: (not one.possible, -(one.weakest or 0.0), one.paint)))


def _weakest(survey: Survey, rules: Sequence[Rule], limits: Limits | None) -> tuple[bool, float | None]:
    try:
        scheme = solve(survey, rules, aims=("weakest-pair",), limits=limits)
    except NoScheme:
        return False, None
    levels = [level for level in scheme.proof.levels if level.aim == "weakest-pair"] if scheme.proof else []
    return True, levels[0].value if levels else None


def _with_paints(survey: Survey, paints: Sequence[str]) -> Survey:
    appearance = survey.appearance
    chosen = np.flatnonzero(np.isin(appearance.paints, list(paints)))
    return replace(
        survey,
        paints=tuple(survey.paints[k] for k in chosen.tolist()),
        appearance=replace(
            appearance,
            paints=tuple(appearance.paints[k] for k in chosen.tolist()),
            xyz=appearance.xyz[chosen],
            lab=appearance.lab[chosen],
        ),
    )
