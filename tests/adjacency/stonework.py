"""Invented walls for the tests of neighbours, and their pictures in labels."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon, affinity, box

from palette.adjacency import Adjacency
from palette.panel import LabelImage, Panel, Section


def make_panel(outlines: Sequence[Polygon], width_mm: float, height_mm: float) -> Panel:
    """Return a panel of sections named s0, s1 ... in the order given."""
    return Panel(
        name="wall",
        width_mm=width_mm,
        height_mm=height_mm,
        sections=tuple(Section(id=f"s{i}", outline=outline) for i, outline in enumerate(outlines)),
    )


def draw_labels(panel: Panel, mm_per_px: float) -> Panel:
    """Return the same panel with its label image: a pixel belongs where its centre lies."""
    shape = (round(panel.height_mm / mm_per_px), round(panel.width_mm / mm_per_px))
    labels = np.zeros(shape, np.int32)
    rows, columns = np.mgrid[: shape[0], : shape[1]]
    for number, section in enumerate(panel.sections, 1):
        left, top, right, bottom = (int(side / mm_per_px) for side in section.outline.bounds)
        part = (slice(max(top - 1, 0), bottom + 2), slice(max(left - 1, 0), right + 2))
        inside = shapely.contains_xy(
            section.outline, (columns[part] + 0.5) * mm_per_px, (rows[part] + 0.5) * mm_per_px
        )
        labels[part][inside] = number
    return Panel(
        name=panel.name,
        width_mm=panel.width_mm,
        height_mm=panel.height_mm,
        sections=panel.sections,
        label_image=LabelImage(labels=labels, mm_per_px=mm_per_px, names=panel.ids),
    )


def chart_grid(gap_mm: float, patch_mm: float = 200.0, edge_mm: float = 50.0) -> Panel:
    """Return 4 rows of 6 square patches."""
    pitch = patch_mm + gap_mm
    patches = [
        box(x, y, x + patch_mm, y + patch_mm)
        for y in edge_mm + pitch * np.arange(4)
        for x in edge_mm + pitch * np.arange(6)
    ]
    return make_panel(patches, 6 * pitch - gap_mm + 2 * edge_mm, 4 * pitch - gap_mm + 2 * edge_mm)


def brick_wall(
    columns: int, rows: int, *, gap_mm: float, width_mm: float = 300.0, height_mm: float = 200.0
) -> Panel:
    """Return courses of bricks, each shifted by half a brick against the one before."""
    whole = columns * (width_mm + gap_mm) - gap_mm
    bricks = []
    for row in range(rows):
        top = row * (height_mm + gap_mm)
        start = -(width_mm + gap_mm) / 2 if row % 2 else 0.0
        for left in start + (width_mm + gap_mm) * np.arange(columns + 1):
            if min(left + width_mm, whole) - max(left, 0) > 1:
                bricks.append(box(max(left, 0), top, min(left + width_mm, whole), top + height_mm))
    return make_panel(bricks, whole, rows * (height_mm + gap_mm) - gap_mm)


def stone_wall(
    count: int, seed: int, *, gap_mm: float, width_mm: float = 2400.0, height_mm: float = 1200.0
) -> Panel:
    """Return stones that fill a wall: relaxed Voronoi cells, shrunk by half the gap."""
    random = np.random.default_rng(seed)
    face = box(0, 0, width_mm, height_mm)
    seeds = random.uniform((0, 0), (width_mm, height_mm), (count, 2))
    for _ in range(2):
        cells = shapely.get_parts(shapely.voronoi_polygons(shapely.multipoints(seeds), extend_to=face))
        cells = shapely.intersection(cells, face)
        seeds = shapely.get_coordinates(shapely.centroid(cells))
    if gap_mm > 0:
        cells = shapely.buffer(cells, -gap_mm / 2, join_style="mitre")
    return make_panel(list(cells), width_mm, height_mm)


def turn_panel(panel: Panel, degrees: float) -> Panel:
    """Return the wall turned as a whole and hung in a panel that holds it."""
    turned = affinity.rotate(
        shapely.MultiPolygon([section.outline for section in panel.sections]), degrees, origin=(0, 0)
    )
    left, top, right, bottom = turned.bounds
    moved = affinity.translate(turned, 30 - left, 30 - top)
    return make_panel(list(moved.geoms), right - left + 60, bottom - top + 60)


def side_pairs(adjacency: Adjacency) -> set[tuple[str, str]]:
    """Return the neighbours as pairs of names."""
    return {(contact.a, contact.b) for contact in adjacency.neighbours}


def corner_pairs(adjacency: Adjacency) -> set[tuple[str, str]]:
    """Return the corner contacts as pairs of names."""
    return {(contact.a, contact.b) for contact in adjacency.corners}
