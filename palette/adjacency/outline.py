"""Outlines as rows of points, close enough together to find the mid-lines between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["LARGEST_STEP_MM", "LEAST_STEP_MM", "Samples", "divide", "sample_outlines"]

CHUNK_MM = 24.0
"""How often the local gap is looked up along an edge."""

LEAST_STEP_MM, LARGEST_STEP_MM = 2.0, 12.0  # between points; ends are made exact afterwards

STEP_PER_GAP = 1.9
"""From twice the gap on, the cells of two rows of points reach through each other's outline."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Samples:
    """Points on the outlines, N of them, every vertex among them.

    Parameters
    ----------
    points, before, after : ndarray, shape (N, 2)
        The point, and the points next to it on its outline; at the open end of a stretch the
        point itself stands in.
    owner : ndarray of int, shape (N,)
        The section's place in the panel's order.
    """

    points: NDArray[np.float64]
    before: NDArray[np.float64]
    after: NDArray[np.float64]
    owner: NDArray[np.intp]

    def feet(self, sample: NDArray[np.intp], x: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the nearest points to x, shape (N, 2), on the outline close to the samples."""
        one = _nearest_on(self.points[sample], self.before[sample], x)
        two = _nearest_on(self.points[sample], self.after[sample], x)
        nearer = np.hypot(*(one - x).T) <= np.hypot(*(two - x).T)
        return np.where(nearer[:, None], one, two)

    def take(self, keep: NDArray[np.intp]) -> Samples:
        """Return some of the points only; each keeps its own surroundings."""
        return Samples(
            points=self.points[keep],
            before=self.before[keep],
            after=self.after[keep],
            owner=self.owner[keep],
        )


def divide(
    starts: NDArray[np.float64], ends: NDArray[np.float64], longest: NDArray[np.float64] | float
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.intp]]:
    """Cut segments into equal parts no longer than `longest`.

    Returns
    -------
    starts, ends : ndarray, shape (M, 2)
        Of the parts, in order.
    parent : ndarray of int, shape (M,)
        Which segment each part came from.
    """
    lengths = np.hypot(*(ends - starts).T)
    counts = np.maximum(np.ceil(lengths / longest - 1e-9), 1).astype(np.intp)
    parent = np.repeat(np.arange(len(starts)), counts)
    step = np.arange(len(parent)) - np.repeat(np.cumsum(counts) - counts, counts)
    run = (ends - starts)[parent] / counts[parent, None]
    first = starts[parent] + run * step[:, None]
    last = np.where((step + 1 == counts[parent])[:, None], ends[parent], first + run)
    return first, last, parent


def sample_outlines(lines: Any, owner: NDArray[np.intp], polygons: Any, tree: Any) -> Samples:
    """Return points along lines, denser where another section is close.

    Parameters
    ----------
    lines : ndarray of shapely.LineString, shape (K,)
        Whole rings, or the free stretches of them.
    owner : ndarray of int, shape (K,)
        The section each line belongs to.
    polygons : ndarray of shapely.Polygon
        All sections, in the panel's order.
    tree : shapely.STRtree
        Of those polygons.
    """
    import shapely

    points, line = shapely.get_coordinates(lines, return_index=True)
    edge = np.flatnonzero(line[1:] == line[:-1])
    starts, ends, parent = divide(points[edge], points[edge + 1], CHUNK_MM)
    of_line = line[edge][parent]

    step = _choose_steps((starts + ends) / 2, owner[of_line], polygons, tree)
    starts, ends, parent = divide(starts, ends, step)
    of_line = of_line[parent]

    # An open stretch has one point more than it has parts: its end.
    closed = shapely.is_closed(lines)
    is_last = np.append(of_line[1:] != of_line[:-1], True)
    extra = np.flatnonzero(is_last & ~closed[of_line])
    order = np.argsort(np.concatenate([np.arange(len(starts)), extra + 0.5]), kind="stable")
    points = np.concatenate([starts, ends[extra]])[order]
    of_line = np.concatenate([of_line, of_line[extra]])[order]

    before, after = _link(len(points), of_line, closed)
    samples = Samples(
        points=points,
        before=points[before],
        after=points[after],
        owner=owner[of_line],
    )
    # Sections that touch share points, and the diagram knows each place but once.
    _, once = np.unique(points.round(4), axis=0, return_index=True)
    return samples.take(np.sort(once))


def _nearest_on(
    start: NDArray[np.float64], end: NDArray[np.float64], x: NDArray[np.float64]
) -> NDArray[np.float64]:
    along = end - start
    size = np.einsum("ij,ij->i", along, along)
    share = np.einsum("ij,ij->i", x - start, along) / np.where(size > 0, size, 1.0)
    found: NDArray[np.float64] = start + along * np.clip(share, 0.0, 1.0)[:, None]
    return found


def _choose_steps(
    middles: NDArray[np.float64], owner: NDArray[np.intp], polygons: Any, tree: Any
) -> NDArray[np.float64]:
    import shapely

    spots = shapely.points(middles)
    near, other = tree.query(spots, predicate="dwithin", distance=LARGEST_STEP_MM / STEP_PER_GAP)
    foreign = other != owner[near]
    near, other = near[foreign], other[foreign]
    gap = np.full(len(middles), LARGEST_STEP_MM)
    np.minimum.at(gap, near, shapely.distance(spots[near], polygons[other]))
    return np.clip(gap * STEP_PER_GAP, LEAST_STEP_MM, LARGEST_STEP_MM)


def _link(
    count: int, of_line: NDArray[np.intp], closed: NDArray[np.bool_]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return which sample comes before each one on its line, and which after."""
    index = np.arange(count)
    is_first = np.append(True, of_line[1:] != of_line[:-1])
    is_last = np.append(of_line[1:] != of_line[:-1], True)
    first = index[is_first][np.cumsum(is_first) - 1]
    last = index[is_last][np.cumsum(is_first) - 1]
    before = np.where(is_first, np.where(closed[of_line], last, index), index - 1)
    after = np.where(is_last, np.where(closed[of_line], first, index), index + 1)
    return before, after
