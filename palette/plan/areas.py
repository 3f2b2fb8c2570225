"""Areas from the true outlines: what there is of every surface to paint."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from palette.panel import Panel
from palette.plan.settings import Surface

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["Areas", "gap_shape", "line_length_mm", "measure_areas", "sections_that_touch"]

_M2 = 1e-6  # mm² to m²

TOUCHING_MM = 5.0
"""Two sections this near are cut in against each other: a brush's edge is no finer."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Areas:
    """Surfaces of one panel, m².

    The face is the sections, the trim (what of it covers no section), the gaps and the voids,
    exactly. `trim_face` counts trim boards whole, since they are painted apart and laid on top;
    `lines` is what black lines over touching borders cover.
    """

    sections: Mapping[str, float]
    trim_face: float
    trim_beside_sections: float
    trim_edges: float
    gaps: float
    voids: float
    lines: float
    line_m: float
    face: float
    panel_edges: float
    back: float

    @property
    def painted_face(self) -> float:
        """The face without its voids."""
        return self.face - self.voids


def measure_areas(panel: Panel, surface: Surface) -> Areas:
    """Return the surfaces of a panel.

    Edges are perimeter times thickness: the panel's own with the rims of its voids, and every
    trim board's.
    """
    import shapely

    face = shapely.box(0, 0, panel.width_mm, panel.height_mm)
    sections = _union(section.outline for section in panel.sections)
    boards = [feature.outline for feature in panel.features if feature.role == "trim"]
    trim = _union(boards)
    voids = _union(f.outline for f in panel.features if f.role == "void").intersection(face)
    gaps = gap_shape(panel)
    # The boundary of nothing is no geometry at all, hence the question.
    rims = 0.0 if voids.is_empty else voids.boundary.difference(face.boundary).length
    line_mm = line_length_mm(panel)
    return Areas(
        sections=MappingProxyType({s.id: s.outline.area * _M2 for s in panel.sections}),
        trim_face=sum(board.area for board in boards) * _M2,
        trim_beside_sections=trim.intersection(face).difference(sections).difference(voids).area * _M2,
        trim_edges=sum(board.exterior.length for board in boards) * surface.trim_thickness_mm * _M2,
        gaps=gaps.area * _M2,
        voids=voids.difference(sections).area * _M2,
        lines=line_mm * surface.line_mm * _M2,
        line_m=line_mm / 1000 if surface.line_mm else 0.0,
        face=face.area * _M2,
        panel_edges=(2 * (panel.width_mm + panel.height_mm) + rims) * surface.thickness_mm * _M2,
        back=(face.area - voids.area) * _M2,
    )


def gap_shape(panel: Panel) -> Geometry:
    """Return what of the face is neither section, trim nor void: the black joints."""
    import shapely

    face = shapely.box(0, 0, panel.width_mm, panel.height_mm)
    taken = [section.outline for section in panel.sections]
    taken += [feature.outline for feature in panel.features]
    return face.difference(_union(taken))


def sections_that_touch(panel: Panel) -> tuple[tuple[str, str], ...]:
    """Return the pairs of sections whose wet edges would meet, in the panel's order."""
    import numpy as np
    import shapely

    outlines = np.array([section.outline for section in panel.sections], dtype=object)
    tree = shapely.STRtree(outlines)
    left, right = tree.query(outlines, predicate="dwithin", distance=TOUCHING_MM)
    pairs = sorted((int(a), int(b)) for a, b in zip(left, right, strict=True) if a < b)
    return tuple((panel.sections[a].id, panel.sections[b].id) for a, b in pairs)


def line_length_mm(panel: Panel) -> float:
    """Return how long the borders of sections are that lie directly on one another."""
    sections = {section.id: section for section in panel.sections}
    total = 0.0
    for a, b in sections_that_touch(panel):
        shared = sections[a].outline.boundary.intersection(sections[b].outline.boundary)
        total += float(shared.length)
    return total


def _union(outlines: object) -> Geometry:
    import shapely

    return shapely.union_all(list(outlines))  # type: ignore[call-overload]
