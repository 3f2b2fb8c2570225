"""A scheme on one sheet: the wall in both lights, and below it each paint with its sections."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.brief import Outcome, draw_under
from palette.preview import Preview
from palette.preview.canvas import Canvas, Colour
from palette.preview.sheet import INK, PAPER, QUIET
from palette.preview.tone import screen_colours

__all__ = ["draw_scheme_sheet"]

_WIDTH = 1000
_MARGIN, _LINE, _TEXT = 14.0, 26.0, 14.0
_CHIP = 30.0


def draw_scheme_sheet(outcome: Outcome, *, told: str) -> Preview:
    """Return the sheet; `told` is a line at its foot."""
    light = "both" if len(outcome.brief.lights) > 1 else outcome.brief.lights[0].id
    wall = draw_under(outcome, light, width_px=_WIDTH)
    return Preview(
        image=np.concatenate([wall.image, _draw_legend(outcome, told)], axis=0),
        mm_per_px=wall.mm_per_px,
        light=wall.light,
    )


def _draw_legend(outcome: Outcome, told: str) -> np.ndarray:
    """Return the legend in two columns, drawn with a pixel for a millimetre."""
    sections: dict[str, list[str]] = {paint.id: [] for paint in outcome.brief.paints}
    for section, paint in outcome.scheme.paint_of.items():
        sections[paint].append(section)
    used = [paint for paint, names in sections.items() if names]
    rows = -(-len(used) // 2)
    canvas = Canvas(_WIDTH, 2 * _MARGIN + (rows + 1) * _LINE, width_px=_WIDTH, background=PAPER)
    room = (_WIDTH - 3 * _MARGIN) / 2
    colours = _colours_of(outcome)
    for number, paint in enumerate(used):
        left = _MARGIN + (number // rows) * (room + _MARGIN)
        middle = _MARGIN + (number % rows + 0.5) * _LINE
        _row(canvas, paint, sections[paint], colours[paint], left=left, middle=middle, room=room)
    foot = _MARGIN + (rows + 0.5) * _LINE
    size = min(_TEXT, _TEXT * (_WIDTH - 2 * _MARGIN) / canvas.text_width_mm(told, _TEXT))
    canvas.write(told, (_MARGIN, foot), INK, height_mm=size, anchor="lm")
    return canvas.finish()


def _colours_of(outcome: Outcome) -> dict[str, list[Colour]]:
    table = outcome.survey.appearance
    found: dict[str, list[Colour]] = {paint: [] for paint in table.paints}
    for light in dict.fromkeys((outcome.brief.lights[0].id, outcome.brief.lights[-1].id)):
        column = table.light_index(light)
        screen = screen_colours(table.xyz[:, column], white=table.white_xyz[column])
        for paint, (red, green, blue) in zip(table.paints, screen.tolist(), strict=True):
            found[paint].append((red, green, blue))
    return found


def _row(
    canvas: Canvas, paint: str, names: Sequence[str], colours: Sequence[Colour], *,
    left: float, middle: float, room: float,
) -> None:  # fmt: skip
    from shapely import box

    for colour in colours:
        canvas.fill(box(left, middle - 0.38 * _LINE, left + _CHIP, middle + 0.38 * _LINE), colour)
        left += _CHIP
        room -= _CHIP
    left, room = left + 0.5 * _TEXT, room - 0.5 * _TEXT
    canvas.write(paint, (left, middle), INK, height_mm=_TEXT, anchor="lm")
    along = canvas.text_width_mm(paint, _TEXT) + 0.7 * _TEXT
    listed = _as_many_as_fit(canvas, names, room - along)
    canvas.write(listed, (left + along, middle), QUIET, height_mm=_TEXT - 2, anchor="lm")


def _as_many_as_fit(canvas: Canvas, names: Sequence[str], room: float) -> str:
    for count in range(len(names), 0, -1):
        more = len(names) - count
        told = ", ".join(names[:count]) + (f" and {more} more" if more else "")
        if canvas.text_width_mm(told, _TEXT - 2) <= room:
            return told
    return f"{len(names)} sections"
