"""The swatch card: every paint in each light, in one to four coats, over white, wood and black."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.coat_table import CoatTable
from palette.colour import Array
from palette.light import Light
from palette.likeness import DEFAULT_MIN_DIFFERENCE
from palette.preview.canvas import Canvas, Colour, Preview
from palette.preview.sheet import INK, PAPER, QUIET, RULE
from palette.preview.tone import screen_colours
from palette.swatch_study import SwatchStudy

__all__ = ["draw_swatch_card"]

# The card is laid out in millimetres of an A3 sheet's width.
_WIDTH, _MARGIN = 420.0, 12.0
_NAME, _ADVICE, _SPACE = 78.0, 36.0, 7.0
_ROW, _ROW_GAP = 21.0, 2.6
_TEXT, _SMALL, _TITLE = 4.5, 3.7, 9.0
_CELL = 8.6

_NIGHT: Colour = (9, 8, 13)
_DAY: Colour = (226, 224, 218)
_TWINS: Colour = (196, 30, 58)
_ONE_HUE: Colour = (238, 176, 84)
_APART: Colour = (232, 229, 222)
_WHITE: Colour = (255, 255, 255)
_MOST_SENTENCES = 10


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where things stand on the card, mm."""

    blocks: tuple[float, ...]
    block_width: float
    matrices: tuple[tuple[float, float], ...]
    table_top: float
    matrix_top: float
    matrix_side: float
    words_top: float
    height: float


def draw_swatch_card(study: SwatchStudy, *, width_px: int = 2400) -> Preview:
    """Return the card as a picture.

    For each paint and light a block: one to four coats from left to right, over white, bare wood
    and black from top to bottom, with a bar for its brightness beside the brightest paint's. Below,
    CIEDE2000 between all pairs under each light, twins in red and pairs of one hue in amber; then
    the findings in words.

    Parameters
    ----------
    study : SwatchStudy
    width_px : int
        300 to 8192.

    Returns
    -------
    Preview

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    plan = _plan(study)
    canvas = Canvas(_WIDTH, plan.height, width_px=width_px, background=PAPER)
    _head(canvas, study, plan)
    for row in range(len(study.paints)):
        _paint_row(canvas, study, plan, row)
    for column in range(len(plan.matrices)):
        _matrix(canvas, study, plan, column)
    _words(canvas, study, plan)
    lights = ", ".join(light.id for light in study.lights)
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light=lights)


def _plan(study: SwatchStudy) -> _Plan:
    lights, paints = len(study.lights), len(study.paints)
    room = _WIDTH - 2 * _MARGIN - _NAME - _ADVICE
    pitch = room / lights
    block_width = min(92.0, pitch - _SPACE)
    blocks = tuple(_MARGIN + _NAME + pitch * k for k in range(lights))
    table_top = 44.0
    matrix_top = table_top + paints * (_ROW + _ROW_GAP) + 16.0
    side = _CELL * (paints + 1)
    across = max(1, int((_WIDTH - 2 * _MARGIN + 6.0) // (side + 6.0)))
    places = tuple(
        (_MARGIN + (k % across) * (side + 6.0), matrix_top + (k // across) * (side + 14.0))
        for k in range(lights)
    )
    if paints < 2:
        places = ()  # nothing to compare
    words_top = places[-1][1] + side + 14.0 if places else matrix_top
    sentences = min(len(study.lookalikes), _MOST_SENTENCES) + 1
    sentences += len(study.brightest_first) + 1 if paints > 1 else 0
    return _Plan(
        blocks=blocks,
        block_width=block_width,
        matrices=places,
        table_top=table_top,
        matrix_top=matrix_top,
        matrix_side=side,
        words_top=words_top,
        height=words_top + sentences * 6.0 + 10.0,
    )


def _head(canvas: Canvas, study: SwatchStudy, plan: _Plan) -> None:
    canvas.write("Swatch card", (_MARGIN, 14.0), INK, height_mm=_TITLE, anchor="lm")
    told = "1 to 4 coats from left to right; over white, bare wood and black from top to bottom"
    canvas.write(told, (_MARGIN, 24.0), QUIET, height_mm=_SMALL, anchor="lm")
    y = plan.table_top - 6.0
    for x, light in zip(plan.blocks, study.lights, strict=True):
        size = _fitting(canvas, light.id, plan.block_width, _TEXT + 0.6)
        canvas.write(light.id, (x, y), INK, height_mm=size, anchor="lm")
    x = _WIDTH - _MARGIN - _ADVICE
    canvas.write("coats: even | enough", (x, y), QUIET, height_mm=_SMALL, anchor="lm")


def _fitting(canvas: Canvas, text: str, room: float, largest: float) -> float:
    """Return the height at which a line fits its room, mm."""
    return min(largest, largest * room / max(canvas.text_width_mm(text, largest), 1e-6))


def _paint_row(canvas: Canvas, study: SwatchStudy, plan: _Plan, row: int) -> None:
    paint = study.paints[row]
    top = plan.table_top + row * (_ROW + _ROW_GAP)
    middle = top + _ROW / 2
    _name(canvas, f"{row + 1}", paint.id, middle)
    for column, light in enumerate(study.lights):
        x = plan.blocks[column]
        _block(canvas, study.table, row, column, light, x=x, top=top, width=plan.block_width - 9.0)
        share = float(study.appearance.relative_luminance(light.id)[row])
        _brightness(canvas, share, x=x + plan.block_width - 7.0, top=top)
    x = _WIDTH - _MARGIN - _ADVICE
    told = next((advice for advice in study.advice if advice.paint == paint.id), None)
    if told is None:
        canvas.write("measured surface", (x, middle), QUIET, height_mm=_SMALL, anchor="lm")
        return
    even = "6+" if told.even_from is None else str(told.even_from)
    enough = "6+" if told.enough_at is None else str(told.enough_at)
    canvas.write(f"{even}  |  {enough}", (x, middle), INK, height_mm=_TEXT + 0.6, anchor="lm")


def _name(canvas: Canvas, number: str, name: str, y: float) -> None:
    canvas.write(number, (_MARGIN + 5.0, y), QUIET, height_mm=_TEXT, anchor="rm")
    room = _NAME - 14.0
    size = _fitting(canvas, name, room, _TEXT + 0.4)
    if size >= 0.75 * _TEXT or " " not in name:
        canvas.write(name, (_MARGIN + 8.0, y), INK, height_mm=size, anchor="lm")
        return
    words = name.split()
    cut = min(range(1, len(words)), key=lambda k: max(len(" ".join(words[:k])), len(" ".join(words[k:]))))
    for line, shift in ((" ".join(words[:cut]), -2.6), (" ".join(words[cut:]), 2.6)):
        canvas.write(line, (_MARGIN + 8.0, y + shift), INK, height_mm=_TEXT + 0.2, anchor="lm")


def _block(
    canvas: Canvas,
    table: CoatTable,
    row: int,
    column: int,
    light: Light,
    *,
    x: float,
    top: float,
    width: float,
) -> None:
    from shapely import box

    field = _NIGHT if light.kind == "blacklight" else _DAY
    canvas.fill(box(x, top, x + width, top + _ROW), field)
    colours = screen_colours(table.xyz[row, column], white=table.white_xyz[column])
    coats, grounds = colours.shape[:2]
    inset, gap = 1.2, 0.8
    wide = (width - 2 * inset + gap) / coats - gap
    # The ground that is meant to be painted on gets half of the height.
    shares = np.array([2.0, *([1.0] * (grounds - 1))])
    heights = shares / shares.sum() * (_ROW - 2 * inset - gap * (grounds - 1))
    for coat in range(coats):
        left, y = x + inset + coat * (wide + gap), top + inset
        for ground in range(grounds):
            red, green, blue = (int(v) for v in colours[coat, ground])
            canvas.fill(box(left, y, left + wide, y + heights[ground]), (red, green, blue))
            y += heights[ground] + gap


def _brightness(canvas: Canvas, share: float, *, x: float, top: float) -> None:
    from shapely import box

    canvas.fill(box(x, top, x + 2.0, top + _ROW), RULE)
    canvas.fill(box(x, top + _ROW * (1 - min(share, 1.0)), x + 2.0, top + _ROW), INK)


def _matrix(canvas: Canvas, study: SwatchStudy, plan: _Plan, column: int) -> None:
    from shapely import box

    light = study.lights[column].id
    x, y = plan.matrices[column]
    title = f"CIEDE2000 under {light}"
    size = _fitting(canvas, title, plan.matrix_side, _TEXT)
    canvas.write(title, (x, y - 4.0), INK, height_mm=size, anchor="lm")
    table: Array = study.appearance.differences(light)
    alike = {names for pair in study.lookalikes if dict(pair.alike)[light]
             for names in ((pair.a, pair.b), (pair.b, pair.a))}  # fmt: skip
    count = len(study.paints)
    for p in range(count):
        centre = (p + 1.5) * _CELL
        canvas.write(f"{p + 1}", (x + centre, y + _CELL / 2), QUIET, height_mm=_SMALL)
        canvas.write(f"{p + 1}", (x + _CELL / 2, y + centre), QUIET, height_mm=_SMALL)
        for q in range(count):
            if p == q:
                continue
            value = float(table[p, q])
            left, upper = x + (q + 1) * _CELL, y + (p + 1) * _CELL
            twins = (study.paints[p].id, study.paints[q].id) in alike
            colour, ink = (_APART, QUIET) if not twins else _marked(value)
            canvas.fill(box(left + 0.2, upper + 0.2, left + _CELL - 0.2, upper + _CELL - 0.2), colour)
            at = (left + _CELL / 2, upper + _CELL / 2)
            canvas.write(f"{value:.0f}", at, ink, height_mm=_SMALL)


def _marked(value: float) -> tuple[Colour, Colour]:
    return (_TWINS, _WHITE) if value < DEFAULT_MIN_DIFFERENCE else (_ONE_HUE, INK)


def _words(canvas: Canvas, study: SwatchStudy, plan: _Plan) -> None:
    lines: list[tuple[str, Colour]] = []
    for pair in study.lookalikes[:_MOST_SENTENCES]:
        lines.append((f"{pair.sentence()}.", _TWINS))
    more = len(study.lookalikes) - _MOST_SENTENCES
    if more > 0:
        lines.append((f"and {more} more pairs that look alike under one of the lights.", _TWINS))
    if not study.lookalikes and len(study.paints) > 1:
        lines.append(("No two paints look alike under any of these lights.", INK))
    for light, order in study.brightest_first if len(study.paints) > 1 else ():
        numbers = {paint.id: k + 1 for k, paint in enumerate(study.paints)}
        listed = " > ".join(str(numbers[name]) for name in order)
        lines.append((f"Brightness under {light}: {listed}", INK))
    lines.append(
        ("Even: from so many coats a film a fifth too thin or thick is not noticed. "
         "Enough: one coat more changes nothing that is seen.", QUIET)
    )  # fmt: skip
    room = _WIDTH - 2 * _MARGIN
    for number, (line, colour) in enumerate(lines):
        size = _fitting(canvas, line, room, _TEXT)
        canvas.write(line, (_MARGIN, plan.words_top + 6.0 * number), colour, height_mm=size, anchor="lm")
