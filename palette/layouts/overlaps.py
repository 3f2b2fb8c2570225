"""Sections that lie over one another: told where it is a slip, cut where it is a sliver."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.layouts.outlines import LEAST_AREA_MM2, Face, cross_at_length, shared_spot
from palette.panel import Section

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

    from palette.layouts.assembly import Drawn

__all__ = ["OVERLAP_WIDTH_MM", "fit_sections", "overlap_faults"]

OVERLAP_WIDTH_MM = 0.5
"""Two sections may cover one another in slivers up to this wide; the later one gives way."""

_LEAST_SLIVER_MM2 = 1e-3  # less is rounding

_MOST_OVERLAPS = 20
"""Overlaps for each section, on the whole: a backdrop under all of them makes two."""

_MOST_MET = 50
"""The same for sections that touch: a slab has about six around it, a backdrop all."""

_MOST_TOLD = 200
"""Overlapping sections told one by one."""

_MOST_CROSSINGS = 20_000
"""Of two outlines: neighbours of thousands of corners share some thousands of sides."""

_AT_ONCE = 64  # sections looked at before counting how many overlaps there are so far


def overlap_faults(sections: Sequence[Drawn], face: Face) -> Iterator[InputError]:
    """Yield one fault for each section that lies over others by more than a sliver.

    Raises
    ------
    InputError
        So many do that the drawing is none of a wall.
    """
    inner = _inner_parts(sections)
    shared = _shared_areas(inner, face)
    told_so_far = 0
    # A shape that lies under many others, such as a backdrop, is told once: not once for each.
    while shared and told_so_far < _MOST_TOLD:
        told_so_far += 1
        worst = max(shared, key=lambda index: (len(shared[index]), -index))
        others = sorted(shared[worst])
        spot = shared_spot(sections[worst].outline, sections[others[0]].outline)
        names = [f'"{sections[other].name}"' for other in others]
        told = names if len(names) <= 3 else [*names[:2], f"{len(names) - 2} more"]
        listed = " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
        yield InputError(
            f'{face.source}, section "{sections[worst].name}"',
            f"it overlaps {listed} {face.place(spot.x, spot.y)}",
            "move them apart, or mark what is no section as trim, void or ignore"
            if face.measured_from == "top"
            else "mend the measures of one of them",
        )
        for other in others:
            shared[other].remove(worst)
            if not shared[other]:
                del shared[other]
        del shared[worst]


def _inner_parts(sections: Sequence[Drawn]) -> NDArray[np.object_]:
    """Return each outline without a rim half as wide as an overlap may be.

    What is left of an overlap when its rim is taken off is what both outlines share without theirs.
    """
    import shapely

    parts: NDArray[np.object_] = shapely.buffer(
        [shape.outline for shape in sections], -OVERLAP_WIDTH_MM / 2
    )
    return parts


def _shared_areas(inner: NDArray[np.object_], face: Face) -> dict[int, set[int]]:
    """Return, by its place among the sections, which others each one overlaps more than slightly.

    Raises
    ------
    InputError
        So many do that the drawing is none of a wall.
    """
    import shapely

    kept = np.flatnonzero(~shapely.is_empty(inner))
    tree = shapely.STRtree(inner[kept])
    shared: dict[int, set[int]] = {}
    found = 0
    for first in range(0, len(kept), _AT_ONCE):
        own, other = tree.query(inner[kept[first : first + _AT_ONCE]], predicate="intersects")
        own += first
        for one, two in zip(kept[own].tolist(), kept[other].tolist(), strict=True):
            if one != two:
                shared.setdefault(one, set()).add(two)
                found += 1
        if found > _MOST_OVERLAPS * len(inner):
            what = f"its {len(inner):,} sections lie over one another in more than {found:,} places"
            raise InputError(face.source, what, "keep one shape for each section")
    return shared


def fit_sections(sections: Sequence[Drawn], face: Face) -> Iterator[Section]:
    """Yield sections that keep to the face and overlap nowhere, not even in tolerated slivers.

    Raises
    ------
    InputError
        Nothing of a section is left.
    """
    import shapely
    from shapely import STRtree

    whole = shapely.box(0, 0, face.width_mm, face.height_mm)
    outlines = [shape.outline for shape in sections]
    tree = STRtree(outlines)
    met = 0
    for own, shape in enumerate(sections):
        outline: BaseGeometry = shape.outline
        if not whole.covers(outline):
            outline = outline.intersection(whole)
        others = sorted(tree.query(shape.outline, predicate="intersects").tolist())
        met += len(others)
        if met > _MOST_MET * len(sections):
            what = f"its {len(sections):,} sections touch or cross in more than {met:,} places"
            raise InputError(face.source, what, "keep one shape for each section")
        for other in others:
            if other < own and _cross_everywhere(shape.outline, outlines[other]):
                where = f'{face.source}, section "{shape.name}"'
                what = f'it crosses "{sections[other].name}" in more than {_MOST_CROSSINGS:,} places'
                raise InputError(where, what, "draw both with fewer corners")
            if other < own and outline.intersection(outlines[other]).area > _LEAST_SLIVER_MM2:
                outline = outline.difference(outlines[other])
        left = _largest_polygon(outline)
        if left is None or left.area < LEAST_AREA_MM2:
            where = f'{face.source}, section "{shape.name}"'
            what = "other sections or the edge of the panel leave next to nothing of it"
            raise InputError(where, what, "draw it wider or delete it")
        yield Section(id=shape.name, outline=left, depth=shape.depth)


def _cross_everywhere(one: Polygon, two: Polygon) -> bool:
    import shapely

    if not cross_at_length(one, two):
        return False
    sides = [
        shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1))
        for corners in (shapely.get_coordinates(one), shapely.get_coordinates(two))
    ]
    tree = shapely.STRtree(sides[1])
    crossings = 0
    for first in range(0, len(sides[0]), _AT_ONCE):
        crossings += tree.query(sides[0][first : first + _AT_ONCE], predicate="intersects").shape[1]
        if crossings > _MOST_CROSSINGS:
            return True
    return False


def _largest_polygon(area: BaseGeometry) -> Polygon | None:
    """Return the largest polygon of what cutting slivers off has left, if there is one."""
    from shapely import Polygon

    if isinstance(area, Polygon):
        return area
    pieces = [piece for piece in getattr(area, "geoms", ()) if isinstance(piece, Polygon)]
    return max(pieces, key=lambda piece: float(piece.area), default=None)
