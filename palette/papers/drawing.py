"""A panel on a page: sections with their fills and patterns, joints, trim, hatch, grid and rulers."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

import numpy as np

from palette.panel import Panel
from palette.papers.looks import CanLook
from palette.papers.marks import Area, Box, Lines, Mark, Words, area_of, fit_words, rectangle, text_width
from palette.papers.patterns import pattern_marks
from palette.papers.sheet import LEAST_PT
from palette.papers.views import View
from palette.plan import PaintedPanel
from palette.plan.settings import Surface
from palette.units import INCH_MM

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = [
    "GRID_MM",
    "JOINT",
    "TRIM",
    "neighbour_words",
    "scale_bar",
    "draw_panel",
    "outlines_on_page",
    "ruler_marks",
]

GRID_MM = {"25 cm": 250.0, "1 ft": 12 * INCH_MM}
TRIM = "#e9e2d4"
JOINT = "#b4b4b4"
"""Black joints are printed grey: a black one would drink the cartridge and hide the grid."""

_BARS_MM = {
    "25 cm": ((1000.0, "1 m"), (500.0, "50 cm"), (250.0, "25 cm"), (100.0, "10 cm")),
    "1 ft": ((36 * INCH_MM, "3 ft"), (12 * INCH_MM, "1 ft"), (6 * INCH_MM, "6 in")),
}

LEFT_RULER_MM = 11.0
BOTTOM_RULER_MM = 7.0
TOP_LINE_MM = 6.0
LEAST_NAME_MM = 12.0
"""A name cut shorter than this tells nothing."""


def outlines_on_page(panel: Panel, view: View) -> dict[str, Geometry]:
    """Return the outline of every section inside the view's window, on the page."""
    import shapely

    window = shapely.box(view.window.left, view.window.top, view.window.right, view.window.bottom)
    found = {}
    for section in panel.sections:
        seen = section.outline.intersection(window)
        if seen.area > 0:
            found[section.id] = shapely.transform(seen, view.to_page)
    return found


def draw_panel(
    each: PaintedPanel, view: View, looks: Mapping[str, CanLook], *, paints: Collection[str],
    surface: Surface, grid: str,
) -> list[Mark]:  # fmt: skip
    """Return the panel's marks without words; sections whose paint is not in `paints` stay white."""
    import shapely

    panel = each.panel
    window = shapely.box(view.window.left, view.window.top, view.window.right, view.window.bottom)

    def on_page(shape: Geometry) -> Geometry:
        return shapely.transform(shape.intersection(window), view.to_page)

    face = shapely.box(0, 0, panel.width_mm, panel.height_mm)
    marks: list[Mark] = [area_of(on_page(face), fill=JOINT, width_pt=1.2)]
    for feature in panel.features:
        shape = on_page(feature.outline)
        if shape.is_empty:
            continue
        if feature.role == "trim":
            look = looks.get(surface.trim_paint)
            shown = look is not None and look.name in paints
            marks.append(area_of(shape, fill=look.daylight if look and shown else TRIM, width_pt=0.6))
            if look and shown:
                marks += pattern_marks(shape, look.number, ink=look.ink)
        else:
            marks.append(area_of(shape, fill="#ffffff", width_pt=1.0))
            marks.append(_cross_out(shape))
    for section, outline in outlines_on_page(panel, view).items():
        look = looks[each.scheme.paint_of[section]]
        if look.name in paints:
            marks.append(area_of(outline, fill=look.daylight, width_pt=0.9))
            marks += pattern_marks(outline, look.number, ink=look.ink)
            marks.append(area_of(outline, fill=None, width_pt=0.9))
        else:
            marks.append(area_of(outline, fill="#ffffff", stroke="#777777", width_pt=0.6))
    marks.append(_grid(view, panel, GRID_MM[grid]))
    for x in surface.seams_x_mm:
        if view.window.left < x < view.window.right:
            line = view.to_page(np.array([[x, view.window.top], [x, view.window.bottom]]))
            marks.append(Lines(paths=(line,), width_pt=1.1, dash_pt=(8, 2, 1, 2)))
    if panel.hatch is not None:
        shape = on_page(panel.hatch)
        # A white line under the dashes keeps them visible on a dark fill.
        marks.append(area_of(shape, fill=None, stroke="#ffffff", width_pt=3.0))
        marks.append(area_of(shape, fill=None, width_pt=1.8, dash_pt=(5, 3)))
    return marks


def ruler_marks(panel: Panel, view: View, grid: str) -> list[Mark]:
    """Return rulers along the bottom and the left, counted from the panel's bottom left corner."""
    step = GRID_MM[grid]
    frame = view.frame
    marks: list[Mark] = []
    # Figures are left out where they would run into each other.
    every = int(np.ceil(9.5 / (step / view.scale)))
    for number in range(int(panel.width_mm / step) + 1):
        x = float(view.to_page(np.array([[number * step, 0.0]]))[0, 0])
        if frame.left - 1e-6 <= x <= frame.right + 1e-6:
            marks.append(
                Lines(paths=(np.array([[x, frame.bottom], [x, frame.bottom + 1.5]]),), width_pt=0.6)
            )
            if number % every == 0:
                figure = Words(x=x, y=frame.bottom + 5.0, text=_figure(number, grid), anchor="middle")
                marks.append(figure)
    tall = int(np.ceil(5.0 / (step / view.scale)))
    for number in range(int(panel.height_mm / step) + 1):
        y = float(view.to_page(np.array([[0.0, panel.height_mm - number * step]]))[0, 1])
        if frame.top - 1e-6 <= y <= frame.bottom + 1e-6:
            marks.append(Lines(paths=(np.array([[frame.left - 1.5, y], [frame.left, y]]),), width_pt=0.6))
            if number % tall == 0:
                base = y + LEAST_PT * 0.13
                marks.append(Words(x=frame.left - 2.2, y=base, text=_figure(number, grid), anchor="end"))
    return marks


def neighbour_words(each: PaintedPanel, frame: Box) -> list[Mark]:
    """Return the line above the drawing: which way is up, and what stands beside it.

    Above a narrow drawing the middle says less first; then names are cut, or left out.
    """
    y, middle = frame.top - 2.0, (frame.left + frame.right) / 2
    left, right = f"◀ {each.left}" if each.left else "", f"{each.right} ▶" if each.right else ""
    longest = max(text_width(left, LEAST_PT), text_width(right, LEAST_PT))
    ups = ("▲ top, seen from the front", "▲ top", "▲")
    rooms = {up: (frame.width - text_width(up, LEAST_PT)) / 2 - 2.5 for up in ups}
    up = next((up for up in ups if rooms[up] >= longest), ups[-1])
    marks: list[Mark] = [Words(x=middle, y=y, text=up, anchor="middle")]
    if rooms[up] >= min(longest, LEAST_NAME_MM):
        for text, x, anchor in ((left, frame.left, "start"), (right, frame.right, "end")):
            if text:
                shown, size = fit_words(text, rooms[up], LEAST_PT)
                marks.append(Words(x=x, y=y, text=shown, size_pt=size, anchor=anchor))  # type: ignore[arg-type]
    return marks


def scale_bar(left: float, top: float, scale: float, grid: str) -> list[Mark]:
    """Return a bar of 1 m (or 3 ft), or a round part of it, with its length in words."""
    lengths = _BARS_MM[grid]
    length, text = next((pair for pair in lengths if pair[0] / scale <= 60), lengths[-1])
    width = length / scale
    half = width / 2
    return [
        Area(rings=(rectangle(left, top, half, 1.8),), fill="#000000", width_pt=0.6),
        Area(rings=(rectangle(left + half, top, half, 1.8),), fill="#ffffff", width_pt=0.6),
        Words(x=left, y=top + 5.8, text=f"{text}, 1 : {scale:g}"),
    ]


def _figure(number: int, grid: str) -> str:
    return f"{number * 25}" if grid == "25 cm" else f"{number}'"


def _grid(view: View, panel: Panel, step: float) -> Lines:
    frame = view.frame
    paths = []
    for number in range(1, int(panel.width_mm / step) + 1):
        x = float(view.to_page(np.array([[number * step, 0.0]]))[0, 0])
        if frame.left < x < frame.right:
            paths.append(np.array([[x, frame.top], [x, frame.bottom]]))
    for number in range(1, int(panel.height_mm / step) + 1):
        y = float(view.to_page(np.array([[0.0, panel.height_mm - number * step]]))[0, 1])
        if frame.top < y < frame.bottom:
            paths.append(np.array([[frame.left, y], [frame.right, y]]))
    return Lines(paths=tuple(paths), stroke="#555555", width_pt=0.35, dash_pt=(1, 2))


def _cross_out(shape: Geometry) -> Lines:
    left, top, right, bottom = shape.bounds
    return Lines(
        paths=(np.array([[left, top], [right, bottom]]), np.array([[left, bottom], [right, top]])),
        width_pt=0.7,
    )
