"""The tick list: every section under its can, with a box to tick for each coat."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from palette.papers.furniture import frame_page, room_of, tick_box
from palette.papers.legend import count_words, swatch
from palette.papers.looks import CanLook
from palette.papers.marks import Box, Lines, Mark, Page, Words, fit_words
from palette.papers.sheet import sheet_of
from palette.plan import PaintedPanel, Plan

__all__ = ["section_row", "tick_pages"]

ROW_MM = 6.4
HEAD_MM = 11.5
GUTTER_MM = 8.0
BOX_STEP_MM = 9.5


def tick_pages(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook]) -> list[Page]:
    """Return the list, in two columns, on as many pages as it takes."""
    sheet = sheet_of(plan.settings.paper.size)
    room = room_of(sheet)
    width = (room.width - GUTTER_MM) / 2
    rows: list[tuple[float, str, str]] = []
    for paint in plan.used_paints:
        fields = [s for s in each.panel.ids if each.scheme.paint_of[s] == paint.id]
        if fields:
            rows.append((HEAD_MM, paint.id, ""))
            rows += [(ROW_MM, paint.id, field) for field in fields]
    pages: list[list[Mark]] = [[]]
    x, y = room.left, room.top + 2
    for place, (height, paint_id, field) in enumerate(rows):
        # A heading stays with its first row.
        needed = height + (rows[place + 1][0] if not field else 0.0)
        if y + needed > room.bottom:
            x, y = x + width + GUTTER_MM, room.top + 2
            if x > room.right:
                pages.append([])
                x = room.left
        box = Box(x, y, x + width, y + height)
        coats = next(paint.coats for paint in plan.paints if paint.id == paint_id)
        if field:
            pages[-1] += section_row(field, each.areas.sections[field], coats, box)
        else:
            pages[-1] += _heading(looks[paint_id], coats, box)
        y += height
    detail = "tick list · one box for each coat"
    return [
        frame_page(sheet, title=each.panel.name, detail=detail, edition=each.edition, marks=marks)
        for marks in pages
    ]


def section_row(field: str, area_m2: float, coats: int, box: Box) -> list[Mark]:
    """Return one row: the section's name, its area, a numbered box for each coat."""
    base = box.top + box.height * 0.68
    boxes = box.right - coats * BOX_STEP_MM
    name, size = fit_words(field, boxes - box.left - 18, 10)
    marks: list[Mark] = [
        Words(x=box.left, y=base, text=name, size_pt=size),
        Words(x=boxes - 2.5, y=base, text=f"{area_m2:.2f} m²", size_pt=9, anchor="end", fill="#333333"),
        Lines(
            paths=(np.array([[box.left, box.bottom], [box.right, box.bottom]]),),
            stroke="#aaaaaa",
            width_pt=0.3,
        ),
    ]
    for coat in range(coats):
        x = boxes + coat * BOX_STEP_MM
        marks.append(Words(x=x + 3.4, y=base, text=str(coat + 1), size_pt=9, anchor="end"))
        marks.append(tick_box(x + 4.4, base - 3.3, 4.0))
    return marks


def _heading(look: CanLook, coats: int, box: Box) -> list[Mark]:
    name, size = fit_words(look.name, box.width - 46, 12, bold=True)
    base = box.bottom - 2.6
    return [
        Words(x=box.left + 8.5, y=base, text=str(look.number), size_pt=17, bold=True, anchor="end"),
        *swatch(look, box.left + 10.5, box.bottom - 8.6, width=11, height=7.6),
        Words(x=box.left + 24, y=base, text=name, size_pt=size, bold=True),
        Words(x=box.right, y=base, text=count_words(coats, "coat"), size_pt=10, anchor="end"),
        Lines(paths=(np.array([[box.left, box.bottom], [box.right, box.bottom]]),), width_pt=0.9),
    ]
