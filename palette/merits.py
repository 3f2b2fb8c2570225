"""How good a finished scheme is, measured on the wall itself.

Each aim of the engine has its measure here, written straight from its definition and without
the engine's tables, so that what the engine claims can be held against it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["Merits", "measure_merits", "nearest_repeat_mm"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Merits:
    """The merits of one scheme.

    Parameters
    ----------
    weakest : float or None
        Least CIEDE2000 between two neighbours in any light; None without neighbours.
    repeat_mm : float or None
        Least distance, edge to edge, between two sections of one paint; None when none repeats.
    count_range : int
        Sections of the most used paint less sections of the least used one on the shelf.
    largest_area_mm2 : int
        Area of the paint that covers most, every section rounded up to whole mm².
    contrast : float or None
        Mean over all borders, by their length, of the least CIEDE2000 in any light.
    sections_of : mapping
        Paint to number of sections, every paint of the shelf.
    """

    weakest: float | None
    repeat_mm: float | None
    count_range: int
    largest_area_mm2: int
    contrast: float | None
    sections_of: Mapping[str, int]


def measure_merits(survey: Survey, scheme: Scheme) -> Merits:
    """Return the merits of a complete scheme.

    Parameters
    ----------
    survey : Survey
    scheme : Scheme

    Returns
    -------
    Merits

    Raises
    ------
    KeyError
        The scheme leaves a section out, or names a paint that does not exist.
    """
    sections_of = dict.fromkeys(survey.appearance.paints, 0)
    area_of = dict.fromkeys(survey.appearance.paints, 0)
    for section in survey.panel.sections:
        paint = scheme.paint_of[section.id]
        sections_of[paint] += 1
        area_of[paint] += math.ceil(section.outline.area)
    place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
    tables = [survey.appearance.differences(light) for light in survey.appearance.lights]
    weakest, weighted, length = math.inf, 0.0, 0.0
    for contact in survey.adjacency.neighbours:
        p, q = place[scheme.paint_of[contact.a]], place[scheme.paint_of[contact.b]]
        seen = min(float(table[p, q]) for table in tables)
        weakest = min(weakest, seen)
        weighted += seen * contact.border_mm
        length += contact.border_mm
    return Merits(
        weakest=None if math.isinf(weakest) else weakest,
        repeat_mm=nearest_repeat_mm(survey, scheme),
        count_range=max(sections_of.values()) - min(sections_of.values()),
        largest_area_mm2=max(area_of.values()),
        contrast=weighted / length if length else None,
        sections_of=sections_of,
    )


def nearest_repeat_mm(survey: Survey, scheme: Scheme) -> float | None:
    """Return the least distance, edge to edge, between two sections of one paint, or None."""
    import shapely

    outlines_of: dict[str, list[object]] = {}
    for section in survey.panel.sections:
        outlines_of.setdefault(scheme.paint_of[section.id], []).append(section.outline)
    least = math.inf
    for _, outlines in sorted(outlines_of.items()):
        if len(outlines) > 1:
            tree = shapely.STRtree(outlines)
            _, apart = tree.query_nearest(outlines, exclusive=True, return_distance=True)
            # Two outlines that are the same shape count as no distance; `exclusive` hides them.
            least = min(least, float(np.min(apart, initial=math.inf)))
            if len({outline.wkb for outline in outlines}) < len(outlines):  # type: ignore[attr-defined]
                least = 0.0
    return None if math.isinf(least) else least
