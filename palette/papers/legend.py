"""The key of a map: every can with its number, pattern and both looks; what the lines mean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from palette.papers.drawing import JOINT, TRIM
from palette.papers.looks import CanLook
from palette.papers.marks import Area, Box, Lines, Mark, Words, area_of, fit_words, rectangle
from palette.papers.patterns import pattern_marks
from palette.plan import PaintedPanel, Plan

__all__ = ["CAN_MM", "COLUMN_MM", "can_key", "cans_height", "line_key", "line_key_height", "swatch"]

COLUMN_MM = 72.0
CAN_MM = 14.6
LINE_MM = 5.4


def can_key(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook], room: Box) -> list[Mark]:
    """Return the cans this panel needs, down one column after another."""
    marks: list[Mark] = []
    paints = cans_on(plan, each)
    rows = max(1, int(room.height // CAN_MM))
    for place, paint in enumerate(paints):
        left = room.left + place // rows * COLUMN_MM
        top = room.top + place % rows * CAN_MM
        look = looks[paint]
        fields = [s for s in each.panel.ids if each.scheme.paint_of[s] == paint]
        need = plan.need_of(paint)
        litres = sum(each.areas.sections[s] for s in fields)
        coats = need.coats if need else 0
        amount = (
            litres * coats / need.spread_m2_per_l * (1 + need.waste)
            if need and need.spread_m2_per_l
            else 0.0
        )
        marks.append(
            Words(x=left + 9.5, y=top + 8.6, text=str(look.number), size_pt=20, bold=True, anchor="end")
        )
        marks += swatch(look, left + 11.0, top + 0.6, width=11.5)
        width = COLUMN_MM - 25
        name, size = fit_words(look.name, width, 10.5, bold=True)
        x = left + 24.5
        marks.append(Words(x=x, y=top + 3.9, text=name, size_pt=size, bold=True))
        told, size = fit_words(f"{look.by_day}, glows {look.glows}", width, 9)
        marks.append(Words(x=x, y=top + 8.1, text=told, size_pt=size))
        told, size = fit_words(
            f"{count_words(len(fields), 'section')}, {coats} coats, {amount:.2f} L", width, 9
        )
        marks.append(Words(x=x, y=top + 12.2, text=told, size_pt=size))
    return marks


def cans_on(plan: Plan, each: PaintedPanel) -> Sequence[str]:
    """Return the paints a panel needs, in the order of their numbers."""
    return [paint.id for paint in plan.paints if plan.uses(each, paint.id)]


def count_words(count: int, noun: str) -> str:
    """Return "1 field" or "3 fields"."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def cans_height(count: int, width: float) -> float:
    """Return how high a key of so many cans is in a room of this width."""
    columns = max(1, int(width // COLUMN_MM))
    return -(-count // columns) * CAN_MM


def swatch(
    look: CanLook, left: float, top: float, *, width: float = 14.0, height: float = 12.6
) -> list[Mark]:
    """Return a can's daylight look with its pattern above its blacklight look on black."""
    import shapely

    day = shapely.box(left, top, left + width, top + height * 0.52)
    marks: list[Mark] = [area_of(day, fill=look.daylight, width_pt=0.6)]
    marks += pattern_marks(day, look.number, ink=look.ink)
    below = top + height * 0.52
    marks.append(Area(rings=(rectangle(left, below, width, height * 0.48),), fill="#000000", width_pt=0.6))
    glow = rectangle(left + 1.4, below + 1.2, width - 2.8, height * 0.48 - 2.4)
    marks.append(Area(rings=(glow,), fill=look.blacklight, stroke=None))
    return marks


def line_key(plan: Plan, each: PaintedPanel, left: float, top: float) -> list[Mark]:
    """Return what the lines and greys of the map mean, one under the other."""
    marks: list[Mark] = []
    for row, (kind, text) in enumerate(_kinds(plan, each).items()):
        y = top + row * LINE_MM
        marks += _sample(kind, left, y)
        marks.append(Words(x=left + 15.5, y=y + 3.4, text=fit_words(text, COLUMN_MM - 17, 9)[0]))
    return marks


def line_key_height(plan: Plan, each: PaintedPanel) -> float:
    """Return how high `line_key` is, mm."""
    return LINE_MM * len(_kinds(plan, each))


def _kinds(plan: Plan, each: PaintedPanel) -> dict[str, str]:
    """Return the kinds of line on this map, each with its words."""
    panel, surface = each.panel, plan.settings.surface
    found = {}
    if each.areas.gaps > 1e-4:
        found["joint"] = "black joint"
    if each.areas.line_m:
        found["joint"] = f"black joint, lines {surface.line_mm:g} mm wide"
    if panel.hatch is not None:
        found["hatch"] = "service hatch"
    if any(feature.role == "trim" for feature in panel.features):
        found["trim"] = f"trim: {surface.trim_paint}"
    if any(feature.role == "void" for feature in panel.features):
        found["void"] = "opening: keep clear"
    if surface.seams_x_mm:
        found["seam"] = "joint between sheets"
    found["grid"] = "grid 25 cm, figures in cm" if plan.settings.paper.grid == "25 cm" else "grid 1 foot"
    return found


def _sample(kind: str, x: float, y: float) -> list[Mark]:
    level = np.array([[x, y + 2.2], [x + 13, y + 2.2]])
    if kind == "grid":
        return [Lines(paths=(level,), stroke="#555555", width_pt=0.5, dash_pt=(1, 2))]
    if kind == "seam":
        return [Lines(paths=(level,), width_pt=1.1, dash_pt=(8, 2, 1, 2))]
    fill = {"joint": JOINT, "trim": TRIM}.get(kind, "#ffffff")
    ring = rectangle(x, y + 0.4, 13, 3.6)
    if kind == "hatch":
        return [Area(rings=(ring,), fill=fill, width_pt=1.8, dash_pt=(5, 3))]
    marks: list[Mark] = [Area(rings=(ring,), fill=fill, width_pt=0.6)]
    if kind == "void":
        marks.append(Lines(paths=(ring[[0, 2]], ring[[1, 3]])))
    return marks
