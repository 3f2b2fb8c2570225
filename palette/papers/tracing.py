"""Full-size tracing pages: the panel's outlines cut into sheets that are trimmed and joined.

Each sheet shows a window of the panel at 1 : 1 with 10 mm of the next one on its right and
below. Trim along the dashed line on the left and the top; lay it on the neighbour's solid line;
the crosses at the corners must meet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from palette.papers.drawing import outlines_on_page
from palette.papers.labelling import label_inside
from palette.papers.looks import CanLook
from palette.papers.marks import (
    Box,
    Lines,
    Mark,
    Page,
    Words,
    fit_words,
    lines_of,
)
from palette.papers.sheet import sheet_of
from palette.papers.tiling import OVERLAP_MM, Tiling, sheet_name, tile_panel
from palette.papers.tracing_index import index_page
from palette.papers.views import View
from palette.plan import PaintedPanel, Plan

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["CHECK_MM", "tracing_pages"]

CHECK_MM = 100.0
"""The check line on every sheet: printers that "fit to page" are found out before anyone cuts."""


def tracing_pages(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook]) -> Iterator[Page]:
    """Yield the index of the sheets, then every sheet that has a line to trace."""
    panel = each.panel
    tiling = tile_panel(sheet_of(plan.settings.paper.size), panel.width_mm, panel.height_mm)
    edges = _edges(each)
    blank = {
        (row, column)
        for row in range(tiling.rows)
        for column in range(tiling.columns)
        if not edges.intersects(_window_shape(tiling.view(row, column)))
    }
    yield index_page(plan, each, tiling, blank)
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            if (row, column) not in blank:
                yield _tile(each, looks, tiling, row, column, edges)


def _edges(each: PaintedPanel) -> Geometry:
    import shapely

    panel = each.panel
    shapes = [section.outline.boundary for section in panel.sections]
    shapes += [feature.outline.boundary for feature in panel.features]
    shapes.append(shapely.box(0, 0, panel.width_mm, panel.height_mm).boundary)
    if panel.hatch is not None:
        shapes.append(panel.hatch.boundary)
    collected = shapely.GeometryCollection(shapes)
    shapely.prepare(collected)
    return collected


def _window_shape(view: View) -> Geometry:
    import shapely

    return shapely.box(view.window.left, view.window.top, view.window.right, view.window.bottom)


def _tile(
    each: PaintedPanel, looks: Mapping[str, CanLook], tiling: Tiling, row: int, column: int, edges: Geometry
) -> Page:
    import shapely

    view = tiling.view(row, column)
    frame, name = view.frame, sheet_name(row, column)
    window = _window_shape(view)
    panel = each.panel
    marks: list[Mark] = []
    cut = shapely.transform(shapely.clip_by_rect(edges, *window.bounds), view.to_page)
    flat = shapely.GeometryCollection(list(_flatten(cut)))
    marks.append(lines_of(flat, width_pt=1.0))
    if panel.hatch is not None:
        hatch = shapely.transform(panel.hatch.boundary.intersection(window), view.to_page)
        marks.append(lines_of(hatch, width_pt=2.2, dash_pt=(8, 5)))
    trim = _trim_marks(tiling, row, column, frame)
    taken = [mark.box.grown(1.0) for mark in trim if isinstance(mark, Words)]
    marks += [*trim, *_names(each, looks, view, taken)]
    sheet = tiling.sheet
    heading = f"{panel.name} · sheet {name}"
    told, size = fit_words(heading, sheet.width_mm - 2 * sheet.margin_mm - 40, 11, bold=True)
    marks.append(Words(x=sheet.margin_mm, y=sheet.margin_mm + 3.6, text=told, size_pt=size, bold=True))
    right = sheet.width_mm - sheet.margin_mm
    marks.append(Words(x=right, y=sheet.margin_mm + 3.6, text=f"edition {each.edition}", anchor="end"))
    y = sheet.height_mm - sheet.margin_mm - 0.8
    line = np.array([[sheet.margin_mm, y - 1.2], [sheet.margin_mm + CHECK_MM, y - 1.2]])
    ends = [np.array([[x, y - 2.6], [x, y + 0.2]]) for x in line[:, 0]]
    marks.append(Lines(paths=(line, *ends), width_pt=0.8))
    words = "100 mm exactly, else do not cut"
    marks.append(Words(x=sheet.margin_mm + CHECK_MM + 2, y=y, text=words))
    return Page(sheet=sheet, marks=marks, name=f"sheet {name}")


def _flatten(shape: Geometry) -> Iterator[Geometry]:
    for part in getattr(shape, "geoms", [shape]):
        if hasattr(part, "geoms"):
            yield from _flatten(part)
        else:
            yield part


def _names(
    each: PaintedPanel, looks: Mapping[str, CanLook], view: View, taken: Sequence[Box]
) -> list[Mark]:
    """Return can and name of every section seen on a sheet, where there is room for them."""
    import shapely

    frame = view.frame
    # The strip that is laid over the neighbour's sheet keeps clear of words.
    bare = shapely.box(frame.left + OVERLAP_MM, frame.top + OVERLAP_MM,
                       frame.right - OVERLAP_MM, frame.bottom - OVERLAP_MM)  # fmt: skip
    for box in taken:
        bare = bare.difference(shapely.box(box.left, box.top, box.right, box.bottom))
    marks: list[Mark] = []
    for section, outline in outlines_on_page(each.panel, view).items():
        shape = max(getattr(outline, "geoms", [outline]), key=lambda part: part.area)
        room = shape.intersection(bare)
        room = max(getattr(room, "geoms", [room]), key=lambda part: part.area)
        if room.is_empty or room.geom_type != "Polygon":
            continue
        look = looks[each.scheme.paint_of[section]]
        label = label_inside(section, str(look.number), room)
        if label is not None:
            marks += label.words
    return marks


def _trim_marks(tiling: Tiling, row: int, column: int, frame: Box) -> list[Mark]:
    """Return the cutting lines (left, top), the laying lines (right, bottom), and the corner crosses."""
    marks: list[Mark] = []
    right, bottom = frame.right - OVERLAP_MM, frame.bottom - OVERLAP_MM
    grey = "#666666"
    if column > 0:
        marks.append(Lines(paths=(np.array([[frame.left, frame.top], [frame.left, frame.bottom]]),),
                           stroke=grey, width_pt=0.6, dash_pt=(6, 4)))  # fmt: skip
    if row > 0:
        marks.append(Lines(paths=(np.array([[frame.left, frame.top], [frame.right, frame.top]]),),
                           stroke=grey, width_pt=0.6, dash_pt=(6, 4)))  # fmt: skip
    crosses = []
    if column + 1 < tiling.columns:
        marks.append(
            Lines(paths=(np.array([[right, frame.top], [right, frame.bottom]]),), stroke=grey, width_pt=0.4)
        )
        text = f"lay {sheet_name(row, column + 1)} here"
        marks.append(
            Words(x=right - 2, y=frame.top + frame.height * 0.5 - 3, text=text, anchor="end", fill=grey)
        )
        crosses += [(right, frame.top), (right, bottom)]
    if row + 1 < tiling.rows:
        marks.append(
            Lines(
                paths=(np.array([[frame.left, bottom], [frame.right, bottom]]),), stroke=grey, width_pt=0.4
            )
        )
        text = f"lay {sheet_name(row + 1, column)} here"
        marks.append(
            Words(x=frame.left + frame.width * 0.5, y=bottom - 2, text=text, anchor="middle", fill=grey)
        )
        crosses += [(frame.left, bottom), (right, bottom)]
    if column > 0:
        crosses += [(frame.left, frame.top), (frame.left, bottom)]
    if row > 0:
        crosses += [(frame.left, frame.top), (right, frame.top)]
    bars = [
        np.array([[x - dx, y - dy], [x + dx, y + dy]])
        for x, y in dict.fromkeys(crosses)
        for dx, dy in ((2.5, 0.0), (0.0, 2.5))
    ]
    marks.append(Lines(paths=tuple(bars), width_pt=0.9))
    return marks
