"""Which sections stand at an edge of a panel, and over which heights."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from palette.panel import Section

__all__ = ["DEFAULT_EDGE_REACH_MM", "Edging", "Side", "edge_sections", "facing_mm"]

Side = Literal["left", "right"]

DEFAULT_EDGE_REACH_MM = 80.0
"""Half of what two sections may stand apart and still be neighbours: each panel brings its half."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edging:
    """A section at an edge, from and to which height, mm from the panel's top edge."""

    section: str
    top_mm: float
    bottom_mm: float


def edge_sections(
    sections: Iterable[Section], *, side: Side, at_mm: float, height_mm: float, reach_mm: float
) -> tuple[Edging, ...]:
    """Return the sections that come within reach of an edge, top first.

    Parameters
    ----------
    at_mm : float
        The x of the edge; sections lie to its right for the left edge, to its left for the right.
    """
    import shapely

    span = (at_mm, at_mm + reach_mm) if side == "left" else (at_mm - reach_mm, at_mm)
    strip = shapely.box(span[0], 0.0, span[1], height_mm)
    found = []
    for section in sections:
        near = section.outline.intersection(strip)
        if near.area > 0:
            _, top, _, bottom = near.bounds
            found.append(Edging(section=section.id, top_mm=top, bottom_mm=bottom))
    return tuple(sorted(found, key=lambda edging: (edging.top_mm, edging.section)))


def facing_mm(one: Edging, other: Edging) -> float:
    """Return over what height two sections face each other across a seam, or 0."""
    return max(0.0, min(one.bottom_mm, other.bottom_mm) - max(one.top_mm, other.top_mm))
