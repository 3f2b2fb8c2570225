"""From labelled pixels to outlines that still fit each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely import Polygon

__all__ = ["SMOOTHING_PX", "trace_outlines"]

SMOOTHING_PX = 0.5
"""How far smoothing may move an outline once its one-pixel steps are cut at their middles."""


def trace_outlines(labels: NDArray[np.int32], scale: NDArray[np.float64]) -> list[Polygon]:
    """Return one outline for each label, in the order of the labels.

    Parameters
    ----------
    labels : ndarray of int, shape (H, W)
        0 where there is nothing; every label 1..n is one piece, connected along pixel sides.
    scale : ndarray, shape (2,)
        Millimetres a pixel, across and down.

    Notes
    -----
    The sides between unlike pixels are joined to lines that run from one meeting point of three
    labels to the next, each line is smoothed once, and the lines are closed to faces again. So
    two sections that touch keep one common line: no gap opens and none overlaps the other.
    Smoothing first cuts every one-pixel step at its middle, which is where a slanted edge runs,
    then drops needless points (Douglas & Peucker, 1973): an outline moves by 1 pixel at most.
    """
    import shapely

    sides = _pixel_sides(labels)
    if not len(sides):
        return []
    lines = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(shapely.linestrings(sides))))
    count = int(labels.max())
    smooth = [shapely.linestrings(_cut_steps(shapely.get_coordinates(line))) for line in lines]
    faces = _faces(shapely.simplify(smooth, SMOOTHING_PX), labels, count)
    if faces is None:
        # Sections less than two pixels apart can make smoothed lines cross; the steps then stay.
        faces = _faces(lines, labels, count)
    if faces is None:
        raise ValueError("a label is not one connected piece")
    return [shapely.transform(face, lambda points: points * scale) for face in faces]


def _pixel_sides(labels: NDArray[np.int32]) -> NDArray[np.float64]:
    """Return straight runs of pixel sides, shape (N, 2, 2), each between the same two labels."""
    padded = np.pad(labels, 1)
    runs = []
    for turned in (padded, padded.T):
        before, after = turned[:-1], turned[1:]
        line, place = np.nonzero(before != after)
        # Runs go along the second axis: a new one begins where the next side is not its neighbour,
        # or parts other labels.
        goes_on = (np.diff(line) == 0) & (np.diff(place) == 1)
        for labels_there in (before[line, place], after[line, place]):
            goes_on &= np.diff(labels_there) == 0
        begins, ends = np.append(True, ~goes_on)[: len(line)], np.append(~goes_on, True)[: len(line)]
        line, first, last = line[begins], place[begins] - 1, place[ends]
        # Padding moved all by one, so side k of `turned` lies on the line between pixels k-1 and k.
        along = np.stack([np.stack([first, line], axis=1), np.stack([last, line], axis=1)], axis=1)
        runs.append(along if turned is padded else along[..., ::-1])
    return np.concatenate(runs).astype(float)


def _cut_steps(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a line of pixel sides, shape (N, 2), with its one-pixel sides drawn together to a point."""
    middles = (points[1:] + points[:-1]) / 2
    short = np.abs(np.diff(points, axis=0)).sum(axis=1) == 1
    # The ends are where lines meet: they stay, so that the smoothed lines still meet there.
    kept = np.concatenate([[True], ~(short[:-1] | short[1:]), [True]])
    order = np.concatenate([np.flatnonzero(kept), np.flatnonzero(short) + 0.5])
    together = np.concatenate([points[kept], middles[short]])
    cut: NDArray[np.float64] = together[np.argsort(order, kind="stable")]
    return cut


def _faces(lines: NDArray[np.object_], labels: NDArray[np.int32], count: int) -> list[Polygon] | None:
    """Return the face of each label, or None where the lines do not close to one face each."""
    import shapely

    faces = shapely.get_parts(shapely.polygonize(lines))
    found: list[Polygon | None] = [None] * count
    for face in faces:
        spot = shapely.point_on_surface(face)
        row = min(max(int(spot.y), 0), labels.shape[0] - 1)
        column = min(max(int(spot.x), 0), labels.shape[1] - 1)
        label = int(labels[row, column])
        if label:
            if found[label - 1] is not None or not face.is_valid:
                return None
            found[label - 1] = face
    outlines = [face for face in found if face is not None]
    return outlines if len(outlines) == count else None
