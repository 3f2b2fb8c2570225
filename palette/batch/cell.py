"""One job on the contact sheet: its pictures, and a few words below them."""

from __future__ import annotations

from collections.abc import Sequence

from palette.batch.telling import Caption
from palette.papers.marks import (
    Area,
    Box,
    Mark,
    Picture,
    Words,
    fit_words,
    rectangle,
    text_width,
    wrap_words,
)
from palette.papers.sheet import LEAST_PT, MM_PER_PT

__all__ = ["caption_height", "fill_cell", "needed_height", "place_pictures"]

_BETWEEN_MM = 0.8
"""Between the two lights of one wall."""
_NAME_PT = 10.0
_LINE_MM = LEAST_PT * MM_PER_PT * 1.22
_RIM_MM = 1.5
_SENTENCE_MM = 26.0
"""Room for a sentence where there is no picture."""
_INK, _SOFT, _RED = "#000000", "#4a4a4a", "#96000e"
_FRAME, _BLANK = "#8a857b", "#f4f1ea"


def caption_height(captions: Sequence[Caption], width: float) -> float:
    """Return the room, mm, that every caption has: a line more where a name needs two."""
    longest = max((text_width(caption.name, _NAME_PT, bold=True) for caption in captions), default=0.0)
    return (4 if longest > width else 3) * _LINE_MM + 2.0


def fill_cell(
    space: Box, caption: Caption, pictures: Sequence[bytes], shapes: Sequence[float], *, instead: str
) -> list[Mark]:
    """Return pictures that stand on the lower edge of a space, and their caption below it.

    Where there are none, `instead` is said in a frame.
    """
    marks: list[Mark] = [
        Picture(data=picture, x=box.left, y=box.top, width=box.width, height=box.height)
        for picture, box in zip(pictures, place_pictures(shapes, space), strict=True)
    ]
    if not pictures:
        marks += _framed(space, instead)
    lines = [(line, _INK, True, _NAME_PT) for line in _name_lines(caption.name, space.width)]
    lines.append((caption.facts, _SOFT, False, LEAST_PT))
    lines.append((caption.verdict, _SOFT if caption.good else _RED, not caption.good, LEAST_PT))
    for number, (line, fill, bold, size) in enumerate(lines, 1):
        text, shown_pt = fit_words(line, space.width, size, least_pt=LEAST_PT, bold=bold)
        y = space.bottom + 0.6 + number * _LINE_MM
        marks.append(Words(x=space.left, y=y, text=text, size_pt=shown_pt, fill=fill, bold=bold))
    return marks


def needed_height(shapes: Sequence[float], space: Box) -> float:
    """Return how much of a space's height pictures take, or a sentence in their place."""
    boxes = place_pictures(shapes, space)
    return min(space.height, _SENTENCE_MM) if not boxes else space.bottom - min(box.top for box in boxes)


def place_pictures(shapes: Sequence[float], space: Box) -> list[Box]:
    """Return where pictures stand, side by side or one above the other, whichever is larger.

    They stand on the lower edge of the space, from the left; `shapes` are height over width.
    """
    if not shapes:
        return []
    gap = _BETWEEN_MM * (len(shapes) - 1)
    across, down = sum(1 / shape for shape in shapes), sum(shapes)
    height = min(space.height, (space.width - gap) / across)
    width = min(space.width, (space.height - gap) / down)
    boxes: list[Box] = []
    if height**2 * across >= width**2 * down:
        x = space.left
        for shape in shapes:
            boxes.append(Box(x, space.bottom - height, x + height / shape, space.bottom))
            x = boxes[-1].right + _BETWEEN_MM
        return boxes
    y = space.bottom - width * down - gap
    for shape in shapes:
        boxes.append(Box(space.left, y, space.left + width, y + width * shape))
        y = boxes[-1].bottom + _BETWEEN_MM
    return boxes


def _name_lines(name: str, width: float) -> list[str]:
    """Return a name in one line or two; what is left of a longer one is cut off by `fit_words`."""
    first, *rest = wrap_words(name, width, _NAME_PT, bold=True) or [name]
    return [first, " ".join(rest)] if rest else [first]


def _framed(space: Box, sentence: str) -> list[Mark]:
    """Return a sentence in a frame on the lower edge of a space, as much of it as fits."""
    width = space.width - 2 * _RIM_MM
    lines = wrap_words(sentence, width, LEAST_PT)
    most = max(1, int((space.height - 2 * _RIM_MM) / _LINE_MM))
    if len(lines) > most:
        lines = [*lines[: most - 1], fit_words(f"{lines[most - 1]} …", width, LEAST_PT)[0]]
    height = len(lines) * _LINE_MM + 2 * _RIM_MM
    top = space.bottom - height
    ring = rectangle(space.left, top, space.width, height)
    words = (
        Words(
            x=space.left + _RIM_MM,
            y=top + _RIM_MM + (k + 0.8) * _LINE_MM,
            text=line,
            size_pt=LEAST_PT,
            fill=_INK,
        )
        for k, line in enumerate(lines)
    )
    return [Area(rings=(ring,), fill=_BLANK, stroke=_FRAME, width_pt=0.6), *words]
