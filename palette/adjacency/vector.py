"""Neighbours from outlines.

Stretches where two sections touch are shared outline, and measured as such. What is left of the
outlines is free, and the mid-lines between the free parts are traced.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.adjacency.borders import Meetings, Pieces, gather_contacts
from palette.adjacency.contact import Adjacency
from palette.adjacency.mid_line import trace_mid_lines
from palette.adjacency.outline import Samples, sample_outlines
from palette.panel import Panel

__all__ = ["find_neighbours_by_outline"]

TOUCH_MM = 1e-3
"""Closer than this is touching: far below any brush, far above the rounding of coordinates."""

FINEST_MM = 5e-3
"""Borders no longer than this are points."""


def find_neighbours_by_outline(panel: Panel, *, reach_mm: float, min_border_mm: float) -> Adjacency:
    """Return who is whose neighbour, from the sections' outlines.

    The definition, the arguments and the answer are those of `find_neighbours`.
    """
    import shapely

    polygons = np.array([section.outline for section in panel.sections], dtype=object)
    tree = shapely.STRtree(polygons)
    touching, shared = _find_shared(polygons, tree)
    found = [_measure_shared(touching, shared)]
    met = [touching]
    if reach_mm > TOUCH_MM and len(polygons) > 1:
        samples = _sample_free_outlines(polygons, tree, touching, shared)
        pieces, crossings = trace_mid_lines(samples, panel, tree, reach_mm)
        found.append(pieces)
        met += [pieces.pairs, crossings]
    pairs = np.unique(np.concatenate(met), axis=0)
    return gather_contacts(
        panel.ids,
        Pieces.join(found),
        Meetings(pairs=pairs, least_gap_mm=shapely.distance(polygons[pairs[:, 0]], polygons[pairs[:, 1]])),
        reach_mm=reach_mm,
        min_border_mm=min_border_mm,
        finest_mm=FINEST_MM,
    )


def _find_shared(polygons: Any, tree: Any) -> tuple[NDArray[np.intp], Any]:
    """Return the pairs that touch, and the stretch of outline each pair shares (maybe empty)."""
    import shapely

    one, two = tree.query(polygons, predicate="dwithin", distance=TOUCH_MM)
    pairs = np.stack([one, two], axis=1)[one < two]
    pairs = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
    rims = shapely.boundary(polygons)
    # The grid makes edges meet that differ by rounding only, as those of a rotated drawing do.
    shared = shapely.intersection(rims[pairs[:, 0]], rims[pairs[:, 1]], grid_size=TOUCH_MM)
    # Outlines that touch here and cross there share points as well as lines: only lines count.
    parts, pair = shapely.get_parts(shared, return_index=True)
    is_line = shapely.length(parts) > 0
    lines = np.full(len(pairs), shapely.MultiLineString(), dtype=object)
    present, place = np.unique(pair[is_line], return_inverse=True)
    lines[present] = shapely.multilinestrings(parts[is_line], indices=place)
    return pairs, lines


def _measure_shared(pairs: NDArray[np.intp], shared: Any) -> Pieces:
    import shapely

    parts, pair = shapely.get_parts(shared, return_index=True)
    points, line = shapely.get_coordinates(parts, return_index=True)
    edge = np.flatnonzero(line[1:] == line[:-1])
    ends = np.stack([points[edge], points[edge + 1]], axis=1)
    lengths = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    return Pieces(
        pairs=pairs[pair[line[edge]]],
        ends=ends,
        zone_mm=lengths,
        border_mm=lengths,
        gap_mm=np.zeros(len(ends)),
    )


def _sample_free_outlines(polygons: Any, tree: Any, touching: NDArray[np.intp], shared: Any) -> Samples:
    """Return points on all outlines, leaving out the stretches that touch another section."""
    import shapely

    rims = shapely.boundary(polygons)
    has_line = shapely.length(shared) > 0
    sides, lines = touching[has_line], shared[has_line]
    for place in np.unique(sides):
        taken = shapely.union_all(lines[(sides == place).any(axis=1)], grid_size=TOUCH_MM)
        # What is left of a ring comes in two pieces where the ring began: merge them.
        left = shapely.difference(rims[place], taken, grid_size=TOUCH_MM)
        rims[place] = shapely.line_merge(left)
    parts, owner = shapely.get_parts(rims, return_index=True)
    keep = shapely.length(parts) > FINEST_MM
    return sample_outlines(parts[keep], owner[keep], polygons, tree)
