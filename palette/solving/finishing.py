"""Finishing a started scheme: what is painted stays, the rest is solved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, OnlyPaints, Rule, Strength
from palette.errors import InputError
from palette.progress import OnProgress, silent
from palette.scheme import Scheme
from palette.solving.aims import DEFAULT_AIMS, Aim
from palette.solving.limits import Limits
from palette.solving.search import solve
from palette.survey import Survey

__all__ = ["AlreadyPainted", "Finished", "finish_scheme"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AlreadyPainted:
    """Sections keep the paint they have; no rule of a file, but of a scheme that was started."""

    kind: ClassVar[str] = "already painted"

    paint_of: Mapping[str, str]

    @property
    def strength(self) -> Strength:
        """What is painted must stay."""
        return "must"

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{len(self.paint_of)} sections keep the paint they have."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield sections and paints that do not exist."""
        for section, paint in self.paint_of.items():
            if section not in survey.panel.ids:
                mend = "correct the name or leave it out"
                yield InputError("started scheme", f'the panel has no section "{section}"', mend)
            if paint not in survey.appearance.paints:
                mend = "correct the name or add the paint to the paint file"
                yield InputError("started scheme", f'the paint "{paint}" is not on the shelf', mend)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield each section with its one paint."""
        for section, paint in self.paint_of.items():
            allowed = np.array([other == paint for other in survey.appearance.paints])
            yield OnlyPaints(rule=self.kind, section=section, allowed=allowed)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section whose paint was changed."""
        for section, paint in self.paint_of.items():
            if scheme.paint_of[section] != paint:
                told = f"{section} is already {paint}."
                yield Breach(rule=self.kind, sections=(section,), sentence=told, detail={"paint": paint})

    def looser(self, survey: Survey) -> Iterator[Sequence[tuple[str, Rule]]]:
        """Yield, for each section, all the others kept."""
        for section in self.paint_of:
            rest = {other: paint for other, paint in self.paint_of.items() if other != section}
            yield [(f"paint {section} anew", AlreadyPainted(paint_of=rest))]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finished:
    """A finished scheme and what the start cost.

    Parameters
    ----------
    scheme : Scheme
    cost : mapping of str to (float, float)
        For each aim, its value with the start and with a free hand, in the aim's unit.
    """

    scheme: Scheme
    cost: Mapping[str, tuple[float, float]]


def finish_scheme(
    survey: Survey,
    rules: Sequence[Rule],
    started: Mapping[str, str],
    *,
    aims: Sequence[str | Aim] = DEFAULT_AIMS,
    limits: Limits | None = None,
    seed: int = 0,
    on_progress: OnProgress = silent,
) -> Finished:
    """Return the best scheme that keeps what is started, and what the start cost.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule
    started : mapping of section id to paint id
        The sections that stay as they are.
    aims : sequence of str or Aim
        As in `solve`.
    limits : Limits or None
        As in `solve`.
    seed : int
        As in `solve`.
    on_progress : callable
        Told of each step.

    Returns
    -------
    Finished

    Raises
    ------
    InputError, NoScheme, Disagreement
        As in `solve`.
    """
    painted = AlreadyPainted(paint_of=dict(started))
    scheme = solve(survey, [*rules, painted], aims=aims, limits=limits, seed=seed, on_progress=on_progress)
    free = solve(survey, rules, aims=aims, limits=limits, seed=seed, on_progress=on_progress)
    without = {level.aim: level.value for level in free.proof.levels} if free.proof else {}
    levels = scheme.proof.levels if scheme.proof else ()
    return Finished(
        scheme=scheme,
        cost={level.aim: (level.value, without[level.aim]) for level in levels if level.aim in without},
    )
