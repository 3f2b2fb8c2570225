"""Labels to stick on cans and on the backs of panels and trim boards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from palette.papers.legend import swatch
from palette.papers.looks import CanLook
from palette.papers.marks import Area, Box, Mark, Page, Words, fit_words, rectangle
from palette.papers.sheet import Sheet
from palette.plan import PaintedPanel, Plan
from palette.plan.settings import LabelSheet

__all__ = ["sticker_pages"]


def sticker_pages(plan: Plan, looks: Mapping[str, CanLook]) -> list[Page]:
    """Return sheets of labels: one a can, then one a panel, trim board and section.

    A section's label bears a QR code of "panel / section / can / edition", to find it again
    when boards are painted apart.
    """
    sheet = plan.settings.labels
    paper = Sheet(width_mm=sheet.page_mm[0], height_mm=sheet.page_mm[1], margin_mm=0.0)
    pages: list[list[Mark]] = [[]]
    place = sheet.first - 1
    for draw in _drawings(plan, looks):
        if place == sheet.columns * sheet.rows:
            pages.append([])
            place = 0
        pages[-1] += draw(_cell(sheet, place))
        place += 1
    return [
        Page(sheet=paper, marks=marks, name=f"labels {number}") for number, marks in enumerate(pages, 1)
    ]


def _cell(sheet: LabelSheet, place: int) -> Box:
    row, column = divmod(place, sheet.columns)
    left, top = sheet.left_mm + column * sheet.step_x_mm, sheet.top_mm + row * sheet.step_y_mm
    return Box(left, top, left + sheet.width_mm, top + sheet.height_mm)


def _drawings(plan: Plan, looks: Mapping[str, CanLook]):  # type: ignore[no-untyped-def]
    for paint in plan.used_paints:
        yield lambda cell, look=looks[paint.id]: _can_label(plan, look, cell)
    for each in plan.panels:
        yield lambda cell, each=each: _panel_label(each, cell)
        for feature in each.panel.features:
            if feature.role == "trim":
                told = (each.panel.name, f"trim, {plan.settings.surface.trim_paint}")
                yield lambda cell, each=each, name=feature.id, told=told: _part_label(
                    name, told, f"{each.panel.name} / {name} / {each.edition}", cell
                )
        for section in each.panel.ids:
            look = looks[each.scheme.paint_of[section]]
            told = (look.name, each.panel.name)
            code = f"{each.panel.name} / {section} / can {look.number} / {each.edition}"
            yield lambda cell, name=section, told=told, code=code, can=str(look.number): _part_label(
                name, told, code, cell, number=can
            )


def _can_label(plan: Plan, look: CanLook, cell: Box) -> list[Mark]:
    need = plan.need_of(look.name)
    pad = 2.5
    number = Words(x=cell.left + pad, y=cell.top + 12.8, text=str(look.number), size_pt=34, bold=True)
    left = number.box.right + 3
    right = cell.right - pad
    marks: list[Mark] = [number]
    swatch_width = min(16.0, right - left)
    marks += swatch(look, right - swatch_width, cell.top + pad, width=swatch_width, height=10.5)
    name, size = fit_words(look.name, right - cell.left - pad, 12, bold=True)
    told = [(name, size, True)]
    if need is not None:
        litres = "" if need.litres is None else f", {need.litres:.2f} L in all"
        told.append((f"{need.coats} coats over white{litres}", 9, False))
    told += [(f"glows {look.glows}", 9, False), ("opened: ____________", 9, False)]
    y = cell.top + 19.2
    for text, points, bold in told:
        if y > cell.bottom - 1.5:
            break
        shown, fitted = fit_words(text, right - cell.left - pad, points, bold=bold)
        marks.append(Words(x=cell.left + pad, y=y, text=shown, size_pt=fitted, bold=bold))
        y += 4.7
    return marks


def _panel_label(each: PaintedPanel, cell: Box) -> list[Mark]:
    width = cell.width - 5
    name, size = fit_words(each.panel.name, width, 14, bold=True)
    told = [(f"edition {each.edition}", 9), ("▲ this side up, stick on the back", 9)]
    told += [(f"left: {each.left}", 9)] if each.left else []
    told += [(f"right: {each.right}", 9)] if each.right else []
    y = max(cell.top + 7.2, (cell.top + cell.bottom - 5.2 * len(told)) / 2 + 2.0)
    marks: list[Mark] = [Words(x=cell.left + 2.5, y=y, text=name, size_pt=size, bold=True)]
    for text, points in told:
        y += 5.2
        if y > cell.bottom - 1.5:
            break
        shown, fitted = fit_words(text, width, points)
        marks.append(Words(x=cell.left + 2.5, y=y, text=shown, size_pt=fitted))
    return marks


def _part_label(name: str, told: Sequence[str], code: str, cell: Box, *, number: str = "") -> list[Mark]:
    """Return a label with its code on the right and, where there is one, the can's number in large."""
    side = min(20.0, cell.height - 4)
    left, top = cell.right - side - 2, cell.top + (cell.height - side) / 2
    x, middle = cell.left + 2.5, (cell.top + cell.bottom) / 2
    marks: list[Mark] = []
    if number:
        large = Words(x=x, y=middle + 1.5, text=number, size_pt=24, bold=True)
        marks.append(large)
        x = large.box.right + 2
    width = left - x - 1.5
    shown, size = fit_words(name, width, 13, bold=True)
    y = middle - 3.0
    marks.append(Words(x=x, y=y, text=shown, size_pt=size, bold=True))
    for text in told:
        y += 4.9
        shown, size = fit_words(text, width, 9)
        marks.append(Words(x=x, y=y, text=shown, size_pt=size))
    marks += _qr(code, left, top, side)
    return marks


def _qr(text: str, left: float, top: float, side: float) -> Iterator[Mark]:
    """Yield the dark modules of a QR code (ISO/IEC 18004) in a square, with its quiet zone."""
    import segno

    rows = np.array([[bool(v) for v in row] for row in segno.make(text, error="m", micro=False).matrix])
    step = side / (len(rows) + 4)
    rings = []
    for row, line in enumerate(rows):
        starts = np.flatnonzero(np.diff(np.concatenate([[0], line.astype(int), [0]])))
        for begin, end in zip(starts[::2], starts[1::2], strict=True):
            # Neighbouring modules are one bar, so that no hairline shows between them.
            x, y = left + (2 + begin) * step, top + (2 + row) * step
            rings.append(rectangle(x, y, (end - begin) * step, step * 1.02))
    yield Area(rings=tuple(rings), fill="#000000", stroke=None)
