"""The vocabulary in which rules say what they want and the engine hears it.

A rule speaks twice, in two voices that share no code: `Rule.demands` tells the engine, in the
few words below, what any scheme must keep; `Rule.breaches` looks at one finished scheme and
says where it is broken. `check_scheme` listens only to the second voice, so a fault in an
encoding, or in the engine, shows as a disagreement.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = [
    "Breach",
    "Demand",
    "Falling",
    "OnlyPaints",
    "PairTable",
    "Rule",
    "Verdict",
    "check_scheme",
]


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


Demand = PairTable | OnlyPaints | Falling


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One place where a scheme breaks a rule.

    `sections` are the ids it happens at; `amount` is how far beyond what is allowed, in `unit`;
    `detail` are figures for tables and JSON.
    """

    rule: str
    sections: tuple[str, ...]
    sentence: str
    detail: Mapping[str, object]


class Rule(Protocol):
    """What every rule can do. `kind` is the word a brief calls it by."""

    kind: ClassVar[str]

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The judgement of one scheme: kept when there are no breaches.

    `weakest` is the least CIEDE2000 between neighbours over the lights, with its pair and light,
    or None where the panel has no neighbours.
    """

    breaches: tuple[Breach, ...]
    weakest: WeakestPair | None

    @property
    def kept(self) -> bool:
        """True when every rule is kept."""
        return not self.breaches


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakestPair:
    """The two neighbours that look most alike, and where."""

    a: str
    b: str
    light: str
    difference: float


def check_scheme(survey: Survey, rules: Sequence[Rule], scheme: Scheme) -> Verdict:
    """Judge any scheme, also one edited by hand, without the solver.

    Raises
    ------
    InputError
        The scheme leaves a section out, or names a section or a paint that does not exist.
    """
    _complete(survey, scheme)
    breaches = tuple(breach for rule in rules for breach in rule.breaches(survey, scheme))
    return Verdict(breaches=breaches, weakest=weakest_pair(survey, scheme))


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


def _complete(survey: Survey, scheme: Scheme) -> None:
    sections, paints = set(survey.panel.ids), {paint.id for paint in survey.paints}
    faults = []
    for section in survey.panel.ids:
        if section not in scheme.paint_of:
            what, mend = f'the section "{section}" has no paint', "add it to paint_of"
            faults.append(InputError("scheme", what, mend))
    for section, paint in scheme.paint_of.items():
        if section not in sections:
            what = f'it paints "{section}", which the panel does not have'
            faults.append(InputError("scheme", what, "correct the name or take it out of paint_of"))
        if paint not in paints:
            what = f'it gives "{section}" the paint "{paint}", which is not on the shelf'
            faults.append(InputError("scheme", what, "correct the name or add the paint to the paint file"))
    InputError.gather(faults)
