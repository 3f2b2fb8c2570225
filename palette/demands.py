"""The vocabulary in which rules say what they want and the engine hears it.

A rule speaks twice, in two voices that share no code: `Rule.demands` tells the engine, in the
few words below, what any scheme must keep; `Rule.breaches` looks at one finished scheme and
says where it is broken. `check_scheme` listens only to the second voice, so a fault in an
encoding, or in the engine, shows as a disagreement.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = [
    "Breach",
    "Clause",
    "Demand",
    "Falling",
    "NotAllAlike",
    "OnlyPaints",
    "PairTable",
    "PairWeights",
    "Rule",
    "Strength",
    "Total",
    "Variety",
    "Verdict",
    "WeakestPair",
    "check_scheme",
    "weakest_pair",
]

Strength = Literal["must", "prefer"]
"""A rule that must hold, or one whose breaches are to be as few as can be."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairTable:
    """Two sections and the pairs of paints they may have.

    `allowed` is bool, shape (P, P): row for the paint of `a`, column for the paint of `b`.
    """

    rule: str
    a: str
    b: str
    allowed: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnlyPaints:
    """A section and the paints it may have; `allowed` is bool, shape (P,)."""

    rule: str
    section: str
    allowed: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Falling:
    """A value of paints that may not rise along an order of sections.

    For any two sections with ``position[b] - position[a] >= apart`` (and > 0) the paint of b
    may exceed the paint of a by at most `tolerance`. Said as an order, never as all pairs:
    the engine bounds it by a step function, so it stays linear in the number of sections.

    Parameters
    ----------
    sections : tuple of str
    position : ndarray, shape (len(sections),)
    value : ndarray, shape (P,)
    tolerance, apart : float
    """

    rule: str
    sections: tuple[str, ...]
    position: NDArray[np.float64]
    value: NDArray[np.float64]
    tolerance: float
    apart: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NotAllAlike:
    """Sections that may not all have the same paint."""

    rule: str
    sections: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clause:
    """At least one of these is so: a section has a paint (`have`), or has not (`lack`).

    Both are pairs of section id and paint number.
    """

    rule: str
    have: tuple[tuple[str, int], ...] = ()
    lack: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairWeights:
    """What two sections add to a total: int64, shape (P, P), row for `a`, column for `b`."""

    a: str
    b: str
    weight: NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Total:
    """A sum over the whole panel that stays between two ends, in whole numbers so that it is exact.

    `weight` is int64, shape (S, P) in the panel's order, 0 or more: what a section adds when it
    has a paint. `pairs` add what two sections' paints weigh together.
    """

    rule: str
    weight: NDArray[np.int64]
    at_least: int | None = None
    at_most: int | None = None
    pairs: tuple[PairWeights, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Variety:
    """How many different paints are used at all."""

    rule: str
    at_least: int = 0
    at_most: int | None = None


Demand = PairTable | OnlyPaints | Falling | NotAllAlike | Clause | Total | Variety
"""Every demand can be missed once, a `Falling` once for each section that is too high: so many
breaches does its rule report. Preferences are counted by that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One place where a scheme breaks a rule.

    Parameters
    ----------
    rule : str
        The rule's kind.
    sections : tuple of str
        The ids it happens at.
    sentence : str
        For people.
    detail : mapping of str to object
        Figures for tables and JSON.
    """

    rule: str
    sections: tuple[str, ...]
    sentence: str
    detail: Mapping[str, object]


class Rule(Protocol):
    """What every rule can do. `kind` is the word a brief calls it by."""

    kind: ClassVar[str]

    @property
    def strength(self) -> Strength:
        """Whether the rule must hold or is preferred."""
        ...

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        ...

    def faults(self, survey: Survey) -> Iterable[InputError]:
        """Yield what makes the rule unusable here: unknown lights, sections or paints."""
        ...

    def demands(self, survey: Survey) -> Iterable[Demand]:
        """Yield what the engine must keep."""
        ...

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterable[Breach]:
        """Yield where a finished scheme breaks the rule, judged without `demands`."""
        ...

    def looser(self, survey: Survey) -> Iterable[Sequence[tuple[str, Rule]]]:
        """Yield ladders of looser versions, each with the change in words, least change first.

        Whatever keeps a rung keeps the rungs after it.
        """
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The judgement of one scheme: kept when there are no breaches.

    Parameters
    ----------
    breaches : tuple of Breach
        Of rules that must hold.
    weakest : WeakestPair or None
        Least CIEDE2000 between neighbours over the lights; None where the panel has no
        neighbours.
    missed : tuple of Breach
        Breaches of rules that are only preferred.
    of_rule : tuple of tuple of Breach
        The same breaches, one tuple for each rule in the order they were given.
    """

    breaches: tuple[Breach, ...]
    weakest: WeakestPair | None
    missed: tuple[Breach, ...] = ()
    of_rule: tuple[tuple[Breach, ...], ...] = ()

    @property
    def kept(self) -> bool:
        """True when every rule that must hold does."""
        return not self.breaches


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakestPair:
    """The two neighbours that look most alike, and where.

    Parameters
    ----------
    a, b : str
        Section ids.
    light : str
    difference : float
        CIEDE2000.
    """

    a: str
    b: str
    light: str
    difference: float


def check_scheme(
    survey: Survey, rules: Sequence[Rule], scheme: Scheme, *, where: str = "scheme"
) -> Verdict:
    """Judge any scheme, also one edited by hand, without the solver.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule
    scheme : Scheme
    where : str
        Its file, for messages.

    Returns
    -------
    Verdict

    Raises
    ------
    InputError
        The scheme leaves a section out, or names a section or a paint that does not exist.
    """
    _require_complete(survey, scheme, where)
    of_rule = tuple(tuple(rule.breaches(survey, scheme)) for rule in rules)
    found: dict[Strength, list[Breach]] = {"must": [], "prefer": []}
    for rule, breaches in zip(rules, of_rule, strict=True):
        found[rule.strength].extend(breaches)
    return Verdict(
        breaches=tuple(found["must"]),
        weakest=weakest_pair(survey, scheme),
        missed=tuple(found["prefer"]),
        of_rule=of_rule,
    )


def weakest_pair(survey: Survey, scheme: Scheme) -> WeakestPair | None:
    """Return the two neighbours that look most alike over all lights of the survey."""
    index = {paint.id: k for k, paint in enumerate(survey.paints)}
    found: WeakestPair | None = None
    for light in survey.appearance.lights:
        table = survey.appearance.differences(light)
        for contact in survey.adjacency.neighbours:
            p, q = index[scheme.paint_of[contact.a]], index[scheme.paint_of[contact.b]]
            if found is None or table[p, q] < found.difference:
                found = WeakestPair(a=contact.a, b=contact.b, light=light, difference=float(table[p, q]))
    return found


def _require_complete(survey: Survey, scheme: Scheme, where: str) -> None:
    sections, paints = set(survey.panel.ids), {paint.id for paint in survey.paints}
    faults = []
    for section in survey.panel.ids:
        if section not in scheme.paint_of:
            what, mend = f'the section "{section}" has no paint', "add it to paint_of"
            faults.append(InputError(where, what, mend))
    for section, paint in scheme.paint_of.items():
        if section not in sections:
            what = f'it paints "{section}", which the panel does not have'
            faults.append(InputError(where, what, "correct the name or take it out of paint_of"))
        if paint not in paints:
            what = f'it gives "{section}" the paint "{paint}", which is not on the shelf'
            faults.append(InputError(where, what, "correct the name or add the paint to the paint file"))
    InputError.gather(faults)
