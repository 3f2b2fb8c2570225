"""A pattern for every can, so that a map can be read in black and white.

Lines and dots are cut to the section's outline as geometry, not by clipping, so that every
viewer and every cutter plotter draws them alike.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Array
from palette.papers.marks import Dots, Lines, Mark, lines_of

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["PATTERNS", "pattern_marks"]

PATTERNS = (
    "level lines", "upright lines", "rising lines", "falling lines", "dots", "squares",
    "diamonds", "broken level lines", "rings", "broken upright lines", "crosses", "dense dots",
)  # fmt: skip
"""In the order of can numbers; from the thirteenth can on they come again, wider."""

STEP_MM = 3.4
_DOT_MM = 0.38


def pattern_marks(shape: Geometry, can: int, *, ink: str) -> list[Mark]:
    """Return the pattern of a can (from 1) over a shape on the page, mm.

    Patterns are counted from the page's corner, so that pieces of one can line up.
    """
    if shape.is_empty:
        return []
    kind = PATTERNS[(can - 1) % len(PATTERNS)]
    step = STEP_MM * (1 + 0.6 * ((can - 1) // len(PATTERNS)))
    bounds = shape.bounds
    if kind in ("dots", "dense dots", "rings", "crosses"):
        return _spots(shape, kind, step, bounds, ink)
    angles = {
        "level lines": (0,), "broken level lines": (0,), "upright lines": (90,), "rising lines": (-45,),
        "broken upright lines": (90,), "falling lines": (45,), "squares": (0, 90), "diamonds": (45, -45),
    }[kind]  # fmt: skip
    dash = (4.0, 4.0) if kind.startswith("broken") else ()
    import shapely

    ruled = [shapely.MultiLineString(_ruling(bounds, angle, step)) for angle in angles]
    cut = (
        shapely.union_all([shapely.intersection(lines, shape) for lines in ruled])
        if len(ruled) > 1
        else (shapely.intersection(ruled[0], shape))
    )
    return [lines_of(cut, stroke=ink, width_pt=0.55, dash_pt=dash)]


def _ruling(bounds: tuple[float, float, float, float], angle: float, step: float) -> list[Array]:
    """Return parallel lines across a rectangle, at whole steps from the page's corner."""
    direction = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    normal = np.array([-direction[1], direction[0]])
    corners = np.array([[x, y] for x in bounds[::2] for y in bounds[1::2]])
    across, along = corners @ normal, corners @ direction
    places = np.arange(np.ceil(across.min() / step), np.floor(across.max() / step) + 1) * step
    ends = np.array([along.min() - 1, along.max() + 1])
    return [place * normal + ends[:, None] * direction for place in places] or [
        np.array([corners[0], corners[0] + 1e-6])
    ]


def _spots(
    shape: Geometry, kind: str, step: float, bounds: tuple[float, float, float, float], ink: str
) -> list[Mark]:
    import shapely

    step = step * 0.62 if kind == "dense dots" else step
    x, y = (
        np.arange(np.floor(low / step), np.ceil(high / step) + 1)
        for low, high in ((bounds[0], bounds[2]), (bounds[1], bounds[3]))
    )
    grid_x, grid_y = np.meshgrid(x * step, y * step)
    grid_x = grid_x + (y[:, None] % 2) * step / 2
    inside = shapely.contains_xy(shape.buffer(-0.8), grid_x, grid_y)
    points = np.stack([grid_x[inside], grid_y[inside]], axis=-1)
    if kind in ("dots", "dense dots"):
        return [Dots(points=points, radius_mm=_DOT_MM, fill=ink)] if len(points) else []
    if kind == "rings":
        turn = np.linspace(0, 2 * np.pi, 13)
        ring = 0.75 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
        return [Lines(paths=tuple(ring + point for point in points), stroke=ink, width_pt=0.5)]
    bars = [np.array([[-0.8, 0], [0.8, 0]]), np.array([[0, -0.8], [0, 0.8]])]
    return [Lines(paths=tuple(bar + point for point in points for bar in bars), stroke=ink, width_pt=0.6)]
