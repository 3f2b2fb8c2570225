"""Neighbours from the pixels of a label image.

Each pixel of the free space goes to its nearest section by the exact distance transform; the
border runs along the pixel sides between different zones. Such a line is a staircase, longer than
the border it stands for, so each side counts by how far the staircase gets on around it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.adjacency.borders import Meetings, gather_contacts
from palette.adjacency.contact import Adjacency
from palette.adjacency.pixel_sides import Sides, measure_sides
from palette.errors import InputError
from palette.panel import Panel

__all__ = ["find_neighbours_by_pixels"]

FINEST_PX = 1.5
"""Borders up to this length are ties between pixels: a crossing of four zones has one."""

CROSSING_PX = 1.5
"""Zones that miss each other by this little at a crossing meet there."""


def find_neighbours_by_pixels(panel: Panel, *, reach_mm: float, min_border_mm: float) -> Adjacency:
    """Return who is whose neighbour, from the panel's label image at its own resolution.

    The definition, the arguments and the answer are those of `find_neighbours`. Lengths are good
    to about a pixel at each end of a border, gaps to a pixel.

    Raises
    ------
    InputError
        The panel has no label image.
    """
    image = panel.label_image
    if image is None:
        raise InputError(panel.source, "it has no label image", "find its neighbours by outline")
    place_of = {name: place for place, name in enumerate(panel.ids)}
    places = np.array([-1, *(place_of[name] for name in image.names)], dtype=np.intp)

    import shapely
    from scipy import ndimage

    labels = image.labels
    rows, columns = ndimage.distance_transform_edt(labels == 0, return_distances=False, return_indices=True)
    # The nearest section pixel as one flat number: these are the largest arrays of all.
    foot = rows * np.int32(labels.shape[1]) + columns
    del rows, columns
    zones = labels.ravel()[foot]

    sides = _join(*(_find_sides(zones, foot, places, axis) for axis in (0, 1)))
    sides = _keep_within(sides, reach_mm / image.mm_per_px)
    rims = shapely.boundary(np.array([section.outline for section in panel.sections], dtype=object))
    px_mm = np.array([panel.width_mm, panel.height_mm]) / labels.shape[::-1]
    return gather_contacts(
        panel.ids,
        measure_sides(sides, rims, px_mm, reach_mm),
        _find_meetings(zones, foot, places, sides, image.mm_per_px, reach_mm),
        reach_mm=reach_mm,
        min_border_mm=min_border_mm,
        finest_mm=FINEST_PX * image.mm_per_px,
    )


def _find_sides(
    zones: NDArray[np.int32], foot: NDArray[np.int32], places: NDArray[np.intp], axis: int
) -> Sides:
    """Return the sides between pixels that follow one another along an axis, 0 down, 1 across."""
    width = zones.shape[1]
    ahead = zones[1:] if axis == 0 else zones[:, 1:]
    behind = zones[:-1] if axis == 0 else zones[:, :-1]
    row, column = np.nonzero(ahead != behind)
    step = (row + 1, column) if axis == 0 else (row, column + 1)
    pairs = np.stack([places[zones[row, column]], places[zones[step]]], axis=1)
    feet = np.stack([foot[row, column], foot[step]], axis=1)
    turned = pairs[:, 0] > pairs[:, 1]
    pairs[turned], feet[turned] = pairs[turned][:, ::-1], feet[turned][:, ::-1]
    middle = np.stack([column + 0.5 * (axis == 1), row + 0.5 * (axis == 0)], axis=1)
    return Sides(
        pairs=pairs,
        middle=middle,
        along=np.tile([0.5 * (axis == 0), 0.5 * (axis == 1)], (len(row), 1)),
        way=np.where(turned, -1.0, 1.0),
        foot_a=_as_points(feet[:, 0], width),
        foot_b=_as_points(feet[:, 1], width),
    )


def _as_points(flat: NDArray[np.int32], width: int) -> NDArray[np.float64]:
    return np.stack([flat % width, flat // width], axis=-1).astype(np.float64)


def _join(one: Sides, two: Sides) -> Sides:
    return Sides(
        **{name: np.concatenate([getattr(one, name), getattr(two, name)]) for name in Sides.__slots__}
    )


def _keep_within(sides: Sides, reach_px: float) -> Sides:
    """Drop the sides that lie farther than reach from the sections they part."""
    keep = np.hypot(*(sides.foot_a - sides.middle).T) <= reach_px + 0.5
    return Sides(**{name: getattr(sides, name)[keep] for name in Sides.__slots__})


def _find_meetings(
    zones: NDArray[np.int32],
    foot: NDArray[np.int32],
    places: NDArray[np.intp],
    sides: Sides,
    mm_per_px: float,
    reach_mm: float,
) -> Meetings:
    """Return all pairs whose zones share a side or a crossing, and how near they come."""
    crossing_pairs, crossing_gaps = _find_crossings(zones, foot, places, reach_mm / mm_per_px)
    all_pairs = np.concatenate([sides.pairs, crossing_pairs])
    gaps = np.concatenate([_pixel_gap(sides.foot_a, sides.foot_b), crossing_gaps])
    pairs, place = np.unique(all_pairs, axis=0, return_inverse=True)
    least = np.full(len(pairs), np.inf)
    np.minimum.at(least, place.ravel(), gaps)
    return Meetings(pairs=pairs.reshape(-1, 2), least_gap_mm=least * mm_per_px)


def _pixel_gap(one: NDArray[np.float64], two: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the free space between two pixels, px; they are squares, not points."""
    free: NDArray[np.float64] = np.hypot(*np.maximum(np.abs(two - one) - 1, 0).T)
    return free


def _find_crossings(
    zones: NDArray[np.int32], foot: NDArray[np.int32], places: NDArray[np.intp], reach_px: float
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return the pairs of zones that meet where at least three do, and their gaps in px."""
    height, width = zones.shape
    down = zones[1:] != zones[:-1]
    across = zones[:, 1:] != zones[:, :-1]
    changes = down[:, 1:].astype(np.int8) + down[:, :-1] + across[1:] + across[:-1]
    row, column = np.nonzero(changes >= 3)

    # Ties between pixels may part a true crossing of four zones by a pixel, so look around.
    window = np.arange(-1, 3)
    rows = np.clip(row[:, None, None] + window[None, :, None], 0, height - 1)
    columns = np.clip(column[:, None, None] + window[None, None, :], 0, width - 1)
    seen = places[zones[rows, columns]].reshape(-1, 16)
    feet = _as_points(foot[rows, columns].reshape(-1, 16), width)
    away = np.hypot(*np.moveaxis(feet - (np.stack([column, row], axis=1) + 0.5)[:, None], -1, 0))
    near = (away <= away.min(axis=1, initial=np.inf, keepdims=True) + CROSSING_PX) & (away <= reach_px + 1)
    pairs, gaps = [np.empty((0, 2), dtype=np.intp)], [np.empty(0)]
    for i in range(15):
        for j in range(i + 1, 16):
            meet = near[:, i] & near[:, j] & (seen[:, i] != seen[:, j])
            pairs.append(np.sort(np.stack([seen[meet, i], seen[meet, j]], axis=1), axis=1))
            gaps.append(_pixel_gap(feet[meet, i], feet[meet, j]))
    return np.concatenate(pairs), np.concatenate(gaps)
