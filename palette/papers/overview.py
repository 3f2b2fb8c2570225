"""The overview: one page for the workshop wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from palette.papers.drawing import draw_panel, outlines_on_page
from palette.papers.furniture import frame_page, room_of
from palette.papers.labelled_views import label_view, whole_window
from palette.papers.labelling import label_marks
from palette.papers.legend import swatch
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
    rectangle,
    text_width,
)
from palette.papers.overview_text import column_height, column_marks, tell_days, tell_minding, tell_shopping
from palette.papers.sheet import LEAST_PT, sheet_of
from palette.papers.views import View, fill_view
from palette.plan import PaintedPanel, Plan

__all__ = ["overview_page"]

CAN_MM = 11.4
SIDE_MM = 76.0
GUTTER_MM = 6.0
LEAST_WALL = 0.56
"""The wall has at least this share of the page's height, however much there is to say below it."""
CAPTION_MM = 6.0
GLOW_MM = 36.0
"""The picture of the wall in the dark is drawn where at least this width is free beside the map."""


def overview_page(plan: Plan, looks: Mapping[str, CanLook]) -> Page:
    """Return the page: the wall, the cans, what to buy, the days, the lamps, the cautions."""
    sheet = sheet_of(plan.settings.paper.size).sideways
    room = room_of(sheet)
    side = room.right - SIDE_MM
    marks: list[Mark] = _cans(plan, looks, Box(side, room.top + 2, room.right, room.bottom))
    columns = [list(tell_days(plan)), list(tell_minding(plan))]
    below = room.top + 11 + CAN_MM * len(plan.used_paints)
    shopping = list(tell_shopping(plan))
    if below + min(45.0, column_height(shopping, SIDE_MM)) <= room.bottom:
        marks += column_marks(shopping, Box(side, below, room.right, room.bottom))
    else:
        columns.insert(1, shopping)
    width = (side - 4 - room.left - (len(columns) - 1) * GUTTER_MM) / len(columns)
    words = max(column_height(told, width) for told in columns) + 2
    split = max(room.top + room.height * LEAST_WALL, room.bottom - words)
    marks += _wall(plan, looks, Box(room.left, room.top + 1, side - 4, split - 3))
    marks.append(Lines(paths=(np.array([[room.left, split], [side - 4, split]]),), width_pt=0.6))
    for number, told in enumerate(columns):
        left = room.left + number * (width + GUTTER_MM)
        marks += column_marks(told, Box(left, split + 2, left + width, room.bottom))
    edition = plan.panels[0].edition if len(plan.panels) == 1 else ""
    detail = f"overview · {_size_words(plan)}"
    return frame_page(sheet, title=plan.title, detail=detail, edition=edition, marks=marks)


def _size_words(plan: Plan) -> str:
    area = sum(each.areas.face for each in plan.panels)
    sections = sum(len(each.panel.sections) for each in plan.panels)
    panels = "1 panel" if len(plan.panels) == 1 else f"{len(plan.panels)} panels"
    hours = plan.timetable.person_hours
    return f"{panels}, {sections} sections, {area:.1f} m², about {hours:.0f} hours of work in all"


def _wall(plan: Plan, looks: Mapping[str, CanLook], room: Box) -> list[Mark]:
    """Return one panel with its labels, or a run of panels side by side with their names."""
    surface, grid = plan.settings.surface, plan.settings.paper.grid
    if len(plan.panels) == 1:
        return _one_wall(plan, plan.panels[0], looks, room)
    marks: list[Mark] = []
    rows = _rows(plan, room)
    height = room.height / len(rows)
    for number, panels in enumerate(rows):
        total = sum(each.panel.width_mm for each in panels) + 60.0 * (len(panels) - 1)
        scale = max(total / room.width, max(each.panel.height_mm for each in panels) / (height - 7))
        x = room.left
        for each in panels:
            width = each.panel.width_mm / scale
            place = Box(x, room.top + number * height, x + width, room.top + (number + 1) * height - 7)
            view = fill_view(whole_window(each), place)
            marks += draw_panel(each, view, looks, paints=looks.keys(), surface=surface, grid=grid)
            # A name cut short tells nothing: the panel's place in the run does.
            place_in_run = str(plan.panels.index(each) + 1)
            for name in (each.panel.name, place_in_run):
                if text_width(name, LEAST_PT) <= width + 60 / scale - 1:
                    at = (x + width / 2, view.frame.bottom + 4.0)
                    marks.append(Words(x=at[0], y=at[1], text=name, anchor="middle"))
                    break
            x += width + 60.0 / scale
    return marks


def _one_wall(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook], room: Box) -> list[Mark]:
    """Return the panel with its labels and, where the page is wide enough, how it glows beside it."""
    # The rulers' rim is not needed here, so the room is made as much larger.
    wide = Box(room.left - 11, room.top - 6, room.right, room.bottom + 7)
    numbers = {section: str(plan.can_number[each.scheme.paint_of[section]]) for section in each.panel.ids}
    labelled = label_view(each, plan, whole_window(each), wide, short=numbers, view_of=_at_left)
    surface, grid = plan.settings.surface, plan.settings.paper.grid
    marks = draw_panel(each, labelled.view, looks, paints=looks.keys(), surface=surface, grid=grid)
    marks += label_marks(labelled.labels)
    right = max(labelled.view.frame.right, *(label.box.right for label in labelled.labels)) + GUTTER_MM
    if room.right - right >= GLOW_MM:
        marks += _glow(each, looks, Box(right, room.top, room.right, room.bottom))
    return marks


def _at_left(window: Box, room: Box) -> View:
    """Return the largest view of a window, at the left of its room where that leaves space for another."""
    view = fill_view(window, room)
    free = room.width - view.frame.width
    return replace(view, left=room.left) if free >= GLOW_MM + GUTTER_MM else view


def _glow(each: PaintedPanel, looks: Mapping[str, CanLook], room: Box) -> list[Mark]:
    """Return the panel as it glows, at the foot of a room, with its caption."""
    high = room.width * each.panel.height_mm / each.panel.width_mm
    top = max(room.top + CAPTION_MM, room.bottom - high)
    view = fill_view(whole_window(each), Box(room.left, top, room.right, room.bottom))
    frame = view.frame
    face = rectangle(frame.left, frame.top, frame.width, frame.height)
    marks: list[Mark] = [Area(rings=(face,), fill="#000000", stroke=None)]
    for section, outline in outlines_on_page(each.panel, view).items():
        marks.append(area_of(outline, fill=looks[each.scheme.paint_of[section]].blacklight, stroke=None))
    marks.append(Words(x=frame.left, y=frame.top - 1.8, text="under blacklight"))
    return marks


def _rows(plan: Plan, room: Box) -> list[list[PaintedPanel]]:
    """Return the panels in as many rows as draw them largest."""
    panels = list(plan.panels)
    best: tuple[float, list[list[PaintedPanel]]] = (float("inf"), [panels])
    for count in range(1, min(len(panels), 8) + 1):
        share = -(-len(panels) // count)
        rows = [panels[k : k + share] for k in range(0, len(panels), share)]
        widest = max(sum(each.panel.width_mm + 60 for each in row) for row in rows)
        tallest = max(each.panel.height_mm for each in panels)
        scale = max(widest / room.width, tallest / max(1.0, room.height / len(rows) - 7))
        if scale < best[0]:
            best = (scale, rows)
    return best[1]


def _cans(plan: Plan, looks: Mapping[str, CanLook], room: Box) -> list[Mark]:
    marks: list[Mark] = [Words(x=room.left, y=room.top + 4, text="Cans", size_pt=12, bold=True)]
    y = room.top + 6.5
    paints = list(plan.used_paints)
    shown = paints[: int((room.bottom - y) // CAN_MM)]
    for paint in shown:
        look, need = looks[paint.id], plan.need_of(paint.id)
        marks.append(
            Words(x=room.left + 9, y=y + 7.2, text=str(look.number), size_pt=17, bold=True, anchor="end")
        )
        marks += swatch(look, room.left + 11, y + 0.5, width=12, height=9.6)
        name, size = fit_words(look.name, room.width - 26, 10.5, bold=True)
        marks.append(Words(x=room.left + 25.5, y=y + 4.4, text=name, size_pt=size, bold=True))
        if need is not None and need.litres is not None:
            told = f"{need.coats} coats, {need.litres:.2f} L"
            told += f", buy {need.short_l:.2f} L" if need.short_l else ", in stock"
            told, size = fit_words(told, room.width - 26, LEAST_PT)
            marks.append(Words(x=room.left + 25.5, y=y + 8.9, text=told, size_pt=size))
        y += CAN_MM
    if len(shown) < len(paints):
        marks[-1] = Words(x=room.left + 25.5, y=y - 2.5, text=f"{len(paints) - len(shown)} more: work plan")
    return marks
