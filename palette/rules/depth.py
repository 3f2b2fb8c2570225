"""Darker toward the top, so that the wall seems to lean back into the dark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from palette.demands import Breach, Demand, Falling, Strength
from palette.errors import InputError
from palette.rules.ladder import Ladder, rising_above
from palette.rules.naming import unknown_names
from palette.rules.option import count, length, must_or_prefer, names, number, option, word
from palette.scheme import Scheme
from palette.survey import Survey
from palette.units import format_length

__all__ = ["DEFAULT_BANDS", "DEFAULT_RISE_MM", "Depth"]

DEFAULT_BANDS = 3
"""Near, middle and far: common practice in scenery."""

DEFAULT_RISE_MM = 100.0
"""About a hand's breadth: centres closer in height than this read as one course. Judgement."""

_ROUNDING = 1e-6
"""Differences of height below this, in mm or in bands, are rounding noise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Depth:
    """No section is lighter than one that stands lower.

    By ``"bands"``, the panel's height is cut into equal bands and whole bands are compared; by
    ``"order"``, every two sections whose centres are at least `rise` apart in height; by
    ``"given"``, every two sections whose layout says how far back they seem, wherever they stand.
    """

    kind: ClassVar[str] = "depth"

    by: str = option(
        "bands", word("bands", "order", "given"), "compare bands of height, every section, or given depths"
    )
    bands: int = option(DEFAULT_BANDS, count(2), "how many bands of equal height")
    light: tuple[str, ...] = option(
        ("daylight",), names("light"), "the light, or lights, whose lightness counts"
    )
    tolerance: float = option(0.0, number(), "how much lighter a higher section may be", unit="L*")
    rise: float = option(
        DEFAULT_RISE_MM, length(), "by order: centres closer in height are not compared", unit="mm"
    )
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        lights = " and ".join(self.light)
        slack = f" by more than {self.tolerance:g} L*" if self.tolerance else ""
        if self.by == "bands":
            bands = f"Cut into {self.bands} bands of height"
            return f"{bands}, no section is lighter than one in a lower band{slack}, under {lights}."
        if self.by == "given":
            return f"No section is lighter than one that is given as nearer{slack}, under {lights}."
        by = f" by at least {format_length(self.rise)}" if self.rise else ""
        return f"No section is lighter than one that stands lower{by}{slack}, under {lights}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield the lights that are unknown here, and depths that nobody gave."""
        yield from unknown_names(self.kind, "light", self.light, survey.appearance.lights)
        if self.by == "given" and all(section.depth is None for section in survey.panel.sections):
            what = "it goes by given depths, but no section of the layout has one"
            yield InputError(f'rule "{self.kind}"', what, 'give sections a depth, or write by = "bands"')

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one falling order per light."""
        position = self._positions(survey)
        compared = np.isfinite(position)
        sections = tuple(np.array(survey.panel.ids, object)[compared].tolist())
        for light in self.light:
            yield Falling(
                rule=self.kind,
                sections=sections,
                position=position[compared],
                value=survey.appearance.lightness(light),
                tolerance=self.tolerance,
                apart=self._apart(),
            )

    def _positions(self, survey: Survey) -> NDArray[np.float64]:
        """Return how far back each section is to seem: band from the bottom, -y in mm, or given depth."""
        if self.by == "given":
            depths = [section.depth for section in survey.panel.sections]
            return np.array([np.nan if depth is None else depth for depth in depths], float)
        heights = np.array([section.centre_height for section in survey.panel.sections], float)
        if self.by == "order":
            return -heights
        share = 1.0 - heights / survey.panel.height_mm
        # A centre on the line between two bands belongs to the upper one, whatever the last bit says.
        return np.clip(np.floor(share * self.bands + _ROUNDING), 0, self.bands - 1)

    def _apart(self) -> float:
        """Return the least difference of positions that is compared."""
        return max(0.0, self.rise - _ROUNDING) if self.by == "order" else 0.0

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section that is too light, with the lower one it outshines most."""
        sections = survey.panel.sections
        place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
        painted = [place[scheme.paint_of[section.id]] for section in sections]
        higher = self._positions(survey)
        stands = "is given as farther back" if self.by == "given" else "stands higher"
        for light in self.light:
            shade = survey.appearance.lightness(light)[painted]
            for upper, section in enumerate(sections):
                lower = self._lower_sections(higher, upper)
                if not lower.size:
                    continue
                worst = int(lower[np.argmax(shade[upper] - shade[lower])])
                excess = float(shade[upper] - shade[worst])
                if excess > self.tolerance:
                    other = sections[worst].id
                    yield Breach(
                        rule=self.kind,
                        sections=(section.id, other),
                        sentence=(
                            f"{section.id} ({scheme.paint_of[section.id]}) {stands} than {other} "
                            f"({scheme.paint_of[other]}) but is {excess:.1f} L* lighter under {light}."
                        ),
                        detail={
                            "upper": section.id,
                            "lower": other,
                            "light": light,
                            "lightness": [float(shade[upper]), float(shade[worst])],
                            "excess": excess,
                        },
                    )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield a greater tolerance; by order, a greater rise; by bands, fewer bands."""
        shades = np.concatenate([survey.appearance.lightness(light) for light in self.light])
        steps = np.abs(shades[:, None] - shades[None, :])
        yield [
            (f"raise the tolerance of {self.kind} to {step:g} L*", replace(self, tolerance=step))
            for step in rising_above(self.tolerance, steps)
        ]
        if self.by == "bands":
            for chain in _coarser_cuts(self.bands):
                yield [
                    (f"compare {fewer} bands of height instead of {self.bands}", replace(self, bands=fewer))
                    for fewer in chain
                ]
        if self.by == "order":
            heights = np.array([section.centre_height for section in survey.panel.sections])
            rises = np.abs(heights[:, None] - heights[None, :]) + 1.0
            yield [
                (f"raise the rise of {self.kind} to {step:.0f} mm", replace(self, rise=step))
                for step in rising_above(self.rise, rises)
            ]

    def _lower_sections(self, higher: NDArray[np.float64], upper: int) -> NDArray[np.intp]:
        rise = higher[upper] - higher
        compared = (rise > 0) & (rise >= self._apart())
        return np.flatnonzero(compared)


def _coarser_cuts(bands: int) -> Iterator[list[int]]:
    """Yield chains of fewer bands, most first, each band a union of those of the cut before.

    Only then is the next cut looser: of six bands, three are, and four are not. Every number of
    bands that is looser than the first is in one chain.
    """
    left = [fewer for fewer in range(bands - 1, 1, -1) if bands % fewer == 0]
    while left:
        chain = [left.pop(0)]
        for fewer in left.copy():
            if chain[-1] % fewer == 0:
                chain.append(fewer)
                left.remove(fewer)
        yield chain
