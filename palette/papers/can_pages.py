"""One page for every can: "today everything yellow"."""

from __future__ import annotations

from collections.abc import Mapping

from palette.papers.drawing import draw_panel, neighbour_words, ruler_marks, scale_bar
from palette.papers.furniture import frame_page, room_of, tick_box
from palette.papers.labelled_views import label_view, whole_window
from palette.papers.labelling import label_marks
from palette.papers.legend import count_words, swatch
from palette.papers.looks import CanLook
from palette.papers.marks import Box, Mark, Page, Words, wrap_words
from palette.papers.sheet import Sheet, sheet_of
from palette.papers.tick_list import ROW_MM, section_row
from palette.papers.wording import duration_words, letter_words
from palette.plan import PaintedPanel, Plan
from palette.plan.areas import sections_that_touch

__all__ = ["can_page"]

SIDE_MM = 74.0
HEAD_MM = 22.0
LINE_MM = 4.6
TICK_MM = 6.0
MOST_NEIGHBOURS = 6


def can_page(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook], paint: str) -> list[Page]:
    """Return the page of one can on one panel, and further ones where its list is long."""
    look = looks[paint]
    fields = [s for s in each.panel.ids if each.scheme.paint_of[s] == look.name]
    sheet = _sheet(plan, each)
    room = room_of(sheet)
    beside = sheet.width_mm > sheet.height_mm
    told = _told(plan, each, look, fields)
    card = HEAD_MM + LINE_MM * len(told) + TICK_MM
    if beside:
        drawing = Box(room.left, room.top, room.right - SIDE_MM - 5, room.bottom)
        side = Box(room.right - SIDE_MM, room.top + 2, room.right, room.bottom)
    else:
        drawing = Box(room.left, room.top, room.right, room.bottom - card - 2)
        side = Box(room.left, room.bottom - card, room.right, room.bottom)
    letters = {section: letter_words(place) for place, section in enumerate(fields)}
    labelled = label_view(each, plan, whole_window(each), drawing, short=letters)
    grid = plan.settings.paper.grid
    marks: list[Mark] = draw_panel(
        each, labelled.view, looks, paints=(look.name,),
        surface=plan.settings.surface, grid=grid,
    )  # fmt: skip
    marks += ruler_marks(each.panel, labelled.view, grid)
    marks += neighbour_words(each, labelled.view.frame)
    marks += label_marks(labelled.labels)
    marks += _card(plan, look, told, side)
    marks += scale_bar(side.left + 2, room.bottom - 8, labelled.view.scale, grid) if beside else []
    short = {section: letters[section] for section in labelled.unnamed}
    lists = _lists(each, plan, look, fields, side, short, card=card if beside else 0.0)
    marks += lists[0]
    title = f"Can {look.number}: {look.name}"
    detail = f"{each.panel.name} · paint only the coloured sections · scale 1 : {labelled.view.scale:g}"
    pages = [frame_page(sheet, title=title, detail=detail, edition=each.edition, marks=marks)]
    for more in lists[1:]:
        detail = f"{each.panel.name} · further sections"
        pages.append(frame_page(sheet, title=title, detail=detail, edition=each.edition, marks=more))
    return pages


def _sheet(plan: Plan, each: PaintedPanel) -> Sheet:
    upright = sheet_of(plan.settings.paper.size)
    panel = each.panel
    return upright.sideways if panel.width_mm >= 0.8 * panel.height_mm else upright


def _told(plan: Plan, each: PaintedPanel, look: CanLook, fields: list[str]) -> list[str]:
    """Return the lines of the can's card."""
    need = plan.need_of(look.name)
    area = sum(each.areas.sections[field] for field in fields)
    days, factor = plan.settings.days, plan.settings.days.drying_factor
    touch, again = days.colour_touch_dry_h * factor, days.colour_recoat_h * factor
    litres = area / need.spread_m2_per_l * (1 + need.waste) if need and need.spread_m2_per_l else 0.0
    amount = f", {litres:.2f} L a coat" if litres else ""
    told = [
        f"by day {look.by_day}, glows {look.glows}",
        f"{count_words(len(fields), 'section')}, {area:.2f} m²{amount}",
        f"dry after {duration_words(touch * 3600)}, next coat after {duration_words(again * 3600)}",
        _turn(plan, each, look),
        "Thin even coats, stir often, leave half-dry paint alone.",
    ]
    wet = _wet_neighbours(plan, each, look.name)
    if wet:
        more = f" and {len(wet) - MOST_NEIGHBOURS} more" if len(wet) > MOST_NEIGHBOURS else ""
        told.append(f"Touching and wet before: {', '.join(wet[:MOST_NEIGHBOURS])}{more}. Wait till dry.")
    return [part for line in told for part in wrap_words(line, SIDE_MM - 3, 9.5)]


def _card(plan: Plan, look: CanLook, told: list[str], side: Box) -> list[Mark]:
    need = plan.need_of(look.name)
    left = side.left
    number = Words(x=left + 2, y=side.top + 15.5, text=str(look.number), size_pt=50, bold=True)
    marks: list[Mark] = [number, *swatch(look, number.box.right + 4, side.top + 1.5, width=20, height=15)]
    y = side.top + HEAD_MM
    for line in told:
        marks.append(Words(x=left + 2, y=y, text=line, size_pt=9.5))
        y += LINE_MM
    for coat in range(1, (need.coats if need else 0) + 1):
        x = left + 2 + (coat - 1) * 23
        marks.append(tick_box(x, y - 2.4, 4.4))
        marks.append(Words(x=x + 6, y=y + 1.3, text=f"coat {coat}", size_pt=10, bold=True))
    return marks


def _turn(plan: Plan, each: PaintedPanel, look: CanLook) -> str:
    """Return the can's place in the order of painting."""
    numbers = [plan.can_number[paint.id] for paint in plan.painting_order(each)]
    if look.number not in numbers:
        return "on the trim only"
    place = numbers.index(look.number)
    before = f"after can {numbers[place - 1]}" if place else "first, before all others"
    return f"{before}; {place + 1} of {len(numbers)}, light to dark"


def _wet_neighbours(plan: Plan, each: PaintedPanel, paint: str) -> list[str]:
    """Return the sections that touch this can's and are painted before them in each coat."""
    order = [other.id for other in plan.painting_order(each)]
    if paint not in order:
        return []
    earlier = set(order[: order.index(paint)])
    paint_of = each.scheme.paint_of
    pairs = sections_that_touch(each.panel)
    touching = {b for a, b in pairs if paint_of[a] == paint} | {a for a, b in pairs if paint_of[b] == paint}
    return [section for section in each.panel.ids if section in touching and paint_of[section] in earlier]


def _lists(
    each: PaintedPanel, plan: Plan, look: CanLook, fields: list[str], side: Box,
    letters: Mapping[str, str], *, card: float,
) -> list[list[Mark]]:  # fmt: skip
    """Return the rows to tick: below a card of this height or beside it, then on pages of their own."""
    coats = next(paint.coats for paint in plan.paints if paint.id == look.name)
    if card:
        room = Box(side.left + 2, side.top + card + 4, side.right, side.bottom - 10)
    else:
        room = Box(side.left + SIDE_MM + 6, side.top, side.right, side.bottom)
    rest: list[tuple[str, float | None]] = [
        (f"{letters[field]}  {field}" if field in letters else field, each.areas.sections[field])
        for field in fields
    ]
    rest += [(f"trim: {board}", None) for board in plan.boards_of(each, look.name)]
    pages: list[list[Mark]] = []
    while rest or not pages:
        columns = max(1, int(room.width // 80))
        rows = max(1, int(room.height // ROW_MM))
        shown, rest = rest[: rows * columns], rest[rows * columns :]
        marks: list[Mark] = []
        width = room.width / columns
        for place, (words, area) in enumerate(shown):
            x, y = room.left + place // rows * width, room.top + place % rows * ROW_MM
            box = Box(x, y, x + width - (6 if columns > 1 else 0), y + ROW_MM)
            marks += section_row(words, area, coats, box)
        pages.append(marks)
        room = room_of(_sheet(plan, each))
    return pages
