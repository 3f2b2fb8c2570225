"""Outlines, numbers and lines as the text of a drawing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import palette

__all__ = [
    "Spot",
    "cross_between",
    "ink_on",
    "line_between",
    "nearest_in_direction",
    "numbered",
    "panel_mark",
    "path_of",
    "ring_round",
    "spots_of",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """The roomiest place of a section, mm: where its number stands.

    `height` is the number's; `lines` the name as it fits, each `name_height` high.
    """

    x: float
    y: float
    room: float
    height: float
    lines: tuple[str, ...]
    name_height: float


def path_of(outline: object) -> str:
    """Return path data of a polygon with its holes, to a tenth of a millimetre."""
    rings = [outline.exterior, *outline.interiors]  # type: ignore[attr-defined]
    parts = []
    for ring in rings:
        points = [f"{x:.1f},{y:.1f}" for x, y in list(ring.coords)[:-1]]
        parts.append("M" + " ".join(points) + "Z")
    return "".join(parts)


def panel_mark(panel: palette.Panel) -> int:
    """Return a number that changes when anything drawn of a panel changes."""
    outlines = [(section.id, section.outline.wkb) for section in panel.sections]
    features = [(feature.role, feature.outline.wkb) for feature in panel.features]
    hatch = panel.hatch.wkb if panel.hatch is not None else b""
    return hash((panel.width_mm, panel.height_mm, *outlines, *features, hatch))


def spots_of(panel: palette.Panel) -> dict[str, Spot]:
    """Return where each section's number and name stand, and how large."""
    import shapely

    largest = min(panel.width_mm, panel.height_mm) / 16
    least = largest / 3
    spots = {}
    for section in panel.sections:
        radius = shapely.maximum_inscribed_circle(section.outline, tolerance=4.0)
        (x, y), edge = radius.coords[0], float(radius.length)
        # In a long section the roomiest place may be at either end; the middle reads better
        # where it has room.
        middle = section.outline.centroid
        room = section.outline.exterior.distance(middle) if section.outline.contains(middle) else 0.0
        if room >= 0.7 * edge:
            x, y, edge = middle.x, middle.y, room
        height = max(least, min(largest, edge * 0.9))
        lines, name_height = _fit(section.id, room=1.8 * edge, most=height * 0.5)
        spots[section.id] = Spot(
            x=float(x), y=float(y), room=edge, height=height, lines=lines, name_height=name_height
        )
    return spots


def _fit(name: str, *, room: float, most: float) -> tuple[tuple[str, ...], float]:
    """Break a name into at most two lines; letters are taken as 0.58 as wide as high."""
    words = name.split()
    lines: tuple[str, ...] = (name,)
    if len(words) > 1 and len(name) * 0.58 * most > room:
        best = min(range(1, len(words)), key=lambda k: abs(len(" ".join(words[:k])) * 2 - len(name)))
        lines = (" ".join(words[:best]), " ".join(words[best:]))
    widest = max(len(line) for line in lines)
    return lines, min(most, room / (0.58 * widest))


def numbered(number: int, name: str) -> str:
    """Return a section's number and name, once where they are the same."""
    return name if name == str(number) else f"{number} {name}"


def ink_on(colour: str) -> str:
    """Return black or white, whichever contrasts more (WCAG 2.2, relative luminance)."""
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    # The two contrasts are equal at sqrt(1.05 x 0.05) - 0.05.
    return "#000000" if luminance > 0.1791 else "#ffffff"


def line_between(first: Spot, second: Spot) -> str:
    """Return a line from number to number."""
    return f"M{first.x:.1f},{first.y:.1f}L{second.x:.1f},{second.y:.1f}"


def cross_between(first: Spot, second: Spot) -> str:
    """Return a line from number to number with a cross in its middle."""
    x, y = (first.x + second.x) / 2, (first.y + second.y) / 2
    arm = min(first.height, second.height) * 0.3
    return (
        f"{line_between(first, second)}M{x - arm:.1f},{y - arm:.1f}l{2 * arm:.1f},{2 * arm:.1f}"
        f"m0,{-2 * arm:.1f}l{-2 * arm:.1f},{2 * arm:.1f}"
    )


def ring_round(spot: Spot) -> str:
    """Return a circle round a number."""
    radius = spot.height * 0.95
    return (
        f"M{spot.x - radius:.1f},{spot.y:.1f}a{radius:.1f},{radius:.1f} 0 1 0 {2 * radius:.1f},0"
        f"a{radius:.1f},{radius:.1f} 0 1 0 {-2 * radius:.1f},0"
    )


def nearest_in_direction(spots: Mapping[str, Spot], start: str, way: tuple[int, int]) -> str | None:
    """Return the nearest section on one side of another, or None at the edge.

    Nearness counts what lies sideways double, so that a row is walked along before it is left.
    """
    here = spots[start]
    best: tuple[float, str] | None = None
    for name, spot in spots.items():
        along = (spot.x - here.x) * way[0] + (spot.y - here.y) * way[1]
        aside = abs((spot.x - here.x) * way[1]) + abs((spot.y - here.y) * way[0])
        if along > 1e-6 and aside <= 2 * along:
            score = along + 2 * aside
            if best is None or score < best[0]:
                best = (score, name)
    return best[1] if best else None
