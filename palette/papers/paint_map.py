"""The paint map: the whole panel with every section's can, closer views where it is crowded."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from palette.papers.drawing import (
    BOTTOM_RULER_MM,
    LEFT_RULER_MM,
    TOP_LINE_MM,
    draw_panel,
    neighbour_words,
    ruler_marks,
    scale_bar,
)
from palette.papers.furniture import frame_page, room_of
from palette.papers.labelled_views import LabelledView, label_in_full, label_view, whole_window
from palette.papers.labelling import label_marks
from palette.papers.legend import COLUMN_MM, can_key, cans_height, cans_on, line_key, line_key_height
from palette.papers.looks import CanLook
from palette.papers.marks import Box, Mark, Page
from palette.papers.sheet import Sheet, sheet_of
from palette.papers.views import View, view_in
from palette.plan import PaintedPanel, Plan

__all__ = ["map_pages", "scale_remark"]

SCALE_BAR_MM = 8.0
MOST_PARTS = 4
"""A panel is cut into at most 4 × 4 closer views: more pages are not leafed through."""
FEW_IN_MARGINS = 2
"""Labels beside a closer view on average; more of them make the drawing small."""


def map_pages(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook]) -> list[Page]:
    """Return the map of one panel: the whole, then closer views if some sections are too small."""
    sheet = _best_sheet(plan, each)
    room, key_room = _split(plan, each, sheet)
    panel = each.panel
    numbers = {section: str(plan.can_number[each.scheme.paint_of[section]]) for section in panel.ids}
    whole = label_view(each, plan, whole_window(each), room, short=numbers)
    pages = [_page(plan, each, looks, sheet, whole, key_room, "")]
    if whole.unnamed:
        closer = _closer_views(plan, each, room, whole.unnamed)
        pages += [_page(plan, each, looks, sheet, view, key_room, name) for name, view in closer]
    return pages


def _closer_views(
    plan: Plan, each: PaintedPanel, room: Box, unnamed: Collection[str]
) -> list[tuple[str, LabelledView]]:
    """Return the fewest closer views that name all of some sections inside them, or nearly so."""
    views: list[tuple[str, LabelledView]] = []
    for parts in range(2, MOST_PARTS + 1):
        views = [
            (name, label_in_full(each, plan, window, room, wanted=sections))
            for name, window, sections in _windows(each, parts)
            if not set(sections).isdisjoint(unnamed)
        ]
        if sum(len(view.unnamed) for _, view in views) <= FEW_IN_MARGINS * len(views):
            break
    return views


def scale_remark(plan: Plan, each: PaintedPanel) -> str:
    """Return a sentence if the wanted scale does not fit the paper, else nothing."""
    paper, panel = plan.settings.paper, each.panel
    room, _ = _split(plan, each, _best_sheet(plan, each))
    inner = (room.width - LEFT_RULER_MM, room.height - TOP_LINE_MM - BOTTOM_RULER_MM)
    view = view_in(whole_window(each), Box(0, 0, *inner), wanted=paper.scale)
    if paper.scale is None or view.scale == paper.scale:
        return ""
    wide, high = panel.width_mm / paper.scale, panel.height_mm / paper.scale
    return (
        f"{panel.name}: at 1 : {paper.scale:g} it needs {wide:.0f} × {high:.0f} mm, and {paper.size} has "
        f"{inner[0]:.0f} × {inner[1]:.0f} mm for it; drawn at 1 : "
        f"{view.scale:g} instead, use larger paper for the wanted scale."
    )


def _size_words(each: PaintedPanel, plan: Plan) -> str:
    """Return the panel's size as its builder says it."""
    panel = each.panel
    if plan.settings.paper.grid == "1 ft":
        return f"{_feet(panel.width_mm)} × {_feet(panel.height_mm)}"
    return f"{panel.width_mm / 1000:.3g} × {panel.height_mm / 1000:.3g} m"


def _best_sheet(plan: Plan, each: PaintedPanel) -> Sheet:
    """Return the page turned the way that draws the panel larger."""
    upright = sheet_of(plan.settings.paper.size)
    rooms = {sheet: _split(plan, each, sheet)[0] for sheet in (upright, upright.sideways)}
    panel = each.panel
    return max(rooms, key=lambda s: min(rooms[s].width / panel.width_mm, rooms[s].height / panel.height_mm))


def _split(plan: Plan, each: PaintedPanel, sheet: Sheet) -> tuple[Box, Box]:
    """Return the rooms of the drawing and of the key: beside it on a wide page, else below it."""
    room = room_of(sheet)
    count = len(cans_on(plan, each))
    lines = line_key_height(plan, each) + SCALE_BAR_MM
    if sheet.width_mm > sheet.height_mm:
        columns = 1 if cans_height(count, COLUMN_MM) + lines + 4 <= room.height else 2
        left = room.right - columns * COLUMN_MM
        return Box(room.left, room.top, left - 4, room.bottom), Box(
            left, room.top + 3, room.right, room.bottom
        )
    width = room.width - COLUMN_MM
    height = max(cans_height(count, width), lines + 2) + 2
    top = room.bottom - height
    return Box(room.left, room.top, room.right, top - 2), Box(room.left, top, room.right, room.bottom)


def _page(
    plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook], sheet: Sheet, labelled: LabelledView,
    key_room: Box, part: str,
) -> Page:  # fmt: skip
    settings = plan.settings
    view = labelled.view
    marks: list[Mark] = draw_panel(
        each,
        view,
        looks,
        paints=looks.keys(),
        surface=settings.surface,
        grid=settings.paper.grid,
    )
    marks += ruler_marks(each.panel, view, settings.paper.grid)
    marks += neighbour_words(each, view.frame)
    marks += label_marks(labelled.labels)
    marks += _key(plan, each, looks, sheet, key_room, view)
    where = f"closer view {part}, " if part else ""
    small = (
        f" · {len(labelled.unnamed)} small sections by can only, named in closer views"
        if labelled.unnamed and not part
        else ""
    )
    order = ", ".join(str(plan.can_number[paint.id]) for paint in plan.painting_order(each))
    detail = (
        f"paint map · {where}{_size_words(each, plan)} · scale 1 : {view.scale:g}{small} · paint cans in "
        f"the order {order}"
    )
    return frame_page(sheet, title=each.panel.name, detail=detail, edition=each.edition, marks=marks)


def _key(
    plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook], sheet: Sheet, room: Box, view: View
) -> list[Mark]:
    lines = line_key_height(plan, each)
    if sheet.width_mm > sheet.height_mm:
        cans = Box(room.left, room.top, room.right, room.bottom - lines - SCALE_BAR_MM - 2)
        left, top = room.left + 2, room.bottom - lines - SCALE_BAR_MM
    else:
        cans = Box(room.left, room.top, room.right - COLUMN_MM, room.bottom)
        left, top = room.right - COLUMN_MM + 8, room.top + 1
    marks = can_key(plan, each, looks, cans)
    marks += line_key(plan, each, left, top)
    marks += scale_bar(left, top + lines + 0.6, view.scale, plan.settings.paper.grid)
    return marks


def _windows(each: PaintedPanel, parts: int) -> list[tuple[str, Box, list[str]]]:
    """Return named windows, with a rim so that neighbours show, and the sections at home in each."""
    panel = each.panel
    wide, high = panel.width_mm / parts, panel.height_mm / parts
    home: dict[tuple[int, int], list[str]] = {}
    for section in panel.sections:
        point = section.outline.representative_point()
        cell = (min(parts - 1, int(point.y / high)), min(parts - 1, int(point.x / wide)))
        home.setdefault(cell, []).append(section.id)
    found = []
    for (row, column), fields in sorted(home.items()):
        reach = [panel.section(field).outline.bounds for field in fields]
        window = Box(
            max(0.0, min(column * wide, *(b[0] for b in reach))),
            max(0.0, min(row * high, *(b[1] for b in reach))),
            min(panel.width_mm, max((column + 1) * wide, *(b[2] for b in reach))),
            min(panel.height_mm, max((row + 1) * high, *(b[3] for b in reach))),
        )
        found.append((f"{chr(ord('A') + row)}{column + 1}", window, fields))
    return found


def _feet(mm: float) -> str:
    inches = round(mm / 25.4 * 8) / 8
    feet, rest = divmod(inches, 12)
    return f"{feet:.0f}' {rest:g}\"" if rest else f"{feet:.0f}'"
