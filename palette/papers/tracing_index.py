"""The first page of the tracing sheets: which lies where, how to cut and join."""

from __future__ import annotations

import numpy as np

from palette.papers.drawing import outlines_on_page, scale_bar
from palette.papers.furniture import frame_page, room_of
from palette.papers.marks import Area, Box, Mark, Page, Words, area_of, fit_words, rectangle
from palette.papers.sheet import LEAST_PT
from palette.papers.tiling import Tiling, sheet_name
from palette.papers.views import view_in
from palette.plan import PaintedPanel, Plan

__all__ = ["index_page"]


def index_page(plan: Plan, each: PaintedPanel, tiling: Tiling, blank: set[tuple[int, int]]) -> Page:
    """Return the page; `blank` are the (row, column) of sheets with no line on them."""
    sheet = tiling.sheet
    room = room_of(sheet)
    panel = each.panel
    first = tiling.view(0, 0).window
    last = tiling.view(tiling.rows - 1, tiling.columns - 1).window
    whole = Box(first.left, first.top, last.right, last.bottom)
    view = view_in(whole, Box(room.left, room.top + 2, room.right, room.bottom - 34))
    marks: list[Mark] = []
    for outline in outlines_on_page(panel, view).values():
        marks.append(area_of(outline, fill="#eeeeee", stroke="#999999", width_pt=0.5))
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            window = tiling.view(row, column).window
            corner = view.to_page(np.array([[window.left, window.top]]))[0]
            wide, high = (step / view.scale for step in tiling.step_mm)
            cell = rectangle(corner[0], corner[1], wide, high)
            marks.append(Area(rings=(cell,), fill=None, width_pt=0.7))
            name = sheet_name(row, column) if (row, column) not in blank else "–"
            marks.append(Words(x=corner[0] + wide / 2, y=corner[1] + high / 2 + 1.5, text=name,
                               size_pt=LEAST_PT, bold=True, anchor="middle"))  # fmt: skip
    told = [
        'Print at 100 %, never "fit to page". Measure the 100 mm line on the first sheet before cutting.',
        "Cut the dashed lines (left, top). Lay each sheet on its neighbours' thin lines, cross on cross.",
        f"{tiling.count - len(blank)} sheets; those marked – have no line on them and are not printed.",
        "Chalk the back or prick the lines; number each section lightly: dark pencil shows through.",
    ]
    for number, line in enumerate(told):
        shown, size = fit_words(f"{number + 1}. {line}", room.width, 10)
        marks.append(Words(x=room.left, y=room.bottom - 27 + number * 5.4, text=shown, size_pt=size))
    marks += scale_bar(room.left, room.bottom - 6.5, view.scale, plan.settings.paper.grid)
    detail = f"full-size tracing · {tiling.columns} × {tiling.rows} sheets · index"
    return frame_page(sheet, title=panel.name, detail=detail, edition=each.edition, marks=marks)
