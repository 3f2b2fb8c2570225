"""Measuring a border that is a staircase of pixel sides.

A staircase is longer than the line it stands for, its feet hop from step to step, and a section's
corner is a matter of the pixels around it. So nothing here is read off one side alone: direction,
length and the walk of the feet are means over the sides close by.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.adjacency.borders import CORNER_WINDOW_MM, SHARP_TURN_DEGREES, Pieces, are_opposite

__all__ = ["Sides", "measure_sides"]

SMOOTHING_PX = 12.0
"""How far to each side the direction of a staircase is averaged."""

BLURRED_PX = 2.5
"""Closer than this the direction from the mid-line to a pixel is too coarse to be judged."""


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


def measure_sides(sides: Sides, labels: NDArray[np.int32], mm_per_px: float, reach_mm: float) -> Pieces:
    """Return each side as a piece of border, in mm, facing or not."""
    close = _find_close_sides(sides)
    advance = _smooth_advance(sides, close)
    length = np.hypot(*advance.T)
    normal = advance / np.where(length > 0, length, 1.0)[:, None]
    tangent = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
    apart = np.hypot(*(sides.foot_b - sides.foot_a).T)
    gap = np.maximum(apart - np.abs(normal).max(axis=1), 0.0) * mm_per_px

    # On a slanting edge feet hop by up to the root of their distance, in pixels; a wider window
    # would only blur the ends of the border.
    away = np.hypot(*(sides.foot_a - sides.middle).T)
    lag = np.hypot(*(sides.middle[close[:, 1]] - sides.middle[close[:, 0]]).T)
    hop = np.sqrt(away)[close[:, 0]]
    closest, close = close[lag <= hop], close[lag <= 2.0 * hop + 0.5]
    to_a, to_b = sides.foot_a - sides.middle, sides.foot_b - sides.middle
    near = np.maximum(np.hypot(*to_a.T), np.hypot(*to_b.T)) <= BLURRED_PX
    facing = near | are_opposite(_smooth_direction(to_a, closest), _smooth_direction(to_b, closest))
    facing &= gap <= reach_mm + 1e-9
    for foot in (sides.foot_a, sides.foot_b):
        facing &= ~_stands_still(foot, sides, tangent, close, labels, mm_per_px)
    # Half a pixel takes pixel places to lengths from the panel's corner.
    middle, along = (sides.middle + 0.5) * mm_per_px, sides.along * mm_per_px
    return Pieces(
        pairs=sides.pairs,
        ends=np.stack([middle - along, middle + along], axis=1),
        zone_mm=length * mm_per_px,
        facing=facing,
        border_mm=np.where(facing, length * mm_per_px, 0.0),
        gap_mm=gap,
    )


def _find_close_sides(sides: Sides) -> NDArray[np.intp]:
    """Return ordered pairs of sides of one border that lie close together, shape (K, 2)."""
    from scipy.spatial import cKDTree

    _, border = np.unique(sides.pairs, axis=0, return_inverse=True)
    # Borders of different pairs lie on separate floors, out of each other's sight.
    floors = np.column_stack([sides.middle, border.ravel() * 10.0 * SMOOTHING_PX])
    close = cKDTree(floors).query_pairs(SMOOTHING_PX, output_type="ndarray")
    own = np.repeat(np.arange(len(floors))[:, None], 2, axis=1)
    return np.concatenate([close, close[:, ::-1], own])


def _smooth_advance(sides: Sides, close: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return how far the border gets on with each side, as a vector square to it, from a to b.

    The sides of a staircase, each with its direction, add up to the way from its one end to the
    other; so the mean over those close by tells how the border truly runs, and how fast.
    """
    square = np.abs(sides.along[:, ::-1]) * 2 * sides.way[:, None]
    count = np.bincount(close[:, 0], minlength=len(square))
    total = [np.bincount(close[:, 0], square[close[:, 1], axis], minlength=len(square)) for axis in (0, 1)]
    advance: NDArray[np.float64] = np.stack(total, axis=1) / count[:, None]
    return advance


def _smooth_direction(to_foot: NDArray[np.float64], close: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return the mean direction of the feet seen from the sides close by."""
    unit = (to_foot / np.hypot(*to_foot.T)[:, None])[close[:, 1]]
    total = [np.bincount(close[:, 0], unit[:, axis], minlength=len(to_foot)) for axis in (0, 1)]
    return np.stack(total, axis=1)


def _stands_still(
    foot: NDArray[np.float64],
    sides: Sides,
    tangent: NDArray[np.float64],
    close: NDArray[np.intp],
    labels: NDArray[np.int32],
    mm_per_px: float,
) -> NDArray[np.bool_]:
    """Return where a foot stays on a sharp corner while the border runs on.

    Feet hop from step to step of a slanting edge, so their speed is a regression over the sides
    close by. Half speed is the middle of the change from walking to standing, hence just at the
    corner; and only at a corner is slow the same as standing: on a round section the feet of a
    wide gap are slow, too.
    """
    one, two = close.T
    way = np.einsum("ij,ij->i", sides.middle[two] - sides.middle[one], tangent[one])
    walk = np.einsum("ij,ij->i", foot[two] - foot[one], tangent[one])
    count = np.bincount(one)
    mean_way, mean_walk = np.bincount(one, way) / count, np.bincount(one, walk) / count
    spread = np.bincount(one, way * way) - count * mean_way**2
    together = np.bincount(one, way * walk) - count * mean_way * mean_walk
    standing: NDArray[np.bool_] = together < 0.5 * spread
    spots, spot = np.unique(foot[standing].astype(np.intp), axis=0, return_inverse=True)
    standing[standing] = _are_sharp(spots, labels, mm_per_px)[spot.ravel()]
    return standing


def _are_sharp(spots: NDArray[np.intp], labels: NDArray[np.int32], mm_per_px: float) -> NDArray[np.bool_]:
    """Return which pixels are corners of their section: it fills little of a disc about them."""
    radius = int(np.clip(round(CORNER_WINDOW_MM / mm_per_px), 4, 10))
    offsets = np.stack(np.meshgrid(np.arange(-radius, radius + 1), np.arange(-radius, radius + 1)), axis=-1)
    offsets = offsets.reshape(-1, 2)
    offsets = offsets[np.hypot(*offsets.T) <= radius]
    filled = np.zeros(len(spots))
    own = labels[spots[:, 1], spots[:, 0]]
    height, width = labels.shape
    for dx, dy in offsets:
        x, y = spots[:, 0] + dx, spots[:, 1] + dy
        on = (x >= 0) & (x < width) & (y >= 0) & (y < height)
        filled[on] += labels[y[on], x[on]] == own[on]
    # The disc stands on a pixel's centre, half a pixel inside the true outline.
    inside = 1 / (np.pi * radius)
    return filled / len(offsets) < (180 - SHARP_TURN_DEGREES) / 360 + inside
