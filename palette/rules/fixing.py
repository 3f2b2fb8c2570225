"""Paints that particular sections must, may or may not have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, OnlyPaints, Strength
from palette.errors import InputError
from palette.rules.ladder import Ladder
from palette.rules.naming import select_sections, unknown_names, unmatched_sections
from palette.rules.option import must_or_prefer, name, names, option
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["Never", "Only", "Pin"]

_SECTIONS = "the sections it is about, by name or pattern like slab-*; all of them when left out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """Sections have one given paint."""

    kind: ClassVar[str] = "pin"

    sections: tuple[str, ...] | None = option(None, names("section"), _SECTIONS)
    paint: str = option("", name("paint"), "the paint they have")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{_who(self.sections)} painted {self.paint}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown sections and paints."""
        yield from _faults(self.kind, self.sections, (self.paint,), survey)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield the paints each section may have."""
        yield from _demands(self.kind, self.sections, (self.paint,), survey)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section that has another paint."""
        for section in _chosen(self.sections, survey):
            paint = scheme.paint_of[section]
            if paint != self.paint:
                told = f"{section} is {paint}, not {self.paint}."
                yield _breach(self.kind, section, paint, told)

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Only:
    """Sections have one of some paints."""

    kind: ClassVar[str] = "only"

    sections: tuple[str, ...] | None = option(None, names("section"), _SECTIONS)
    paints: tuple[str, ...] = option((), names("paint"), "the paints they may have")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{_who(self.sections)} painted only {_either(self.paints)}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown sections and paints."""
        yield from _faults(self.kind, self.sections, self.paints, survey)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield the paints each section may have."""
        yield from _demands(self.kind, self.sections, self.paints, survey)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section that has a paint outside the list."""
        for section in _chosen(self.sections, survey):
            paint = scheme.paint_of[section]
            if paint not in self.paints:
                told = f"{section} is {paint}, which is not {_either(self.paints)}."
                yield _breach(self.kind, section, paint, told)

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Never:
    """Sections have none of some paints."""

    kind: ClassVar[str] = "never"

    sections: tuple[str, ...] | None = option(None, names("section"), _SECTIONS)
    paints: tuple[str, ...] = option((), names("paint"), "the paints they may not have")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{_who(self.sections)} never painted {_either(self.paints)}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown sections and paints."""
        yield from _faults(self.kind, self.sections, self.paints, survey)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield the paints each section may have."""
        rest = tuple(paint for paint in survey.appearance.paints if paint not in self.paints)
        yield from _demands(self.kind, self.sections, rest, survey)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section that has one of the paints."""
        for section in _chosen(self.sections, survey):
            paint = scheme.paint_of[section]
            if paint in self.paints:
                yield _breach(self.kind, section, paint, f"{section} is {paint}.")

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()


def _chosen(sections: tuple[str, ...] | None, survey: Survey) -> tuple[str, ...]:
    return survey.panel.ids if sections is None else select_sections(sections, survey.panel.ids)


def _faults(
    kind: str, sections: tuple[str, ...] | None, paints: tuple[str, ...], survey: Survey
) -> Iterator[InputError]:
    yield from unmatched_sections(kind, sections or (), survey.panel.ids)
    if not any(paints):
        yield InputError(f'rule "{kind}"', "it names no paint", "add the paint it is about")
    else:
        yield from unknown_names(kind, "paint", paints, survey.appearance.paints)


def _demands(
    kind: str, sections: tuple[str, ...] | None, paints: tuple[str, ...], survey: Survey
) -> Iterator[Demand]:
    allowed = np.isin(survey.appearance.paints, paints)
    for section in _chosen(sections, survey):
        yield OnlyPaints(rule=kind, section=section, allowed=allowed)


def _breach(kind: str, section: str, paint: str, told: str) -> Breach:
    return Breach(
        rule=kind, sections=(section,), sentence=told, detail={"section": section, "paint": paint}
    )


def _who(sections: tuple[str, ...] | None) -> str:
    if sections is None:
        return "Every section is"
    listed = _either(sections, "and")
    return f"{listed} {'is' if len(sections) == 1 and '*' not in sections[0] else 'are'}"


def _either(words: tuple[str, ...], joint: str = "or") -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"
