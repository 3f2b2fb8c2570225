"""Synthetic ground for tests and benchmarks: surveys made of invented walls and paints."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from palette.adjacency import Adjacency, Contact
from palette.appearance import Appearance
from palette.colour import D65_WHITE, xyz_of_lab
from palette.paint import Paint
from palette.panel import Member, Panel, Section
from palette.survey import Survey

NO_LINE = shapely.MultiLineString()

# Invented: strong colours by day that glow, and three that hardly do.
EIGHT_LABS = np.array(
    [
        [[62, 60, 50], [70, 62, 60]],
        [[75, 35, 75], [82, 30, 80]],
        [[90, -15, 90], [95, -25, 85]],
        [[72, -65, 60], [86, -80, 70]],
        [[45, 15, -60], [30, 40, -80]],
        [[58, 75, -20], [66, 80, -30]],
        [[35, 45, -45], [20, 30, -50]],
        [[92, 0, 3], [55, 25, -60]],
    ],
    float,
)


def make_survey(
    boxes: Sequence[shapely.Polygon],
    contacts: Iterable[tuple[int, int, float]],
    labs: np.ndarray,
    *,
    corners: Iterable[tuple[int, int]] = (),
    stock_l: Sequence[float | None] | None = None,
    depths: Sequence[float | None] | None = None,
    hatch: shapely.Polygon | None = None,
    members: Sequence[tuple[str, float, float, Sequence[int]]] = (),
    name: str = "test wall",
) -> Survey:
    """Return a survey from outlines, borders and Lab values of shape (P, L, 3)."""
    ids = tuple(f"s{k:03d}" for k in range(len(boxes)))
    right = max((box.bounds[2] for box in boxes), default=1.0)
    bottom = max((box.bounds[3] for box in boxes), default=1.0)
    depth_of = depths or [None] * len(boxes)
    sections = tuple(
        Section(id=section, outline=box, depth=depth)
        for section, box, depth in zip(ids, boxes, depth_of, strict=True)
    )
    panel = Panel(
        name=name,
        width_mm=right,
        height_mm=bottom,
        sections=sections,
        hatch=hatch,
        members=tuple(
            Member(name=member, left_mm=left, width_mm=width, sections=tuple(ids[k] for k in own))
            for member, left, width, own in members
        ),
    )
    found = [
        Contact(
            a=ids[min(a, b)],
            b=ids[max(a, b)],
            border_mm=float(border),
            gap_mm=6.0,
            corner=border == 0,
            mid_line=NO_LINE,
        )
        for a, b, border in [*contacts, *((a, b, 0.0) for a, b in corners)]
    ]
    found.sort(key=lambda contact: (contact.a, contact.b))
    adjacency = Adjacency(sections=ids, contacts=tuple(found), reach_mm=160.0, min_border_mm=25.0)
    labs = np.asarray(labs, float)
    lights = ("daylight", "blacklight")[: labs.shape[1]]
    stocks = stock_l or [None] * len(labs)
    paints = tuple(Paint(id=f"paint-{k}", stock_l=stock) for k, stock in enumerate(stocks))
    appearance = Appearance(
        paints=tuple(paint.id for paint in paints),
        lights=lights,
        xyz=xyz_of_lab(labs),
        white_xyz=np.tile(D65_WHITE, (len(lights), 1)),
        lab=labs,
    )
    return Survey(panel=panel, adjacency=adjacency, paints=paints, appearance=appearance)


def graph_survey(edges: Iterable[tuple[int, int]], sections: int, labs: np.ndarray) -> Survey:
    """Return a survey whose neighbours are the edges of any graph; the outlines are a row of boxes."""
    boxes = [shapely.box(100 * k, 0, 100 * k + 90, 90) for k in range(sections)]
    return make_survey(boxes, [(a, b, 50.0) for a, b in edges], labs)


def distinct_labs(paints: int) -> np.ndarray:
    """Return paints that all look different from each other, shape (P, 1, 3): a line of greys."""
    greys = np.zeros((paints, 1, 3))
    greys[:, 0, 0] = np.linspace(5, 95, paints) if paints > 1 else 50
    return greys


def random_survey(rng: np.random.Generator, *, sections: int = 7, paints: int = 4) -> Survey:
    """Return a small wall of boxes at random places with random borders, corners, stock and depths."""
    n = int(rng.integers(1, sections + 1))
    p = int(rng.integers(1, paints + 1))
    spots = rng.integers(0, 1000, (n, 2))
    sizes = rng.integers(60, 300, (n, 2))
    boxes = [
        shapely.box(x, y, x + w, y + h)
        for (x, y), (w, h) in zip(spots.tolist(), sizes.tolist(), strict=True)
    ]
    contacts, corners = [], []
    for a in range(n):
        for b in range(a + 1, n):
            draw = rng.random()
            if draw < 0.45:
                contacts.append((a, b, float(rng.integers(25, 400))))
            elif draw < 0.55:
                corners.append((a, b))
    labs = np.stack(
        [rng.uniform(10, 98, (p, 2)), rng.uniform(-80, 80, (p, 2)), rng.uniform(-80, 80, (p, 2))], axis=-1
    )
    stock = [None if rng.random() < 0.5 else float(rng.uniform(0.0, 0.06)) for _ in range(p)]
    depths = [None if rng.random() < 0.5 else float(rng.integers(0, 4)) for _ in range(n)]
    half = n // 2
    members = [("west", 0.0, 500.0, range(half)), ("east", 500.0, 500.0, range(half, n))] if half else []
    return make_survey(
        boxes,
        contacts,
        labs,
        corners=corners,
        stock_l=stock,
        depths=depths,
        hatch=boxes[int(rng.integers(n))].buffer(3.0, join_style="mitre"),
        members=members,
    )


def slab_wall(sections: int, *, seed: int, labs: np.ndarray = EIGHT_LABS, **given: object) -> Survey:
    """Return courses of stone slabs of random width and height, with true borders."""
    rng = np.random.default_rng(seed)
    courses = max(1, round((sections / 1.6) ** 0.5))
    widths = [sections // courses + (k < sections % courses) for k in range(courses)]
    span = 300.0 * max(widths)
    boxes, rows, top = [], [], 0.0
    for many in widths:
        height = float(rng.uniform(180, 320))
        cuts = np.concatenate([[0.0], np.cumsum(rng.uniform(0.6, 1.6, many))])
        cuts *= span / cuts[-1]
        rows.append((len(boxes), cuts))
        boxes += [
            shapely.box(left + 3, top + 3, right - 3, top + height - 3)
            for left, right in itertools.pairwise(cuts)
        ]
        top += height
    contacts = []
    for k, (first, cuts) in enumerate(rows):
        tall = boxes[first].bounds[3] - boxes[first].bounds[1]
        contacts += [(first + i, first + i + 1, tall) for i in range(len(cuts) - 2)]
        if k + 1 < len(rows):
            below, under = rows[k + 1]
            for i in range(len(cuts) - 1):
                for j in range(len(under) - 1):
                    shared = min(cuts[i + 1], under[j + 1]) - max(cuts[i], under[j])
                    if shared >= 25.0:
                        contacts.append((first + i, below + j, float(shared)))
    return make_survey(boxes, contacts, labs, name=f"slabs {sections}", **given)  # type: ignore[arg-type]


def voronoi_wall(sections: int, *, seed: int, labs: np.ndarray = EIGHT_LABS, **given: object) -> Survey:
    """Return a wall of rubble: Voronoi cells of random points, with true borders."""
    rng = np.random.default_rng(seed)
    width, height = 1.6 * 300 * sections**0.5, 300 * sections**0.5 / 1.6
    points = shapely.MultiPoint(rng.uniform((0, 0), (width, height), (sections, 2)))
    face = shapely.box(0, 0, width, height)
    cells = [cell.intersection(face) for cell in shapely.voronoi_polygons(points, extend_to=face).geoms]
    cells.sort(key=lambda cell: (cell.centroid.y, cell.centroid.x))
    tree = shapely.STRtree(cells)
    first, second = tree.query(cells, predicate="intersects")
    contacts = []
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        if a < b:
            shared = cells[a].intersection(cells[b]).length
            if shared >= 25.0:
                contacts.append((a, b, float(shared)))
    return make_survey(cells, contacts, labs, name=f"rubble {sections}", **given)  # type: ignore[arg-type]
