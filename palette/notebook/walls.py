"""Panels and their neighbours."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.adjacency import Adjacency, Contact
from palette.notebook.shown import Shown
from palette.panel import Panel
from palette.preview import Preview
from palette.preview.canvas import Canvas, Colour
from palette.preview.names import place_names
from palette.preview.neighbour_map import draw_neighbours
from palette.preview.sheet import INK, PAPER, QUIET, RULE, STONE, lay_sheet
from palette.survey import Survey

if TYPE_CHECKING:
    from shapely import Point

__all__ = ["show_adjacency", "show_panel", "show_survey"]

_WIDTH_PX = 1000
_BORDER: Colour = (22, 72, 128)
_TIE: Colour = (176, 150, 120)


def show_panel(panel: Panel) -> Shown:
    """Show a panel as its drawing, names in the sections, the hatch's outline dashed."""
    words = (
        f'Panel "{panel.name}", {panel.width_mm:.0f} mm × {panel.height_mm:.0f} mm, '
        f"{_counted(len(panel.sections), 'section')}: {', '.join(panel.ids)}"
    )
    return Shown(words=words, picture=lambda: _draw_panel(panel))


def show_survey(survey: Survey) -> Shown:
    """Show what was measured as the map of the borders."""
    borders = _counted(len(survey.adjacency.neighbours), "border")
    words = f'Survey of "{survey.panel.name}": {borders}, {_counted(len(survey.paints), "paint")}'
    return Shown(
        words=words, picture=lambda: draw_neighbours(survey.panel, survey.adjacency, width_px=_WIDTH_PX)
    )


def show_adjacency(adjacency: Adjacency) -> Shown:
    """Show who touches whom: borders as lines with their length in cm, neighbours tied to each other."""
    words = (
        f"{_counted(len(adjacency.neighbours), 'border')} between "
        f"{_counted(len(adjacency.sections), 'section')}, {_counted(len(adjacency.corners), 'corner')}"
    )
    drawable = any(not contact.mid_line.is_empty for contact in adjacency.neighbours)
    return Shown(words=words, picture=(lambda: _draw_graph(adjacency)) if drawable else None)


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _draw_panel(panel: Panel) -> Preview:
    canvas, legend_y = lay_sheet(panel, legend=0.045, width_px=_WIDTH_PX)
    for feature in panel.features:
        canvas.fill(feature.outline, RULE if feature.role == "trim" else QUIET)
    thin = panel.width_mm / 700
    for section in panel.sections:
        canvas.fill(section.outline, STONE)
        canvas.line(section.outline.exterior, QUIET, width_mm=thin)
    place_names(canvas, panel, {section.id: STONE for section in panel.sections})
    if panel.hatch is not None:
        canvas.line(panel.hatch.exterior, INK, width_mm=1.6 * thin, dash_mm=panel.width_mm / 110)
    size = 0.016 * panel.width_mm
    told = f"{panel.name}: {panel.width_mm:.0f} mm × {panel.height_mm:.0f} mm"
    told += ", hatch dashed" if panel.hatch is not None else ""
    canvas.write(told, (0.0, legend_y + 1.2 * size), INK, height_mm=size, anchor="lm")
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light="drawing")


def _draw_graph(adjacency: Adjacency) -> Preview:
    """Return the graph: a section stands amid its own borders, as its outline is not known here."""
    import shapely

    borders = [contact for contact in adjacency.neighbours if not contact.mid_line.is_empty]
    left, top, right, bottom = shapely.total_bounds(np.array([c.mid_line for c in borders], object))
    across, down = max(right - left, bottom - top, 1.0), max(bottom - top, 1.0)
    margin = 0.08 * across
    canvas = Canvas(
        right - left + 2 * margin,
        down + 2 * margin,
        width_px=_WIDTH_PX,
        background=PAPER,
        origin_mm=(left - margin, top - margin),
    )
    thin, size = across / 300, across / 62
    centre = {name: _amid(name, borders) for name in adjacency.sections}
    for contact in borders:
        middle = _middle(contact)
        ends = [centre[contact.a], middle, centre[contact.b]]
        tie = shapely.LineString([point for point in ends if point is not None])
        canvas.line(tie, _TIE, width_mm=0.6 * thin)
    for contact in borders:
        canvas.line(contact.mid_line, _BORDER, width_mm=1.6 * thin)
    for contact in borders:
        at = _middle(contact)
        canvas.fill(at.buffer(0.75 * size), PAPER)
        canvas.write(f"{contact.border_mm / 10:.0f}", (at.x, at.y), _BORDER, height_mm=0.9 * size)
    for name, point in centre.items():
        if point is not None:
            canvas.write(name, (point.x, point.y), INK, height_mm=size, halo=PAPER)
    told = "borders in blue, their length in cm"
    at = (left, bottom + 0.55 * margin)
    canvas.write(told, at, QUIET, height_mm=0.8 * size, anchor="lm")
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light="borders")


def _middle(contact: Contact) -> Point:
    import shapely

    longest = max(shapely.get_parts(contact.mid_line), key=lambda part: part.length)
    return longest.interpolate(0.5, normalized=True)


def _amid(name: str, borders: list[Contact]) -> Point | None:
    """Return the middle of the box round a section's borders, None where it has none."""
    import shapely

    own = [contact.mid_line for contact in borders if name in (contact.a, contact.b)]
    return shapely.box(*shapely.total_bounds(np.array(own, object))).centroid if own else None
