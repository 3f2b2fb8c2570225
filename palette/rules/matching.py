"""Sections that must share a paint, or must all differ."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, PairTable, Strength
from palette.errors import InputError
from palette.rules.ladder import Ladder
from palette.rules.naming import select_sections, unmatched_sections
from palette.rules.option import must_or_prefer, names, option
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["Different", "Same"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Same:
    """Sections share one paint, like the pieces of a stone that a hatch cuts."""

    kind: ClassVar[str] = "same"

    sections: tuple[str, ...] = option((), names("section"), "two or more sections, or a pattern")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{' and '.join(self.sections)} have the same paint."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown sections, and a rule about fewer than two."""
        yield from _faults(self.kind, self.sections, survey)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield each section tied to the first."""
        first, *others = select_sections(self.sections, survey.panel.ids)
        same = np.eye(len(survey.appearance.paints), dtype=bool)
        for other in others:
            yield PairTable(rule=self.kind, a=first, b=other, allowed=same)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section whose paint is not that of the first."""
        first, *others = select_sections(self.sections, survey.panel.ids)
        for other in others:
            if scheme.paint_of[other] != scheme.paint_of[first]:
                yield _breach(self.kind, first, other, scheme, "do not have the same paint")

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Different:
    """No two of some sections share a paint, wherever they stand."""

    kind: ClassVar[str] = "different"

    sections: tuple[str, ...] = option((), names("section"), "two or more sections, or a pattern")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{' and '.join(self.sections)} have different paints."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown sections, and a rule about fewer than two."""
        yield from _faults(self.kind, self.sections, survey)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield every two sections, held apart."""
        different = ~np.eye(len(survey.appearance.paints), dtype=bool)
        for a, b in itertools.combinations(select_sections(self.sections, survey.panel.ids), 2):
            yield PairTable(rule=self.kind, a=a, b=b, allowed=different)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield every two sections that share a paint."""
        chosen = select_sections(self.sections, survey.panel.ids)
        for k, a in enumerate(chosen):
            for b in chosen[k + 1 :]:
                if scheme.paint_of[a] == scheme.paint_of[b]:
                    yield _breach(self.kind, a, b, scheme, "have the same paint")

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()


def _faults(kind: str, sections: tuple[str, ...], survey: Survey) -> Iterator[InputError]:
    yield from unmatched_sections(kind, sections, survey.panel.ids)
    if len(select_sections(sections, survey.panel.ids)) < 2:
        what = "it is about fewer than two sections, so it can never bind"
        yield InputError(f'rule "{kind}"', what, "name at least two sections")


def _breach(kind: str, a: str, b: str, scheme: Scheme, told: str) -> Breach:
    first, second = scheme.paint_of[a], scheme.paint_of[b]
    return Breach(
        rule=kind,
        sections=(a, b),
        sentence=f"{a} ({first}) and {b} ({second}) {told}.",
        detail={"a": a, "b": b, "paints": [first, second]},
    )
