"""Full-size tracing pages: the panel's outlines cut into sheets that are trimmed and joined.

Each sheet shows a window of the panel at 1 : 1 with 10 mm of the next one on its right and
below. Trim along the dashed line on the left and the top; lay it on the neighbour's solid line;
the crosses at the corners must meet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

import numpy as np

from palette.papers.drawing import outlines_on_page, scale_bar
from palette.papers.furniture import frame_page, room_of
from palette.papers.looks import CanLook
from palette.papers.marks import (
    Area,
    Box,
    Lines,
    Mark,
    Page,
    Words,
    area_of,
    fit_words,
    lines_of,
    rectangle,
)
from palette.papers.sheet import LEAST_PT, Sheet, sheet_of
from palette.papers.views import View, view_in
from palette.plan import PaintedPanel, Plan

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["CHECK_MM", "Tiling", "tile_panel", "tracing_pages"]

OVERLAP_MM = 10.0
HEAD_MM = 9.0
FOOT_MM = 6.0
CHECK_MM = 100.0
"""The check line on every sheet: printers that "fit to page" are found out before anyone cuts."""


class Tiling:
    """How a panel is cut into sheets: columns and rows of windows of one size.

    Windows start `step_mm` apart and are `OVERLAP_MM` larger, so that every point but the outer
    rim's lies on at least one sheet.
    """

    def __init__(self, sheet: Sheet, width_mm: float, height_mm: float) -> None:
        margin = sheet.margin_mm
        self.sheet = sheet
        self.left, self.top = margin, margin + HEAD_MM
        self.step_mm = (
            sheet.width_mm - 2 * margin - OVERLAP_MM,
            sheet.height_mm - 2 * margin - HEAD_MM - FOOT_MM - OVERLAP_MM,
        )
        self.columns = max(1, int(np.ceil((width_mm - OVERLAP_MM) / self.step_mm[0] - 1e-9)))
        self.rows = max(1, int(np.ceil((height_mm - OVERLAP_MM) / self.step_mm[1] - 1e-9)))

    @property
    def count(self) -> int:
        """How many sheets there are."""
        return self.columns * self.rows

    def view(self, row: int, column: int) -> View:
        """Return the window of one sheet at full size."""
        left, top = column * self.step_mm[0], row * self.step_mm[1]
        window = Box(left, top, left + self.step_mm[0] + OVERLAP_MM, top + self.step_mm[1] + OVERLAP_MM)
        return View(window=window, scale=1.0, left=self.left, top=self.top)


def tile_panel(sheet: Sheet, width_mm: float, height_mm: float) -> Tiling:
    """Return the tiling that takes fewer sheets, upright or sideways."""
    ways = [Tiling(paper, width_mm, height_mm) for paper in (sheet, sheet.sideways)]
    return min(ways, key=lambda tiling: tiling.count)


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
    yield _index(plan, each, tiling, blank)
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


def _name(row: int, column: int) -> str:
    letters = ""
    number = row
    while True:
        number, rest = divmod(number, 26)
        letters = chr(ord("A") + rest) + letters
        if number == 0:
            return f"{letters}{column + 1}"
        number -= 1


def _tile(
    each: PaintedPanel, looks: Mapping[str, CanLook], tiling: Tiling, row: int, column: int, edges: Geometry
) -> Page:
    import shapely

    view = tiling.view(row, column)
    frame, name = view.frame, _name(row, column)
    window = _window_shape(view)
    panel = each.panel
    marks: list[Mark] = []
    cut = shapely.transform(shapely.clip_by_rect(edges, *window.bounds), view.to_page)
    flat = shapely.GeometryCollection(list(_flatten(cut)))
    marks.append(lines_of(flat, width_pt=1.0))
    if panel.hatch is not None:
        hatch = shapely.transform(panel.hatch.boundary.intersection(window), view.to_page)
        marks.append(lines_of(hatch, width_pt=2.2, dash_pt=(8, 5)))
    marks += _names(each, looks, view)
    marks += _trim_marks(tiling, row, column, frame)
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


def _names(each: PaintedPanel, looks: Mapping[str, CanLook], view: View) -> list[Mark]:
    """Return can and name of every section seen on a sheet, in the middle of what is seen, if there is room."""
    import shapely

    from palette.papers.labelling import label_inside

    marks: list[Mark] = []
    for section, outline in outlines_on_page(each.panel, view).items():
        shape = max(getattr(outline, "geoms", [outline]), key=lambda part: part.area)
        # The strip that is laid over the neighbour's sheet keeps clear of words.
        frame = view.frame
        bare = shapely.box(frame.left + OVERLAP_MM, frame.top + OVERLAP_MM,
                           frame.right - OVERLAP_MM, frame.bottom - OVERLAP_MM)  # fmt: skip
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
        text = f"lay {_name(row, column + 1)} here"
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
        text = f"lay {_name(row + 1, column)} here"
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


def _index(plan: Plan, each: PaintedPanel, tiling: Tiling, blank: set[tuple[int, int]]) -> Page:
    """Return the first page: which sheet lies where, and how to cut and join."""
    sheet = tiling.sheet
    room = room_of(sheet)
    panel = each.panel
    whole = Box(0, 0, max(panel.width_mm, tiling.columns * tiling.step_mm[0]),
                max(panel.height_mm, tiling.rows * tiling.step_mm[1]))  # fmt: skip
    view = view_in(whole, Box(room.left, room.top + 2, room.right, room.bottom - 34))
    marks: list[Mark] = []
    for outline in outlines_on_page(panel, view).values():
        marks.append(area_of(outline, fill="#eeeeee", stroke="#999999", width_pt=0.5))
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            corner = view.to_page(np.array([[column * tiling.step_mm[0], row * tiling.step_mm[1]]]))[0]
            wide, high = (step / view.scale for step in tiling.step_mm)
            cell = rectangle(corner[0], corner[1], wide, high)
            marks.append(Area(rings=(cell,), fill=None, width_pt=0.7))
            name = _name(row, column) if (row, column) not in blank else "–"
            marks.append(Words(x=corner[0] + wide / 2, y=corner[1] + high / 2 + 1.5, text=name,
                               size_pt=LEAST_PT, bold=True, anchor="middle"))  # fmt: skip
    told = [
        'Print at 100 %, never "fit to page". Measure the 100 mm line on the first sheet before cutting.',
        "Cut along the dashed lines (left and top). Lay each sheet on its neighbours' thin lines; crosses meet crosses.",
        f"{tiling.count - len(blank)} sheets; those marked – have no line on them and are not printed.",
        "Rub chalk on the back or prick the lines; number each section lightly. Dark pencil shows through the paint.",
    ]
    for number, line in enumerate(told):
        shown, size = fit_words(f"{number + 1}. {line}", room.width, 10)
        marks.append(Words(x=room.left, y=room.bottom - 27 + number * 5.4, text=shown, size_pt=size))
    marks += scale_bar(room.left, room.bottom - 6.5, view.scale, plan.settings.paper.grid)
    detail = f"full-size tracing · {tiling.columns} × {tiling.rows} sheets · index"
    return frame_page(sheet, title=panel.name, detail=detail, edition=each.edition, marks=marks)
