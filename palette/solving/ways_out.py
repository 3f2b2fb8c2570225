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

    Parameters
    ----------
    changes : tuple of str
        Instructions, all of them needed.
    rules : tuple of Rule
        The list as it is after them.
    """

    changes: tuple[str, ...]
    rules: tuple[Rule, ...]


def find_ways_out(survey: Survey, rules: Sequence[Rule], *, seconds: float = 5.0) -> tuple[WayOut, ...]:
    """Return the smallest changes that make a scheme possible, gentlest kind first.

    For each option of each rule that collides, the least change that is enough. Where no single
    option is enough, two of different rules together; after those, whole rules to leave out, one
    or else two. Empty where there is a scheme already, or no way was found in the time.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule
    seconds : float
        Time for all of them, s.

    Returns
    -------
    tuple of WayOut

    Raises
    ------
    InputError
        A rule cannot be used on this panel.
    """
    found = find_collision(survey, rules)
    if found is None:
        return ()
    clock = Clock(Limits(seconds=seconds))
    listed = list(rules)
    ways = [way for number in found.rules for way in _loosened(survey, listed, number, clock)]
    if not ways:
        ways = _two_loosened(survey, listed, found.rules, clock)
    for k in found.rules:
        # A rule that can be loosened is not thrown away while anything gentler helps.
        loose = any(len(ladder) for ladder in listed[k].looser(survey))
        if not (ways and loose) and _possible(survey, _without(listed, k), clock):
            told = f"leave out: {listed[k].sentence()[:-1]}"
            ways.append(WayOut(changes=(told,), rules=tuple(_without(listed, k))))
    return tuple(ways) if ways else _pairs_of_rules(survey, listed, list(found.rules), clock)


def _loosened(survey: Survey, rules: list[Rule], number: int, clock: Clock) -> list[WayOut]:
    """Return, for each ladder of a rule, its first rung that is enough."""
    ways = []
    for ladder in rules[number].looser(survey):
        rung = _first_enough(survey, rules, number, ladder, clock)
        if rung is not None:
            told, looser = ladder[rung]
            ways.append(WayOut(changes=(told,), rules=tuple(_replaced(rules, number, looser))))
    return ways


def _two_loosened(survey: Survey, rules: list[Rule], numbers: Sequence[int], clock: Clock) -> list[WayOut]:
    """Return pairs of changes: the first as small as it can be, the second as small after it."""
    ways = []
    for first in numbers:
        for second in range(len(rules)):
            if second == first:
                continue
            for ladder in rules[first].looser(survey):
                # Nothing of the second rule stands in the way yet, so this rung is a least one.
                alone = _first_enough(survey, rules, first, ladder, clock, ignored=second)
                if alone is None:
                    continue
                told, looser = ladder[alone]
                after = _replaced(rules, first, looser)
                for way in _loosened(survey, after, second, clock):
                    ways.append(WayOut(changes=(told, *way.changes), rules=way.rules))
    return ways


def _first_enough(
    survey: Survey,
    rules: list[Rule],
    number: int,
    ladder: Sequence[tuple[str, Rule]],
    clock: Clock,
    ignored: int | None = None,
) -> int | None:
    """Return the first rung of a ladder with which there is a scheme, or None."""

    def enough(rung: int) -> bool:
        changed = _replaced(rules, number, ladder[rung][1])
        return _possible(survey, changed if ignored is None else _without(changed, ignored), clock)

    if not ladder or not enough(len(ladder) - 1):
        return None
    low, high = 0, len(ladder) - 1
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return high


def _replaced(rules: list[Rule], number: int, rule: Rule) -> list[Rule]:
    return [*rules[:number], rule, *rules[number + 1 :]]


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

    Parameters
    ----------
    paint : str
    possible : bool
        Whether there is a scheme with it.
    weakest : float or None
        CIEDE2000 of the weakest pair it allows; None without neighbours or scheme.
    gain : float or None
        By how much CIEDE2000 that is better than without it.
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
    rules : sequence of Rule
    owned : sequence of str
        Paints on the shelf.
    limits : Limits or None
        When to stop on each paint.

    Returns
    -------
    tuple of Purchase

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
