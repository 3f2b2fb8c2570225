"""The tick list: every section under its can, with a box to tick for each coat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from palette.papers.furniture import frame_page, room_of, tick_box
from palette.papers.legend import swatch
from palette.papers.looks import CanLook
from palette.papers.marks import Box, Lines, Mark, Page, Words, fit_words
from palette.papers.sheet import sheet_of
from palette.plan import PaintedPanel, Plan, WorkStep

__all__ = ["section_row", "tick_pages"]

ROW_MM = 6.4
HEAD_MM = 11.5
GUTTER_MM = 8.0
BOX_STEP_MM = 9.5


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A heading of a can (`look`), or of other work (`look` None), or a row with boxes (`coats` > 0)."""

    text: str
    look: CanLook | None = None
    area_m2: float | None = None
    coats: int = 0

    @property
    def height(self) -> float:
        return ROW_MM if self.coats else HEAD_MM


def tick_pages(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook]) -> list[Page]:
    """Return the list, in two columns, on as many pages as it takes: grounds, cans, what comes after."""
    sheet = sheet_of(plan.settings.paper.size)
    room = room_of(sheet)
    width = (room.width - GUTTER_MM) / 2
    rows = list(_rows(plan, each, looks))
    pages: list[list[Mark]] = [[]]
    x, y = room.left, room.top + 2
    for place, row in enumerate(rows):
        # A heading stays with its first row.
        needed = row.height + (0.0 if row.coats else rows[place + 1].height)
        if y + needed > room.bottom:
            x, y = x + width + GUTTER_MM, room.top + 2
            if x > room.right:
                pages.append([])
                x = room.left
        box = Box(x, y, x + width, y + row.height)
        if row.coats:
            pages[-1] += section_row(row.text, row.area_m2, row.coats, box)
        else:
            pages[-1] += _heading(row, box)
        y += row.height
    detail = "tick list · one box for each coat"
    return [
        frame_page(sheet, title=each.panel.name, detail=detail, edition=each.edition, marks=marks)
        for marks in pages
    ]


def _rows(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook]) -> Iterator[_Row]:
    steps = plan.timetable.steps
    first = min((step.number for step in steps if step.kind == "colour"), default=0)
    others = [step for step in steps if step.kind != "colour" and (each.boards or step.kind != "trim")]
    yield _Row(text="Before the colours")
    yield from _work_rows([step for step in others if step.number < first])
    for paint in plan.used_paints:
        sections = [s for s in each.panel.ids if each.scheme.paint_of[s] == paint.id]
        boards = plan.boards_of(each, paint.id)
        if sections or boards:
            yield _Row(text=looks[paint.id].name, look=looks[paint.id])
        for section in sections:
            yield _Row(text=section, area_m2=each.areas.sections[section], coats=paint.coats)
        for board in boards:
            yield _Row(text=f"trim: {board}", coats=paint.coats)
    yield _Row(text="Between the colours, and after")
    yield from _work_rows([step for step in others if step.number > first])


def _work_rows(steps: Sequence[WorkStep]) -> Iterator[_Row]:
    """Yield one row for each piece of work, with a box for each coat of it."""
    coats: dict[str, int] = {}
    for step in steps:
        words = step.title.split(":")[0].split(";")[0]
        coats[words] = coats.get(words, 0) + 1
    for words, count in coats.items():
        yield _Row(text=words, coats=count)


def section_row(field: str, area_m2: float | None, coats: int, box: Box) -> list[Mark]:
    """Return one row: the section's name, its area, a numbered box for each coat."""
    base = box.top + box.height * 0.68
    boxes = box.right - coats * BOX_STEP_MM
    told = "" if area_m2 is None else f"{area_m2:.2f} m²"
    name, size = fit_words(field, boxes - box.left - (18 if told else 3), 10)
    marks: list[Mark] = [
        Words(x=box.left, y=base, text=name, size_pt=size),
        Words(x=boxes - 2.5, y=base, text=told, size_pt=9, anchor="end", fill="#333333"),
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


def _heading(row: _Row, box: Box) -> list[Mark]:
    base = box.bottom - 2.6
    rule = Lines(paths=(np.array([[box.left, box.bottom], [box.right, box.bottom]]),), width_pt=0.9)
    if row.look is None:
        return [Words(x=box.left, y=base, text=row.text, size_pt=12, bold=True), rule]
    name, size = fit_words(row.text, box.width - 26, 12, bold=True)
    return [
        Words(x=box.left + 8.5, y=base, text=str(row.look.number), size_pt=17, bold=True, anchor="end"),
        *swatch(row.look, box.left + 10.5, box.bottom - 8.6, width=11, height=7.6),
        Words(x=box.left + 24, y=base, text=name, size_pt=size, bold=True),
        rule,
    ]
