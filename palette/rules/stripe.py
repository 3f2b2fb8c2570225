"""No three of one paint in a row."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, NotAllAlike, Strength
from palette.errors import InputError
from palette.rules.ladder import Ladder
from palette.rules.option import must_or_prefer, number, option
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["DEFAULT_BEND", "DEFAULT_STEP", "Stripe"]

DEFAULT_BEND = 15.0
"""Degrees two steps may turn and still read as one line. Judgement."""

DEFAULT_STEP = 1.75
"""A step longer than so many section widths no longer links two repeats to the eye. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stripe:
    """No three sections of one paint stand in a line: they would read as a stripe.

    Three sections stand in a line when going from the first centre to the second and on to the
    third turns by less than `bend`, and neither step is longer than `step` times the wall's
    typical section (the square root of the median area).
    """

    kind: ClassVar[str] = "stripe"

    bend: float = option(
        DEFAULT_BEND, number(0.0, 60.0), "turn below which two steps are a line", unit="degrees"
    )
    step: float = option(DEFAULT_STEP, number(0.0), "longest step", unit="typical section widths")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return "No three sections of one paint stand in a line."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield nothing: it fits every panel."""
        yield from ()

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield every three sections that stand in a line."""
        ids = survey.panel.ids
        centres = np.array([section.outline.centroid.coords[0] for section in survey.panel.sections])
        reach = self._reach(survey)
        for middle in range(len(ids)):
            steps = centres - centres[middle]
            far = np.hypot(steps[:, 0], steps[:, 1])
            near = np.flatnonzero((far <= reach) & (far > 0))
            for i, a in enumerate(near.tolist()):
                for b in near[i + 1 :].tolist():
                    if self._turn(steps[a], steps[b]) < self.bend:
                        yield NotAllAlike(rule=self.kind, sections=(ids[a], ids[middle], ids[b]))

    def _reach(self, survey: Survey) -> float:
        areas = [section.outline.area for section in survey.panel.sections]
        return self.step * math.sqrt(float(np.median(areas)))

    def _turn(self, back: np.ndarray, ahead: np.ndarray) -> float:
        """Return by how many degrees the way bends in the middle, from 0 (straight on) to 180."""
        cosine = -float(back @ ahead) / float(np.hypot(*back) * np.hypot(*ahead))
        return float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield every three sections of one paint that stand in a line."""
        by_paint: dict[str, list[int]] = {}
        sections = survey.panel.sections
        for k, section in enumerate(sections):
            by_paint.setdefault(scheme.paint_of[section.id], []).append(k)
        centres = np.array([section.outline.centroid.coords[0] for section in sections])
        reach = self._reach(survey)
        for paint, members in sorted(by_paint.items()):
            for middle in members:
                far = np.hypot(*(centres[members] - centres[middle]).T)
                near = [k for k, apart in zip(members, far.tolist(), strict=True) if 0 < apart <= reach]
                for i, a in enumerate(near):
                    for b in near[i + 1 :]:
                        if (
                            self._turn(centres[a] - centres[middle], centres[b] - centres[middle])
                            < self.bend
                        ):
                            named = [sections[a].id, sections[middle].id, sections[b].id]
                            told = f"{named[0]}, {named[1]} and {named[2]}, all {paint}, stand in a line."
                            yield Breach(
                                rule=self.kind,
                                sections=tuple(named),
                                sentence=told,
                                detail={"paint": paint},
                            )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()
