"""The overview: one page for the workshop wall."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from palette.papers.drawing import draw_panel
from palette.papers.furniture import frame_page, room_of
from palette.papers.labelled_views import label_view, whole_window
from palette.papers.labelling import label_marks
from palette.papers.legend import swatch
from palette.papers.looks import CanLook
from palette.papers.marks import Box, Lines, Mark, Page, Words, fit_words, text_width, wrap_words
from palette.papers.sheet import LEAST_PT, MM_PER_PT, sheet_of
from palette.papers.views import view_in
from palette.papers.wording import clock_words
from palette.plan import CLOSING, PaintedPanel, Plan, WorkStep, list_days

__all__ = ["overview_page"]

CAN_MM = 11.4
LINE_MM = 4.3
SIDE_MM = 76.0


@dataclass(frozen=True, slots=True)
class _Told:
    """A part of a text column, in its type."""

    text: str
    size_pt: float = 9.5
    bold: bool = False


def _head(text: str) -> _Told:
    return _Told(text, 12.0, bold=True)


def _strong(text: str) -> _Told:
    return _Told(text, bold=True)


def overview_page(plan: Plan, looks: Mapping[str, CanLook]) -> Page:
    """Return the page: the wall, the cans, what to buy, the days, the lamps, the cautions."""
    sheet = sheet_of(plan.settings.paper.size).sideways
    room = room_of(sheet)
    # The page is halved: pictures above, words below.
    split = room.top + room.height * 0.56
    side = room.right - SIDE_MM
    marks: list[Mark] = _wall(plan, looks, Box(room.left, room.top, side - 4, split - 2))
    marks += _cans(plan, looks, Box(side, room.top + 2, room.right, room.bottom))
    marks.append(Lines(paths=(np.array([[room.left, split], [side - 4, split]]),), width_pt=0.6))
    texts = [_work(plan), _minding(plan)]
    below = room.top + 11 + CAN_MM * len(plan.used_paints)
    if room.bottom - below > 45:
        marks += _column(_buying_and_lamps(plan), Box(side, below, room.right, room.bottom))
    else:
        texts.insert(1, _buying_and_lamps(plan))
    width = (side - 4 - room.left - (len(texts) - 1) * 6) / len(texts)
    for number, told in enumerate(texts):
        left = room.left + number * (width + 6)
        marks += _column(told, Box(left, split + 2, left + width, room.bottom))
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
        each = plan.panels[0]
        # The rulers' rim is not needed here, so the room is made as much larger.
        wide = Box(room.left - 11, room.top - 4, room.right, room.bottom + 6)
        numbers = {s: str(plan.can_number[each.scheme.paint_of[s]]) for s in each.panel.ids}
        labelled = label_view(each, plan, whole_window(each), wide, short=numbers)
        marks = draw_panel(each, labelled.view, looks, paints=looks.keys(), surface=surface, grid=grid)
        return [*marks, *label_marks(labelled.labels)]
    marks = []
    rows = _rows(plan, room)
    height = room.height / len(rows)
    for number, panels in enumerate(rows):
        total = sum(each.panel.width_mm for each in panels) + 60.0 * (len(panels) - 1)
        scale = max(total / room.width, max(each.panel.height_mm for each in panels) / (height - 7))
        x = room.left
        for each in panels:
            width = each.panel.width_mm / scale
            place = Box(x, room.top + number * height, x + width, room.top + (number + 1) * height - 7)
            view = view_in(whole_window(each), place)
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


def _work(plan: Plan) -> Iterator[_Told]:
    yield _head("Days")
    lines = list_days(plan.timetable)
    for day in dict.fromkeys(line.day for line in lines):
        of_day = [line for line in lines if line.day == day]
        first = of_day[0]
        name = f"Day {day}" if first.date is None else f"{first.date:%a} {first.date.day} {first.date:%b}"
        until = clock_words(max(line.end_h for line in of_day))
        steps = list(dict.fromkeys(_short(line.step) for line in of_day))
        yield _strong(f"{name}, {clock_words(first.start_h)}–{until}")
        yield _Told(", ".join(steps))


def _short(step: WorkStep) -> str:
    if step.kind == "colour":
        return f"coat {step.coat}"
    if step.kind in ("ground", "black") and step.product:
        return step.product if step.product != "back" else "back-paint"
    return {
        "prepare": "prepare",
        "draw": "draw",
        "look": "look in the dark",
        "trim": "trim",
        "finish": "finish",
    }.get(step.kind, step.title)


def _buying_and_lamps(plan: Plan) -> Iterator[_Told]:
    yield _head("To buy")
    currency = plan.settings.buying.currency
    bought = {purchase.product: purchase for purchase in plan.purchases}
    short = [need for need in plan.needs if need.short_l]
    for need in short:
        purchase = bought.get(need.product)
        if purchase is None:
            yield _Told(f"{need.product}: {need.short_l:.2f} L")
        else:
            cans = " + ".join(f"{count} × {can.litres:.3g} L" for can, count in purchase.counts)
            yield _Told(f"{need.product}: {cans}, {purchase.price / 100:.2f} {currency}".rstrip())
    if plan.purchases:
        yield _Told(f"in all {sum(p.price for p in plan.purchases) / 100:.2f} {currency}".rstrip())
    if not short:
        yield _Told("nothing, the stock is enough")
    if plan.lamps is not None:
        light = plan.lamps.light
        yield _head("Lamps")
        told = f"mean {light.mean * 100:.0f} µW/cm², evenness {light.evenness:.2f}"
        yield _Told(f"{len(plan.lamps.lamps)} lamps, {told}")


def _minding(plan: Plan) -> Iterator[_Told]:
    yield _head("Mind")
    for caution in plan.cautions:
        # The first sentence; the work plan has them whole.
        yield _Told(f"{caution.title}: {caution.text.split('. ')[0].split('; ')[0].rstrip('.')}.")
    yield _strong(CLOSING.split(". ")[1])


def _column(told: Iterator[_Told], box: Box) -> list[Mark]:
    """Return lines down a column; what does not fit is said to be in the work plan."""
    lines = [
        _Told(line, part.size_pt, part.bold)
        for part in told
        for line in wrap_words(part.text, box.width, part.size_pt, bold=part.bold)
    ]
    return list(_flow(lines, box))


def _flow(lines: Sequence[_Told], box: Box) -> Iterator[Mark]:
    y = box.top
    for place, line in enumerate(lines):
        step = line.size_pt * MM_PER_PT * (1.5 if line.size_pt > 10 else 1.28)
        last = y + step + LINE_MM > box.bottom and place + 1 < len(lines)
        shown = _Told("… more in the work plan") if last else line
        y += step
        yield Words(x=box.left, y=y - 1.0, text=shown.text, size_pt=shown.size_pt, bold=shown.bold)
        if last:
            return
