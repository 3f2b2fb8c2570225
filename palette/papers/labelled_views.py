"""A window of a panel with every section's label: inside it, or in the margins beside the drawing."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from palette.papers.drawing import BOTTOM_RULER_MM, LEFT_RULER_MM, TOP_LINE_MM, outlines_on_page
from palette.papers.labelling import Label, label_inside, labels_in_margins, margin_width
from palette.papers.marks import Box, fit_words
from palette.papers.sheet import LEAST_PT
from palette.papers.views import View, view_in
from palette.plan import PaintedPanel, Plan

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["LabelledView", "label_view", "whole_window"]

MOST_MARGIN_MM = 54.0
LEAST_DRAWING_MM = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelledView:
    """A view with the labels it could place, and the sections it could not."""

    view: View
    labels: tuple[Label, ...]
    unplaced: tuple[str, ...]


def whole_window(each: PaintedPanel) -> Box:
    """Return the window that shows the whole face."""
    return Box(0.0, 0.0, each.panel.width_mm, each.panel.height_mm)


def label_view(
    each: PaintedPanel,
    plan: Plan,
    window: Box,
    room: Box,
    *,
    wanted: Collection[str],
    least: Literal["name", "number"] = "name",
) -> LabelledView:
    """Return a window of the panel in a room of the page, with the labels of the wanted sections.

    Labels that fit in no section go to the margins, for which the drawing is made smaller; if
    the margins cannot hold them all, they stay unplaced.
    """
    inner = Box(
        room.left + LEFT_RULER_MM, room.top + TOP_LINE_MM, room.right, room.bottom - BOTTOM_RULER_MM
    )
    view = view_in(window, inner, wanted=plan.settings.paper.scale)
    labels, rest = _inside(each, plan, view, wanted, least)
    if not rest:
        return LabelledView(view=view, labels=tuple(labels), unplaced=())
    beside = _with_margins(each, plan, window, inner, wanted, least)
    return beside or LabelledView(view=view, labels=tuple(labels), unplaced=tuple(rest))


def _with_margins(
    each: PaintedPanel, plan: Plan, window: Box, inner: Box, wanted: Collection[str],
    least: Literal["name", "number"],
) -> LabelledView | None:  # fmt: skip
    """Return the view made smaller for labels on both sides, or None if that does not help."""
    side = 0.0
    while True:
        narrow = Box(inner.left + side, inner.top, inner.right - side, inner.bottom)
        if narrow.width < LEAST_DRAWING_MM:
            return None
        view = view_in(window, narrow, wanted=plan.settings.paper.scale)
        inside, small = _inside(each, plan, view, wanted, least)
        # A smaller drawing puts more labels in the margins, which may be longer ones.
        texts = {section: _text(each, plan, section) for section in small}
        needed = margin_width(list(texts.values()))
        if needed <= side:
            break
        side = needed
    frame = view.frame
    columns = ((frame.left - LEFT_RULER_MM - 1.5, "end"), (frame.right + 3.0, "start"))
    asked = {section: (texts[section], outline) for section, outline in small.items()}
    margins = labels_in_margins(asked, frame, columns)
    if margins is None:
        return None
    return LabelledView(view=view, labels=(*inside, *margins), unplaced=())


def _inside(
    each: PaintedPanel, plan: Plan, view: View, wanted: Collection[str], least: Literal["name", "number"]
) -> tuple[list[Label], dict[str, Geometry]]:
    labels, rest = [], {}
    numbers = plan.can_number
    for section, outline in outlines_on_page(each.panel, view).items():
        if section not in wanted:
            continue
        shape = max(getattr(outline, "geoms", [outline]), key=lambda part: part.area)
        label = label_inside(section, str(numbers[each.scheme.paint_of[section]]), shape, least=least)
        if label is None:
            rest[section] = shape
        else:
            labels.append(label)
    return labels, rest


def _text(each: PaintedPanel, plan: Plan, section: str) -> str:
    words = f"{plan.can_number[each.scheme.paint_of[section]]} · {section}"
    return fit_words(words, MOST_MARGIN_MM, LEAST_PT, bold=True)[0]
