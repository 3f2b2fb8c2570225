"""Panels cut at random, for what must hold on any panel: Voronoi cells with joints between them."""

import numpy as np
import shapely

from palette.panel import Panel, Section
from palette.scheme import Scheme

_WORDS = (
    "ledge",
    "cap",
    "sill",
    "buttress",
    "keystone",
    "shoulder of the arch",
    "jamb",
    "step",
    "long lintel stone",
)


def random_panel(seed, *, most=60):
    """Return a panel of 3 to `most` sections, with names short and long."""
    rng = np.random.default_rng(seed)
    width, height = rng.uniform(800, 4000, 2)
    points = shapely.MultiPoint(rng.uniform(0, 1, (int(rng.integers(3, most)), 2)) * [width, height])
    face = shapely.box(0, 0, width, height)
    joint = float(rng.uniform(0, 12))
    shapes = [
        cell.intersection(face).buffer(-joint)
        for cell in shapely.voronoi_polygons(points, extend_to=face).geoms
    ]
    shapes = [shape for shape in shapes if shape.geom_type == "Polygon" and shape.area > 100]
    names = [f"{_WORDS[int(rng.integers(len(_WORDS)))]} {k + 1}" for k in range(len(shapes))]
    sections = tuple(Section(id=name, outline=shape) for name, shape in zip(names, shapes, strict=True))
    return Panel(name=f"random {seed}", width_mm=width, height_mm=height, sections=sections)


def random_scheme(panel, paints, seed):
    """Return any paints for a panel, not a good scheme."""
    rng = np.random.default_rng(seed)
    return Scheme(paint_of={section: paints[int(rng.integers(len(paints)))].id for section in panel.ids})
