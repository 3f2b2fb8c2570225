"""The lines halfway between free outlines, found as ridges of a Voronoi diagram.

The diagram is that of points on the outlines. Its ridges zigzag about the true line, so their
ends are moved onto the place that is exactly as far from the one outline as from the other before
anything is measured; the diagram only says who meets whom, and in which order.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.adjacency.borders import Pieces, are_opposite
from palette.adjacency.outline import LARGEST_STEP_MM, LEAST_STEP_MM, Samples, divide
from palette.panel import Panel

__all__ = ["trace_mid_lines"]

TIE_MM = 0.02
"""Zones that miss each other by this little at a crossing meet there."""

HALVINGS = 12
"""Where a border ends is found to a piece's length over 2 to this power: some hundredths of a mm."""


def trace_mid_lines(
    samples: Samples, panel: Panel, tree: Any, reach_mm: float
) -> tuple[Pieces, NDArray[np.intp]]:
    """Return the pieces of mid-line in the free space, and the pairs that meet at crossings."""
    from scipy.spatial import Voronoi

    # A ring of far points closes the cells of the outermost samples, so that no ridge is endless.
    size = np.hypot(panel.width_mm, panel.height_mm)
    angle = np.arange(8) * np.pi / 4 + 0.1
    middle = np.array([panel.width_mm, panel.height_mm]) / 2
    far = middle + 20 * size * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    diagram = Voronoi(np.concatenate([samples.points, far]))
    corners = diagram.vertices.copy()

    ridge = np.asarray(diagram.ridge_points)
    ends = np.asarray(diagram.ridge_vertices)
    real = (ridge < len(samples.points)).all(axis=1) & (ends >= 0).all(axis=1)
    ridge, ends = ridge[real].astype(np.intp), ends[real]
    owner = samples.owner[ridge]
    between = owner[:, 0] != owner[:, 1]
    ridge, ends = ridge[between], ends[between]

    # The first owner is the smaller, everywhere from here on.
    turned = samples.owner[ridge[:, 0]] > samples.owner[ridge[:, 1]]
    ridge[turned] = ridge[turned][:, ::-1]
    crossings = _settle_crossings(samples, ridge, ends, corners, panel, tree, reach_mm)

    starts, stops, inside = _clip_to_panel(corners[ends[:, 0]], corners[ends[:, 1]], panel)
    starts, stops, parent = divide(starts[inside], stops[inside], 2 * LARGEST_STEP_MM)
    ridge = ridge[inside][parent]
    off = (starts + stops) / 2 - samples.points[ridge[:, 0]]
    near = np.hypot(*off.T) <= reach_mm + 3 * LARGEST_STEP_MM
    ridge, starts, stops = ridge[near], starts[near], stops[near]
    starts, stops = _centre(samples, ridge, starts), _centre(samples, ridge, stops)

    # Where the diagram is coarser than a section is thin, cells reach through it to the far side.
    middles = (starts + stops) / 2
    feet_a, feet_b = samples.feet(ridge[:, 0], middles), samples.feet(ridge[:, 1], middles)
    away = np.minimum(np.hypot(*(feet_a - middles).T), np.hypot(*(feet_b - middles).T))
    free = (away <= reach_mm) & ~_are_blocked(middles, away, tree)
    return _measure(samples, ridge[free], starts[free], stops[free], reach_mm), crossings


def _are_blocked(x: NDArray[np.float64], away: NDArray[np.float64], tree: Any) -> NDArray[np.bool_]:
    """Return where some section is closer to a point than those it was found between."""
    import shapely

    closer = np.maximum(away * 0.999 - TIE_MM, 0)
    places, _ = tree.query(shapely.points(x), predicate="dwithin", distance=closer)
    blocked = np.zeros(len(x), dtype=np.bool_)
    blocked[places] = True
    return blocked


def _centre(samples: Samples, ridge: NDArray[np.intp], x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Move points to where both outlines are equally far, by Newton steps; flares stay."""
    # In a gap far narrower than the points are apart the ridge swings right into the sections,
    # where both outlines lie the same way; back to the middle of the gap with it.
    foot_a, foot_b = samples.feet(ridge[:, 0], x), samples.feet(ridge[:, 1], x)
    narrow = np.hypot(*(foot_a - foot_b).T) <= 2 * LEAST_STEP_MM
    swung = narrow & (np.einsum("ij,ij->i", x - foot_a, x - foot_b) > 0)
    x = np.where(swung[:, None], (foot_a + foot_b) / 2, x)
    for _ in range(2):
        to_a = x - samples.feet(ridge[:, 0], x)
        to_b = x - samples.feet(ridge[:, 1], x)
        far_a, far_b = np.hypot(*to_a.T), np.hypot(*to_b.T)
        slope = _unit(to_a) - _unit(to_b)
        steep = np.einsum("ij,ij->i", slope, slope)
        # Where both feet lie the same way the line is ill defined, and never counts as facing.
        share = np.where(steep > 0.5, (far_a - far_b) / np.maximum(steep, 0.5), 0.0)
        x = x - share[:, None] * slope
    return x


def _unit(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    sizes = np.hypot(*vectors.T)[:, None]
    return vectors / np.where(sizes > 0, sizes, 1.0)


def _settle_crossings(
    samples: Samples,
    ridge: NDArray[np.intp],
    ends: NDArray[np.intp],
    corners: NDArray[np.float64],
    panel: Panel,
    tree: Any,
    reach_mm: float,
) -> NDArray[np.intp]:
    """Move the corners where three or more zones meet to their exact places.

    Changes `corners`; returns the pairs of sections that meet there.
    """
    import shapely

    spot = np.concatenate([ends[:, 0], ends[:, 0], ends[:, 1], ends[:, 1]])
    sample = np.concatenate([ridge[:, 0], ridge[:, 1], ridge[:, 0], ridge[:, 1]])
    table = np.stack([spot, samples.owner[sample], sample], axis=1)
    table = table[np.lexsort(table.T[::-1])]
    other = (np.diff(table[:, :2], axis=0) != 0).any(axis=1)
    table = table[np.append(True, other)[: len(table)]]
    first = np.flatnonzero(np.append(True, np.diff(table[:, 0]) != 0)[: len(table)])
    first = first[np.diff(np.append(first, len(table))) >= 3]
    three = table[first[:, None] + np.arange(3), 2]
    vertex = table[first, 0]

    x = corners[vertex]
    for _ in range(4):
        to = np.stack([x - samples.feet(three[:, k], x) for k in range(3)])
        away = np.hypot(to[..., 0], to[..., 1])
        unit = to / np.where(away > 0, away, 1.0)[..., None]
        slopes = np.stack([unit[0] - unit[1], unit[0] - unit[2]], axis=1)
        rest = np.stack([away[0] - away[1], away[0] - away[2]], axis=1)
        firm = np.abs(np.linalg.det(slopes)) > 0.05
        slopes[~firm] = np.eye(2)
        move = np.where(firm[:, None], np.linalg.solve(slopes, rest[..., None])[..., 0], 0.0)
        x = x - move
    settled = np.hypot(*(x - corners[vertex]).T) <= 2 * LARGEST_STEP_MM
    vertex, x, three = vertex[settled], x[settled], three[settled]
    away = np.hypot(*(x - samples.feet(three[:, 0], x)).T)
    corners[vertex] = x

    size = np.array([panel.width_mm, panel.height_mm])
    on_panel = ((x >= -TIE_MM) & (x <= size + TIE_MM)).all(axis=1)
    near = on_panel & (away <= reach_mm) & ~_are_blocked(x, away, tree)
    where, who = tree.query(shapely.points(x[near]), predicate="dwithin", distance=away[near] + TIE_MM)
    order = np.lexsort((who, where))
    where, who = where[order], who[order]
    pairs = [np.empty((0, 2), dtype=np.intp)]
    for shift in range(1, 8):
        same = where[shift:] == where[:-shift]
        pairs.append(np.stack([who[:-shift][same], who[shift:][same]], axis=1))
    return np.concatenate(pairs)


def _clip_to_panel(
    starts: NDArray[np.float64], stops: NDArray[np.float64], panel: Panel
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """Cut segments off at the panel's edges (Liang and Barsky, ACM TOG 3, 1984)."""
    run = stops - starts
    low, high = np.zeros(len(run)), np.ones(len(run))
    inside = np.ones(len(run), dtype=np.bool_)
    for axis, size in enumerate((panel.width_mm, panel.height_mm)):
        along, at = run[:, axis], starts[:, axis]
        moving = np.abs(along) > 1e-12
        safe = np.where(moving, along, 1.0)
        one, two = -at / safe, (size - at) / safe
        low = np.where(moving, np.maximum(low, np.minimum(one, two)), low)
        high = np.where(moving, np.minimum(high, np.maximum(one, two)), high)
        inside &= moving | ((at >= 0) & (at <= size))
    return starts + run * low[:, None], starts + run * high[:, None], inside & (high > low)


def _measure(
    samples: Samples,
    ridge: NDArray[np.intp],
    starts: NDArray[np.float64],
    stops: NDArray[np.float64],
    reach_mm: float,
) -> Pieces:
    """Cut pieces to where the two outlines face each other, and measure what remains."""
    ridge, starts, stops = _part_at_closest(samples, ridge, starts, stops)
    begin, end = _cut_to_facing(samples, ridge, starts, stops, reach_mm)
    middle = (begin + end) / 2
    apart = samples.feet(ridge[:, 1], middle) - samples.feet(ridge[:, 0], middle)
    return Pieces(
        pairs=np.sort(samples.owner[ridge], axis=1),
        ends=np.stack([begin, end], axis=1),
        zone_mm=np.hypot(*(stops - starts).T),
        border_mm=np.hypot(*(end - begin).T),
        gap_mm=np.hypot(*apart.T),
    )


def _part_at_closest(
    samples: Samples, ridge: NDArray[np.intp], starts: NDArray[np.float64], stops: NDArray[np.float64]
) -> tuple[NDArray[np.intp], NDArray[np.float64], NDArray[np.float64]]:
    """Part the pieces that pass between two corners where these are closest.

    Only there may they face each other, and not at either end of the piece.
    """
    middle = (starts + stops) / 2
    feet = [samples.feet(ridge[:, side], middle) for side in (0, 1)]
    run = stops - starts
    size = np.einsum("ij,ij->i", run, run)
    share = np.einsum("ij,ij->i", (feet[0] + feet[1]) / 2 - starts, run) / np.where(size > 0, size, 1.0)
    at_corners = (share > 0) & (share < 1)
    for side, foot in enumerate(feet):
        at_corners &= np.hypot(*(foot - samples.points[ridge[:, side]]).T) <= 1e-9
    closest = (starts + run * share[:, None])[at_corners]
    ridge = np.concatenate([ridge, ridge[at_corners]])
    starts, stops = np.concatenate([starts, closest]), np.concatenate([stops, stops[at_corners]])
    stops[: len(at_corners)][at_corners] = closest
    return ridge, starts, stops


def _cut_to_facing(
    samples: Samples,
    ridge: NDArray[np.intp],
    starts: NDArray[np.float64],
    stops: NDArray[np.float64],
    reach_mm: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the facing stretch of each piece, from one point to the same where nothing faces."""
    starts_facing = _are_facing(samples, ridge, starts, reach_mm)
    stops_facing = _are_facing(samples, ridge, stops, reach_mm)
    cut = np.flatnonzero(starts_facing != stops_facing)
    inner = np.where(starts_facing[:, None], starts, stops)[cut]
    outer = np.where(starts_facing[:, None], stops, starts)[cut]
    for _ in range(HALVINGS):
        middle = _centre(samples, ridge[cut], (inner + outer) / 2)
        facing = _are_facing(samples, ridge[cut], middle, reach_mm)[:, None]
        inner, outer = np.where(facing, middle, inner), np.where(facing, outer, middle)
    begin, end = starts.copy(), np.where((starts_facing | stops_facing)[:, None], stops, starts)
    begin[cut[~starts_facing[cut]]] = inner[~starts_facing[cut]]
    end[cut[~stops_facing[cut]]] = inner[~stops_facing[cut]]
    return begin, end


def _are_facing(
    samples: Samples, ridge: NDArray[np.intp], x: NDArray[np.float64], reach_mm: float
) -> NDArray[np.bool_]:
    foot_a, foot_b = samples.feet(ridge[:, 0], x), samples.feet(ridge[:, 1], x)
    within = np.hypot(*(foot_b - foot_a).T) <= reach_mm + 1e-9
    facing: NDArray[np.bool_] = within & are_opposite(foot_a - x, foot_b - x)
    return facing
