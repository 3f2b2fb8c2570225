"""Measuring a border that is a staircase of pixel sides.

A staircase is longer than the line it stands for, so no length is read off one side alone: it is
the mean over the sides close by. Nor do pixels tell directions: from a few pixels away the nearest
one may lie several degrees beside the nearest point of the edge it stands for. So feet are looked
up on the sections' outlines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.adjacency.borders import Pieces, are_opposite

__all__ = ["Sides", "measure_sides"]

SMOOTHING_PX = 12.0
"""How far to each side the direction of a staircase is averaged."""

BLURRED_PX = 1.5
"""Closer than this a side cannot be told from the outlines: whatever lies there is opposite."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sides:
    """Pixel sides between different zones; a before b in the panel's order; all in px.

    `pairs` (N, 2); `middle`, `foot_a`, `foot_b` (N, 2) as x, y of pixel centres; `along` (N, 2)
    half the side, from its middle to one end; `way` (N,) 1 where a lies left or above, else -1.
    """

    pairs: NDArray[np.intp]
    middle: NDArray[np.float64]
    along: NDArray[np.float64]
    way: NDArray[np.float64]
    foot_a: NDArray[np.float64]
    foot_b: NDArray[np.float64]


def measure_sides(sides: Sides, rims: Any, px_mm: NDArray[np.float64], reach_mm: float) -> Pieces:
    """Return each side as a piece of border, in mm, facing or not.

    Parameters
    ----------
    rims : ndarray of shapely geometries
        The sections' outlines as lines, in the panel's order.
    px_mm : ndarray, shape (2,)
        Size of a pixel, across and down.
    """
    length = np.hypot(*_smooth_advance(sides, px_mm).T)
    # Half a pixel takes pixel places to lengths from the panel's corner.
    middle, along = (sides.middle + 0.5) * px_mm, sides.along * px_mm
    foot_a, foot_b = (_find_feet(rims[sides.pairs[:, side]], middle) for side in (0, 1))
    gap = np.hypot(*(foot_b - foot_a).T)
    to_a, to_b = foot_a - middle, foot_b - middle
    away = np.maximum(np.hypot(*to_a.T), np.hypot(*to_b.T))
    facing = (away <= BLURRED_PX * px_mm.mean()) | are_opposite(to_a, to_b)
    facing &= gap <= reach_mm + 1e-9
    along = np.where(facing[:, None], along, 0.0)
    return Pieces(
        pairs=sides.pairs,
        ends=np.stack([middle - along, middle + along], axis=1),
        zone_mm=length,
        border_mm=np.where(facing, length, 0.0),
        gap_mm=gap,
    )


def _find_feet(rims: Any, x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the nearest point of each line to each point, shape (N, 2)."""
    import shapely

    feet: NDArray[np.float64] = shapely.get_coordinates(shapely.shortest_line(rims, shapely.points(x)))[::2]
    return feet


def _smooth_advance(sides: Sides, px_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far the border gets on with each side, in mm, as a vector square to it, from a to b.

    The sides of a staircase, each with its direction, add up to the way from its one end to the
    other; so the mean over those close by tells how the border truly runs, and how fast.
    """
    from scipy.spatial import cKDTree

    _, border = np.unique(sides.pairs, axis=0, return_inverse=True)
    # Borders of different pairs lie on separate floors, out of each other's sight.
    floors = np.column_stack([sides.middle, border.ravel() * 10.0 * SMOOTHING_PX])
    close = cKDTree(floors).query_pairs(SMOOTHING_PX, output_type="ndarray")
    own = np.repeat(np.arange(len(floors))[:, None], 2, axis=1)
    one, two = np.concatenate([close, close[:, ::-1], own]).T
    square = np.abs(sides.along * px_mm)[:, ::-1] * 2 * sides.way[:, None]
    total = [np.bincount(one, square[two, axis], minlength=len(square)) for axis in (0, 1)]
    advance: NDArray[np.float64] = np.stack(total, axis=1) / np.bincount(one)[:, None]
    return advance
