"""From rings of points to one sound outline: closed, not crossing itself, with an area."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError

if TYPE_CHECKING:
    from shapely import Point, Polygon
    from shapely.geometry.base import BaseGeometry

__all__ = [
    "LEAST_AREA_MM2",
    "Face",
    "FillRule",
    "cross_at_length",
    "join_rings",
    "refuse_other_size",
    "shared_spot",
]

FillRule = Literal["nonzero", "evenodd"]
Points = NDArray[np.float64]

LEAST_AREA_MM2 = 1.0
"""Less than a pinhead: nobody paints it, so it is a slip of the drawing."""

_MOST_PAIRS = 250_000
"""Corners of one outline times those of another."""

_SAME_SIZE_MM = 0.5  # a pencil line


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """The painted face, and how its author measures on it.

    `measured_from` is the edge a height is told from in messages: ``top`` in drawings and
    pictures, ``bottom`` with a tape measure.
    """

    width_mm: float
    height_mm: float
    source: str
    measured_from: Literal["top", "bottom"] = "top"

    def place(self, x: float, y: float) -> str:
        """Return a point of the face in words, from millimetres right of and below its top left."""
        height = y if self.measured_from == "top" else self.height_mm - y
        return f"{x:.0f} mm from the left and {height:.0f} mm from the {self.measured_from}"


def refuse_other_size(
    stated_mm: tuple[float, float], asked_mm: tuple[float, float], *, source: str
) -> None:
    """Raise InputError where a file's own size is not the one it is asked to have."""
    if max(abs(stated_mm[0] - asked_mm[0]), abs(stated_mm[1] - asked_mm[1])) > _SAME_SIZE_MM:
        what = (
            f"its own size is {stated_mm[0]:.1f} mm x {stated_mm[1]:.1f} mm, but the size asked for"
            f" is {asked_mm[0]:.1f} mm x {asked_mm[1]:.1f} mm"
        )
        raise InputError(source, what, "leave one of them out")


def cross_at_length(one: BaseGeometry, two: BaseGeometry) -> bool:
    """Return whether two outlines have so many corners that what they share could have millions."""
    import shapely

    return int(shapely.get_num_coordinates(one)) * int(shapely.get_num_coordinates(two)) > _MOST_PAIRS


def shared_spot(one: BaseGeometry, two: BaseGeometry) -> Point:
    """Return a point that two geometries which meet have in common."""
    import shapely

    if cross_at_length(one, two):
        # What two combs share is as many pieces as one has teeth times those of the other.
        return shapely.Point(shapely.get_coordinates(shapely.shortest_line(one, two))[0])
    return one.intersection(two).representative_point()


def join_rings(rings: list[Points], rule: FillRule, *, where: str, face: Face) -> Polygon:
    """Return the area that closed rings enclose under a fill rule, as one polygon.

    Parameters
    ----------
    rings : list of ndarray, shape (N, 2)
        mm, each closed without repeating its first point.
    rule : {"nonzero", "evenodd"}
        Which enclosed parts are inside: SVG 2, 13.4.2.
    where : str
        For messages.

    Raises
    ------
    InputError
        A ring crosses itself or another one, the area is nothing, or it lies in separate pieces.
    """
    import shapely
    from shapely import Polygon

    pieces = [_simple_polygon(ring, where=where, face=face) for ring in rings]
    solid = [piece for piece in pieces if piece is not None]
    inside: list[list[int]] = [[] for _ in solid]
    holds: list[list[int]] = [[] for _ in solid]
    if len(solid) > 1:
        tree = shapely.STRtree(solid)
        for later, first in sorted(zip(*tree.query(solid, predicate="overlaps").tolist(), strict=True)):
            if first < later:
                spot = shared_spot(solid[first].exterior, solid[later].exterior)
                raise _crossing(spot.x, spot.y, where=where, face=face)
        for own, around in zip(*tree.query(solid, predicate="covered_by").tolist(), strict=True):
            if own != around:
                inside[own].append(around)
                holds[around].append(own)
    filled = []
    for own, piece in enumerate(solid):
        around = [*inside[own], own]
        turns = sum(1 if solid[ring].exterior.is_ccw else -1 for ring in around)
        if (turns if rule == "nonzero" else len(around) % 2) != 0:
            holes = [solid[other] for other in sorted(holds[own])]
            filled.append(piece.difference(shapely.union_all(holes)) if holes else piece)
    area = shapely.union_all(filled)
    if area.area < LEAST_AREA_MM2:
        raise InputError(where, "it has no area", "draw its outline anew or delete it")
    if not isinstance(area, Polygon):
        raise InputError(
            where,
            f"it is drawn as {len(area.geoms)} separate pieces",
            "make each piece a shape with a name of its own",
        )
    return area


def _simple_polygon(ring: Points, *, where: str, face: Face) -> Polygon | None:
    """Return one ring as a valid polygon, or None where it encloses nothing."""
    from shapely import Polygon
    from shapely.validation import explain_validity

    if not np.isfinite(ring).all() or np.abs(ring).max(initial=0.0) > 1e9:
        raise InputError(where, "one of its points is out of all measure", "check its numbers")
    distinct = ring[np.any(ring != np.roll(ring, 1, axis=0), axis=1)]
    if len(distinct) < 3 or np.linalg.matrix_rank(distinct - distinct[0], tol=1e-6) < 2:
        return None
    polygon = Polygon(distinct)
    if not polygon.is_valid:
        spot = re.search(r"\[(\S+) (\S+)\]", explain_validity(polygon))
        x, y = (float(spot[1]), float(spot[2])) if spot else (distinct[0, 0], distinct[0, 1])
        raise _crossing(x, y, where=where, face=face)
    return polygon if polygon.area >= LEAST_AREA_MM2 else None


def _crossing(x: float, y: float, *, where: str, face: Face) -> InputError:
    what = f"its outline crosses or touches itself {face.place(x, y)}"
    return InputError(where, what, "redraw that corner")
