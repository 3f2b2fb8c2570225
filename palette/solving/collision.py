"""Why there is no scheme: the fewest rules, and the fewest places, that cannot all hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from palette.demands import Rule
from palette.errors import NoScheme
from palette.solving.clauses import write_formula
from palette.solving.engine import Engine
from palette.solving.gathering import gather_model
from palette.solving.limits import Clock, Limits, Undecided
from palette.survey import Survey

__all__ = ["Collision", "find_collision", "no_scheme"]

_SECONDS = 2.0
"""For shrinking; what is left after it still collides, but may not be the fewest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Collision:
    """Rules and places that cannot all hold.

    Parameters
    ----------
    rules : tuple of int
        Numbers in the list asked about, from 0.
    places : tuple of (int, tuple of str)
        A rule's number and the ids of the sections it collides at, none for the whole panel.
    minimal : bool
        True when without any one of them the rest holds.
    """

    rules: tuple[int, ...]
    places: tuple[tuple[int, tuple[str, ...]], ...]
    minimal: bool


def find_collision(survey: Survey, rules: Sequence[Rule]) -> Collision | None:
    """Return a smallest set of rules, and within them of places, that collide; None if none do.

    Smallest means that nothing can be left out of it; there may be other such sets. Where the
    time for it runs out, all rules are returned, and `minimal` is False.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule

    Returns
    -------
    Collision or None

    Raises
    ------
    InputError
        A rule cannot be used on this panel.
    """
    firm = [(k, rule) for k, rule in enumerate(rules) if rule.strength == "must"]
    formula = write_formula(gather_model(survey, (), firm))
    places = formula.model.prefer.places
    clock = Clock(Limits(seconds=_SECONDS))
    with Engine(formula, clock) as engine:
        shrinking = _Shrinking(engine, formula.misses.tolist())
        everything = list(range(len(places)))
        try:
            if shrinking.holds(everything):
                return None
        except Undecided:
            return Collision(rules=tuple(k for k, _ in firm), places=(), minimal=False)
        needed = _fewest_rules(shrinking, places)
        needed, minimal = _fewest_places(shrinking, needed)
    ids = survey.panel.ids
    return Collision(
        rules=tuple(sorted({places[k][0] for k in needed})),
        places=tuple((places[k][0], tuple(ids[s] for s in places[k][1])) for k in needed),
        minimal=minimal,
    )


class _Shrinking:
    """Answers whether some places can hold together, and keeps the core of a "no"."""

    def __init__(self, engine: Engine, lifts: list[int]) -> None:
        self._engine = engine
        self._lifts = lifts
        self._place_of = {-lift: k for k, lift in enumerate(lifts)}
        self.core: list[int] = []

    def holds(self, places: Sequence[int]) -> bool:
        if self._engine.find([-self._lifts[k] for k in places]) is not None:
            return True
        self.core = sorted(self._place_of[literal] for literal in self._engine.core())
        return False


def _fewest_rules(shrinking: _Shrinking, places: Sequence[tuple[int, tuple[int, ...]]]) -> list[int]:
    """Return all places of a smallest set of colliding rules."""
    needed = {places[k][0] for k in shrinking.core}
    for rule in sorted(needed):
        fewer = [k for k, (its, _) in enumerate(places) if its in needed and its != rule]
        try:
            if not shrinking.holds(fewer):
                needed &= {places[k][0] for k in shrinking.core}
        except Undecided:
            break
    return [k for k, (its, _) in enumerate(places) if its in needed]


def _fewest_places(shrinking: _Shrinking, places: list[int]) -> tuple[list[int], bool]:
    """Return a smallest set of colliding places out of these, and whether it is one."""
    try:
        shrinking.holds(places)
    except Undecided:
        return places, False
    needed = shrinking.core
    # A core is often far from smallest; asking it again, alone, shrinks it cheaply.
    for _ in range(5):
        before = len(needed)
        try:
            shrinking.holds(needed)
        except Undecided:
            return needed, False
        needed = shrinking.core
        if len(needed) == before:
            break
    kept: list[int] = []
    while needed:
        trial = needed[0]
        try:
            if shrinking.holds(kept + needed[1:]):
                kept.append(trial)
                needed = needed[1:]
            else:
                core = set(shrinking.core)
                needed = [k for k in needed[1:] if k in core]
        except Undecided:
            return kept + needed, False
    return sorted(kept), True


def no_scheme(survey: Survey, rules: Sequence[Rule]) -> NoScheme:
    """Return the error that names the rules that collide, and where."""
    found = find_collision(survey, rules)
    if found is None:
        return NoScheme(f"There is no scheme for {survey.panel.name}.")
    kinds = tuple(dict.fromkeys(rules[k].kind for k in found.rules))
    sections = [s for s in survey.panel.ids if any(s in named for _, named in found.places)]
    return NoScheme(
        f"There is no scheme for {survey.panel.name}: {_told(found, kinds, sections, survey)}.",
        rules=kinds,
        places=tuple(named for _, named in found.places),
    )


def _told(found: Collision, kinds: tuple[str, ...], sections: list[str], survey: Survey) -> str:
    paints = len(survey.paints)
    shelf = "the one paint" if paints == 1 else f"the {paints} paints"
    if len(found.rules) == 1:
        who = f"the rule {kinds[0]} cannot be kept"
    elif len(kinds) == 1:
        who = f"{len(found.rules)} rules of kind {kinds[0]} cannot all be kept"
    else:
        who = f"the rules {', '.join(kinds[:-1])} and {kinds[-1]} cannot all be kept"
    if not sections:
        return f"{who} with {shelf}"
    if len(sections) > 12:
        return f"{who} with {shelf} on {len(sections)} sections, among them {', '.join(sections[:5])}"
    listed = sections[0] if len(sections) == 1 else f"{', '.join(sections[:-1])} and {sections[-1]}"
    return f"{who} with {shelf} on {listed}"
