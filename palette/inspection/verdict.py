"""What is wrong on a panel that was read from a photo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour import chroma_and_hue, difference, hue_distance, lab_of_xyz
from palette.demands import Breach, WeakestPair
from palette.inspection.hatch import HatchNote, judge_hatch
from palette.inspection.reading import PhotoReading
from palette.inspection.screen_limits import differences_beyond_screen
from palette.rules.clash import DEFAULT_MIN_CHROMA, DEFAULT_MIN_DIFFERENCE, DEFAULT_MIN_HUE_ANGLE
from palette.rules.depth import Depth
from palette.scheme import Scheme
from palette.survey import Survey
from palette.tracing.pixels import XYZ_OF_LINEAR

__all__ = ["NearHue", "PhotoClash", "PhotoVerdict", "judge_reading", "weakest_neighbours"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoClash:
    """Two neighbours on a photo that look alike under a light.

    Parameters
    ----------
    a, b : str
        Section ids.
    difference : float
        CIEDE2000 of the list's colours, below what the clash rule asks; 0 for one paint.
    light : str
    """

    a: str
    b: str
    difference: float
    light: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NearHue:
    """Two strongly coloured neighbours with closer hues than the clash rule asks.

    Parameters
    ----------
    a, b : str
        Section ids.
    hue_angle : float
        Angle between their hues, degrees.
    light : str
    """

    a: str
    b: str
    hue_angle: float
    light: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotoVerdict:
    """Everything wrong with a photographed panel.

    Parameters
    ----------
    clashes : tuple of PhotoClash
        Those under the photo's light first, then would-be ones under the list's other light.
    possible : tuple of PhotoClash
        Those that hex swatches at the screen's limit leave open.
    near_hues : tuple of NearHue
        Weaker resemblances.
    depth : tuple of Breach
        Breaches of "darker toward the top", where that was asked for.
    hatch : HatchNote or None
        What shows of a concealed hatch; None where none is known.
    """

    clashes: tuple[PhotoClash, ...]
    possible: tuple[PhotoClash, ...]
    near_hues: tuple[NearHue, ...]
    depth: tuple[Breach, ...]
    hatch: HatchNote | None

    @property
    def sound(self) -> bool:
        """True when nothing clashes, no asked-for rule is broken and no hatch shows."""
        return not (self.clashes or self.depth or (self.hatch is not None and self.hatch.shows))


def judge_reading(
    reading: PhotoReading,
    *,
    min_difference: float = DEFAULT_MIN_DIFFERENCE,
    darker_upward: bool = False,
) -> PhotoVerdict:
    """Return what is wrong with a panel on a photo.

    Parameters
    ----------
    reading : PhotoReading
    min_difference : float
        Least CIEDE2000 of neighbours.
    darker_upward : bool
        Ask for the depth rule too, as it stands by default.

    Returns
    -------
    PhotoVerdict
    """
    clashes = _clashes_of_list(reading, min_difference)
    if reading.appearance is None:
        clashes = _clashes_of_groups(reading, min_difference)
    clashes, possible = _set_apart_possible(reading, clashes, min_difference)
    return PhotoVerdict(
        clashes=tuple(clashes),
        possible=tuple(possible),
        near_hues=tuple(_near_hues(reading, [*clashes, *possible])),
        depth=tuple(_depth(reading, Depth(light=(reading.light.id,)))) if darker_upward else (),
        hatch=judge_hatch(reading) if reading.panel.hatch is not None else None,
    )


def weakest_neighbours(reading: PhotoReading) -> WeakestPair | None:
    """Return the two neighbours whose listed paints look most alike, over the lights of the list.

    Two of one paint are told under the photo's light. None where no two neighbours' paints are known.
    """
    appearance = reading.appearance
    found: WeakestPair | None = None
    if appearance is None:
        return None
    place = {paint: k for k, paint in enumerate(appearance.paints)}
    for light in appearance.lights:
        table = appearance.differences(light)
        for a, b, first, second in _pairs(reading):
            amount = float(table[place[first], place[second]])
            if found is None or amount < found.difference:
                found = WeakestPair(a=a, b=b, light=light, difference=amount)
    return found


def _pairs(reading: PhotoReading) -> list[tuple[str, str, str, str]]:
    """Return neighbours whose paints are both known: two sections, two paints."""
    paint = {found.id: found.paint for found in reading.findings}
    pairs = []
    for contact in reading.adjacency.neighbours:
        first, second = paint[contact.a], paint[contact.b]
        if first is not None and second is not None:
            pairs.append((contact.a, contact.b, first, second))
    return pairs


def _clashes_of_list(reading: PhotoReading, least: float) -> list[PhotoClash]:
    appearance = reading.appearance
    if appearance is None:
        return []
    place = {paint: k for k, paint in enumerate(appearance.paints)}
    clashes = []
    for light in appearance.lights:
        table = appearance.differences(light)
        for a, b, first, second in _pairs(reading):
            amount = float(table[place[first], place[second]])
            if first == second:
                # One paint is one paint under any light: it is told once, under the photo's.
                if light == reading.light.id:
                    clashes.append(PhotoClash(a=a, b=b, difference=0.0, light=light))
            elif amount < least:
                clashes.append(PhotoClash(a=a, b=b, difference=round(amount, 2), light=light))
    return clashes


_SURELY_APART = 2.0
"""Added to the least difference: so much farther apart two paints must be, once what the screen cuts
off is allowed for, before the list's figure is doubted."""


def _set_apart_possible(
    reading: PhotoReading, clashes: Sequence[PhotoClash], least: float
) -> tuple[list[PhotoClash], list[PhotoClash]]:
    """Return the clashes that stand, and those that rest on swatches cut off by the screen."""
    if reading.appearance is None:
        return list(clashes), []
    paint = {found.id: found.paint for found in reading.findings}
    place = {name: k for k, name in enumerate(reading.appearance.paints)}
    tables = {
        light: differences_beyond_screen(reading.appearance, light) for light in reading.appearance.lights
    }
    sure: list[PhotoClash] = []
    possible: list[PhotoClash] = []
    for clash in clashes:
        p, q = place[paint[clash.a] or ""], place[paint[clash.b] or ""]
        apart = p != q and tables[clash.light][p, q] >= least + _SURELY_APART
        (possible if apart else sure).append(clash)
    return sure, possible


def _clashes_of_groups(reading: PhotoReading, least: float) -> list[PhotoClash]:
    """Return clashes by the colours in the photo alone, brightest section at white."""
    found = {f.id: f for f in reading.findings}
    scale = max(float(np.percentile([f.linear.max() for f in reading.findings], 98)), 1e-4)
    clashes = []
    for a, b, first, second in _pairs(reading):
        labs = [lab_of_xyz(np.clip(found[k].linear / scale, 0, 1) @ XYZ_OF_LINEAR.T) for k in (a, b)]
        amount = 0.0 if first == second else float(difference(labs[0], labs[1]))
        if amount < least:
            clashes.append(PhotoClash(a=a, b=b, difference=round(amount, 2), light=reading.light.id))
    return clashes


def _near_hues(reading: PhotoReading, clashes: Sequence[PhotoClash]) -> list[NearHue]:
    appearance = reading.appearance
    if appearance is None:
        return []
    told = {(clash.a, clash.b, clash.light) for clash in clashes}
    place = {paint: k for k, paint in enumerate(appearance.paints)}
    near = []
    for light in appearance.lights:
        chroma, hue = chroma_and_hue(appearance.lab[:, appearance.light_index(light)])
        for a, b, first, second in _pairs(reading):
            p, q = place[first], place[second]
            if p == q or (a, b, light) in told or min(chroma[p], chroma[q]) <= DEFAULT_MIN_CHROMA:
                continue
            angle = float(hue_distance(hue[p], hue[q]))
            if angle < DEFAULT_MIN_HUE_ANGLE:
                near.append(NearHue(a=a, b=b, hue_angle=round(angle, 1), light=light))
    return near


def _depth(reading: PhotoReading, rule: Depth) -> list[Breach]:
    """Return breaches of the depth rule among the sections whose paint is known."""
    if reading.appearance is None:
        return []
    from dataclasses import replace

    known = {f.id: f.paint for f in reading.findings if f.paint is not None}
    panel = replace(reading.panel, sections=tuple(s for s in reading.panel.sections if s.id in known))
    survey = Survey(panel=panel, adjacency=reading.adjacency, paints=(), appearance=reading.appearance)
    return list(rule.breaches(survey, Scheme(paint_of=known)))
