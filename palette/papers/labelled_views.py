"""A window of a panel with a label for every section.

In the section itself where number and name fit; else a short text there (the can's number, or a
letter that a list explains); else the same in the margin with a leader.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

from palette.papers.drawing import BOTTOM_RULER_MM, LEFT_RULER_MM, TOP_LINE_MM, outlines_on_page
from palette.papers.labelling import Label, label_inside, label_short, labels_in_margins, margin_width
from palette.papers.marks import Box, fit_words
from palette.papers.sheet import LEAST_PT
from palette.papers.views import View, view_in
from palette.plan import PaintedPanel, Plan

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["LabelledView", "label_in_full", "label_view", "whole_window"]

MOST_MARGIN_MM = 54.0
LEAST_DRAWING_MM = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelledView:
    """A view with its labels; `unnamed` are sections whose label lacks the name, or that have none."""

    view: View
    labels: tuple[Label, ...]
    unnamed: tuple[str, ...] = field(default=())


def whole_window(each: PaintedPanel) -> Box:
    """Return the window that shows the whole face."""
    return Box(0.0, 0.0, each.panel.width_mm, each.panel.height_mm)


def label_view(
    each: PaintedPanel, plan: Plan, window: Box, room: Box, *, short: Mapping[str, str],
    view_of: Callable[[Box, Box], View] | None = None,
) -> LabelledView:  # fmt: skip
    """Return a window of the panel in a room of the page with a label for each section of `short`.

    Parameters
    ----------
    short : mapping
        Section to the text that stands for it where its name does not fit.
    view_of : callable, optional
        Chooses the scale of a window in a room; a usual scale, or the plan's, where left out.
    """
    view_of = view_of or partial(view_in, wanted=plan.settings.paper.scale)
    return _widen(each, plan, window, room, short, texts=short, view_of=view_of)


def label_in_full(
    each: PaintedPanel, plan: Plan, window: Box, room: Box, *, wanted: Collection[str]
) -> LabelledView:
    """Return a window whose wanted sections are all named, in the margins where there is no room inside.

    `unnamed` counts those in the margins too: a closer view would hold them inside.
    """
    texts = {section: _in_full(each, plan, section) for section in wanted}
    view_of = partial(view_in, wanted=plan.settings.paper.scale)
    return _widen(each, plan, window, room, dict.fromkeys(wanted, ""), texts=texts, view_of=view_of)


def _widen(
    each: PaintedPanel, plan: Plan, window: Box, room: Box, short: Mapping[str, str],
    texts: Mapping[str, str], view_of: Callable[[Box, Box], View],
) -> LabelledView:  # fmt: skip
    """Make the drawing smaller until the margins hold what does not fit inside."""
    inner = Box(
        room.left + LEFT_RULER_MM, room.top + TOP_LINE_MM, room.right, room.bottom - BOTTOM_RULER_MM
    )
    side = 0.0
    while True:
        narrow = Box(inner.left + side, inner.top, inner.right - side, inner.bottom)
        view = view_of(window, narrow)
        inside, unnamed, small = _inside(each, plan, view, short)
        # A smaller drawing puts more labels in the margins, which may be longer ones.
        needed = margin_width([texts[section] for section in small])
        if not small or needed <= side:
            break
        if inner.width - 2 * needed < LEAST_DRAWING_MM:
            return LabelledView(view=view, labels=tuple(inside), unnamed=(*unnamed, *small))
        side = needed
    frame = view.frame
    columns = ((frame.left - LEFT_RULER_MM - 1.5, "end"), (frame.right + 3.0, "start"))
    asked = {section: (texts[section], outline) for section, outline in small.items()}
    margins = labels_in_margins(asked, frame, columns) or []
    return LabelledView(view=view, labels=(*inside, *margins), unnamed=(*unnamed, *small))


def _inside(
    each: PaintedPanel, plan: Plan, view: View, short: Mapping[str, str]
) -> tuple[list[Label], list[str], dict[str, Geometry]]:
    """Return labels inside their sections, which of them lack the name, and the sections without."""
    labels: list[Label] = []
    unnamed: list[str] = []
    rest: dict[str, Geometry] = {}
    numbers = plan.can_number
    for section, outline in outlines_on_page(each.panel, view).items():
        if section not in short:
            continue
        shape = max(getattr(outline, "geoms", [outline]), key=lambda part: part.area)
        label = label_inside(section, str(numbers[each.scheme.paint_of[section]]), shape)
        if label is None and short[section]:
            label = label_short(section, short[section], shape)
            if label is not None:
                unnamed.append(section)
        if label is None:
            rest[section] = shape
        else:
            labels.append(label)
    return labels, unnamed, rest


def _in_full(each: PaintedPanel, plan: Plan, section: str) -> str:
    words = f"{plan.can_number[each.scheme.paint_of[section]]} · {section}"
    return fit_words(words, MOST_MARGIN_MM, LEAST_PT, bold=True)[0]
