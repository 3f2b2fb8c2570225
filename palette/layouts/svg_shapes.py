"""SVG shapes as rings of points in millimetres: lengths, transforms and flattened curves.

Shapes and path data are read by svgelements; what it lets pass that SVG 2 calls an error
(junk in path data, unknown transforms) is refused here first, because half a slab is worse
than a sentence.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.layouts.budget import MOST_POINTS, MOST_RINGS

if TYPE_CHECKING:
    from svgelements import Path, PathSegment, Shape

__all__ = [
    "CHORD_ERROR_MM",
    "MM_PER_PX",
    "SHAPES",
    "Points",
    "count_numbers",
    "matrix_of_transform",
    "pixels_of_length",
    "rings_of_shape",
]

Points = NDArray[np.float64]
Affine = NDArray[np.float64]

CHORD_ERROR_MM = 0.2
"""A flattened curve keeps this close to the true one: thinner than a pencil line."""

MM_PER_PX = 25.4 / 96
"""CSS Values and Units 3, 6.2: 1in = 96px; SVG 2 takes its units from there."""

SHAPES = ("rect", "circle", "ellipse", "polygon", "polyline", "line", "path")

_CLOSED_MM = 0.2  # ends nearer than a pencil line close a path
_PX_PER = {
    "": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4,
    "q": 96 / 101.6, "pt": 96 / 72, "pc": 16.0,
}  # fmt: skip
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z%]*)\s*", re.IGNORECASE)
_PATH_DATA = re.compile(r"\s*(?:[Mm][MmZzLlHhVvCcSsQqTtAa\d\seE+\-.,]*)?")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_NUMBERS = re.compile(r"[\s\d.,eE+-]+")
_TRANSFORM = re.compile(r"\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)\s*")
_COUNTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}


def pixels_of_length(text: str, *, of: float, where: str) -> float:
    """Return a length attribute in px (1/96 in); a percentage is taken of `of`.

    Raises
    ------
    InputError
        Not a length, or in a unit that depends on a font or a window.
    """
    found = _LENGTH.fullmatch(text)
    if not found:
        raise InputError(where, f'"{text}" is not a length', "write it like 12, 12.5mm or 3in")
    number, unit = float(found[1]), found[2].lower()
    if unit == "%":
        return number / 100 * of
    if unit not in _PX_PER:
        raise InputError(where, f'"{found[2]}" in "{text}" is not a fixed unit', "use mm, cm, in, pt or px")
    return number * _PX_PER[unit]


def matrix_of_transform(text: str, *, where: str) -> Affine:
    """Return a transform attribute as an affine matrix, shape (3, 3), for column vectors.

    Raises
    ------
    InputError
        It holds something that SVG does not know as a transform.
    """
    from svgelements import Matrix

    total = np.eye(3)
    position = 0
    while position < len(text.rstrip()):
        found = _TRANSFORM.match(text, position)
        numbers = _NUMBER.findall(found[2]) if found else []
        if not found or not _NUMBERS.fullmatch(found[2]) or len(numbers) not in _COUNTS[found[1]]:
            mend = "use matrix, translate, scale, rotate, skewX or skewY with plain numbers"
            raise InputError(where, f'"{text}" is not a transform', mend)
        # One at a time, and multiplied here: the library's text form keeps 12 digits only.
        m = Matrix(f"{found[1]}({','.join(numbers)})")
        total = total @ np.array([[m.a, m.c, m.e], [m.b, m.d, m.f], [0, 0, 1]], float)
        position = found.end()
    return total


def count_numbers(kind: str, attributes: Mapping[str, str]) -> int:
    """Return how many numbers an outline is written in: what it costs to read."""
    name = {"path": "d", "polygon": "points", "polyline": "points"}.get(kind)
    return sum(1 for _ in _NUMBER.finditer(attributes.get(name, ""))) if name else 0


def rings_of_shape(
    kind: str, attributes: Mapping[str, str], to_mm: Affine, viewport: tuple[float, float], *, where: str
) -> list[Points]:
    """Return the closed rings of one shape element, mm, first point not repeated.

    Parameters
    ----------
    kind : str
        One of `SHAPES`.
    to_mm : ndarray, shape (3, 3)
        From the element's own coordinates to the panel's.
    viewport : tuple of float
        Width and height that percentages refer to.

    Raises
    ------
    InputError
        An attribute cannot be read, or a line is left open.
    """
    from svgelements import Path

    try:
        if kind in ("polygon", "polyline"):
            corners = _corners(attributes.get("points", ""))
            _refuse_too_fine(len(corners), 1, where=where)
            rings = _closed([_placed(corners, to_mm)], closed=kind == "polygon", where=where)
        else:
            segments = Path(_shape(kind, attributes, viewport, where=where))
            rings = _flatten(segments, to_mm, where=where)
    except (ValueError, TypeError, AttributeError, IndexError, ZeroDivisionError, OverflowError):
        attribute = {"path": "d", "polygon": "points", "polyline": "points"}.get(kind, "transform")
        raise InputError(
            where, f'its "{attribute}" cannot be read', "redraw it or mend its numbers"
        ) from None
    return rings


def _shape(kind: str, attributes: Mapping[str, str], viewport: tuple[float, float], *, where: str) -> Shape:
    from svgelements import Ellipse, Path, Rect, SimpleLine

    width, height = viewport
    diagonal = math.hypot(width, height) / math.sqrt(2)  # SVG 2, 8.9: what other percentages refer to

    def length(name: str, of: float) -> float:
        return pixels_of_length(attributes.get(name, "0"), of=of, where=f"{where}, {name}")

    def radii(of_x: float, of_y: float) -> tuple[float, float]:
        # SVG 2, 10.2 and 10.4: a radius left out or "auto" is as long as the other one.
        given = {name: attributes.get(name, "auto").strip() for name in ("rx", "ry")}
        rx = None if given["rx"] == "auto" else length("rx", of_x)
        ry = None if given["ry"] == "auto" else length("ry", of_y)
        return (rx if rx is not None else ry or 0.0), (ry if ry is not None else rx or 0.0)

    if kind == "path":
        data = attributes.get("d", "")
        if not _PATH_DATA.fullmatch(data):
            raise ValueError(data)
        return Path(data)
    if kind == "line":
        return SimpleLine(
            length("x1", width), length("y1", height), length("x2", width), length("y2", height)
        )
    if kind == "rect":
        sides = length("width", width), length("height", height)
        rx, ry = radii(width, height)
        measures = {"width": sides[0], "height": sides[1], "rx": rx, "ry": ry}
        _refuse_negative(measures, where=where)
        if min(sides) == 0:
            return Path()
        rx, ry = min(rx, sides[0] / 2), min(ry, sides[1] / 2)
        return Rect(length("x", width), length("y", height), *sides, rx, ry)
    rx, ry = (length("r", diagonal),) * 2 if kind == "circle" else radii(width, height)
    _refuse_negative({"r": rx} if kind == "circle" else {"rx": rx, "ry": ry}, where=where)
    if min(rx, ry) == 0:
        return Path()
    return Ellipse(length("cx", width), length("cy", height), rx, ry)


def _refuse_negative(measures: Mapping[str, float], *, where: str) -> None:
    for name, value in measures.items():
        if value < 0:
            raise InputError(f"{where}, {name}", f"{value:g} is below zero", "make it positive")


def _corners(text: str) -> Points:
    """Return the points of a polygon's attribute, shape (N, 2), in its own units."""
    numbers = _NUMBER.findall(text)
    if (text.strip() and not _NUMBERS.fullmatch(text)) or len(numbers) % 2:
        raise ValueError(text)
    return np.array(numbers, float).reshape(-1, 2)


def _flatten(path: Path, to_mm: Affine, *, where: str) -> list[Points]:
    from svgelements import Close, Move

    rings: list[Points] = []
    run: list[Points] = []
    count = 0
    for segment in path:
        if isinstance(segment, Move):
            rings += _closed(run, closed=False, where=where)
            run = [_points_mm([segment.end], to_mm)]
        elif isinstance(segment, Close):
            rings += _closed(run, closed=True, where=where)
            # After closing, a line may go on from where the ring began (SVG 2, 9.3.4).
            run = run[:1]
        else:
            run.append(_segment_points(segment, to_mm))
        count += len(run[-1]) if run else 0
        _refuse_too_fine(count, len(rings), where=where)
    return rings + _closed(run, closed=False, where=where)


def _refuse_too_fine(corners: int, rings: int, *, where: str) -> None:
    if corners > MOST_POINTS or rings > MOST_RINGS:
        what = f"its outline has more than {MOST_POINTS:,} corners or {MOST_RINGS} rings"
        raise InputError(where, what, "simplify it, or draw its pieces as shapes of their own")


def _closed(run: list[Points], *, closed: bool, where: str) -> list[Points]:
    """Return the ring that a run of points makes, or nothing if it is a point or less."""
    points = np.concatenate(run) if run else np.empty((0, 2))
    if len(points) < 2:
        return []
    apart = float(np.hypot(*(points[0] - points[-1])))
    if not closed and not apart <= _CLOSED_MM:
        what = f"its line is left open, with its ends {apart:.1f} mm apart"
        raise InputError(where, what, 'close it, or mark it data-role="ignore"')
    return [points[:-1] if apart <= _CLOSED_MM else points]


def _points_mm(points: list[object], to_mm: Affine) -> Points:
    return _placed(np.array([[float(point.x), float(point.y)] for point in points]), to_mm)  # type: ignore[attr-defined]


def _placed(flat: Points, to_mm: Affine) -> Points:
    if not np.isfinite(flat).all():
        raise ValueError("a point is not finite")
    mm: Points = flat @ to_mm[:2, :2].T + to_mm[:2, 2]
    if not np.isfinite(mm).all():
        raise ValueError("a point is beyond all measure")
    return mm


def _segment_points(segment: PathSegment, to_mm: Affine) -> Points:
    """Return the points of one segment after its start, mm, within `CHORD_ERROR_MM` of it."""
    from svgelements import Arc, CubicBezier, QuadraticBezier

    if isinstance(segment, Arc) and min(segment.rx, segment.ry) > 0:
        return _arc_points(segment, to_mm)
    if isinstance(segment, QuadraticBezier):
        p = _points_mm([segment.start, segment.control, segment.end], to_mm)
        bend = 2 * np.hypot(*(p[0] - 2 * p[1] + p[2]))
    elif isinstance(segment, CubicBezier):
        p = _points_mm([segment.start, segment.control1, segment.control2, segment.end], to_mm)
        bend = 6 * max(np.hypot(*(p[0] - 2 * p[1] + p[2])), np.hypot(*(p[1] - 2 * p[2] + p[3])))
    else:
        return _points_mm([segment.end], to_mm)
    # A chord over a step h leaves a curve by at most h² max|B''| / 8: linear interpolation's bound.
    steps = min(max(math.ceil(math.sqrt(bend / (8 * CHORD_ERROR_MM))), 1), 10_000)
    t = np.linspace(0, 1, steps + 1)[1:, None]
    degree = len(p) - 1
    points: Points = sum(
        (math.comb(degree, k) * t**k * (1 - t) ** (degree - k) * p[k] for k in range(degree + 1)),
        np.zeros((steps, 2)),
    )
    return points


def _arc_points(arc: PathSegment, to_mm: Affine) -> Points:
    centre, tip_x, tip_y, start, end = _points_mm([arc.center, arc.prx, arc.pry, arc.start, arc.end], to_mm)
    axes = np.column_stack([tip_x - centre, tip_y - centre])
    longest = float(np.linalg.svd(axes, compute_uv=False)[0])
    # An ellipse is a circle squeezed by no more than its long half axis; of a circle of radius r,
    # a chord over the angle s leaves the arc by r (1 - cos(s / 2)).
    widest = (
        2 * math.acos(max(1 - CHORD_ERROR_MM / longest, -1)) if longest > CHORD_ERROR_MM else math.pi / 2
    )
    steps = min(max(math.ceil(abs(arc.sweep) / min(widest, math.pi / 2)), 1), 10_000)
    # Least squares, since a transform may squash an arc flat; it then has no area, and is told so.
    first = math.atan2(*np.linalg.lstsq(axes, start - centre, rcond=None)[0][::-1])
    angle = first + arc.sweep * np.linspace(0, 1, steps + 1)[1:]
    points: Points = centre + np.column_stack([np.cos(angle), np.sin(angle)]) @ axes.T
    points[-1] = end
    return points
