"""Repeats of a paint kept apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
import shapely

from palette.demands import Breach, Demand, PairTable, Strength
from palette.errors import InputError
from palette.rules.ladder import Ladder
from palette.rules.option import length, must_or_prefer, option
from palette.scheme import Scheme
from palette.survey import Survey
from palette.units import format_length

__all__ = ["Spacing"]

_ROUNDING_MM = 1e-6
"""Sections 6 mm apart measure 5.999999999999999 where their edges overlap just so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """Two sections nearer to each other than a distance, edge to edge, have different paints."""

    kind: ClassVar[str] = "spacing"

    distance: float = option(
        0.0, length(), "how far apart, edge to edge, two sections of one paint are", unit="mm"
    )
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"Two sections of one paint are at least {format_length(self.distance)} apart."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield a distance of nothing."""
        if self.distance <= 0:
            what = "its distance is 0, so it can never bind"
            yield InputError(f'rule "{self.kind}"', what, 'write a distance like distance = "12 in"')

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield every two sections that stand nearer than the distance."""
        outlines = np.array([section.outline for section in survey.panel.sections])
        different = ~np.eye(len(survey.appearance.paints), dtype=bool)
        near = shapely.STRtree(outlines).query(outlines, predicate="dwithin", distance=self.distance)
        ids = survey.panel.ids
        for a, b in sorted(zip(*near.tolist(), strict=True)):
            # The tree counts "exactly as far" as near; two sections may stand exactly so far apart.
            if a < b and shapely.distance(outlines[a], outlines[b]) < self.distance - _ROUNDING_MM:
                yield PairTable(rule=self.kind, a=ids[a], b=ids[b], allowed=different)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield every two sections of one paint that stand too near."""
        by_paint: dict[str, list[int]] = {}
        sections = survey.panel.sections
        for k, section in enumerate(sections):
            by_paint.setdefault(scheme.paint_of[section.id], []).append(k)
        for paint, members in sorted(by_paint.items()):
            outlines = [sections[k].outline for k in members]
            for i, a in enumerate(members):
                apart = shapely.distance(outlines[i], outlines[i + 1 :])
                for j in np.flatnonzero(np.asarray(apart) < self.distance - _ROUNDING_MM).tolist():
                    first, second = sections[a].id, sections[members[i + 1 + j]].id
                    yield Breach(
                        rule=self.kind,
                        sections=(first, second),
                        sentence=f"{first} and {second}, both {paint}, are {apart[j]:.0f} mm apart.",
                        detail={"a": first, "b": second, "paint": paint, "distance_mm": float(apart[j])},
                    )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield shorter distances, by tenths."""
        yield [
            (f"shorten the distance of {self.kind} to {step:.0f} mm", replace(self, distance=step))
            for step in (self.distance * share / 10 for share in range(9, 0, -1))
        ]
