"""The contact sheet: every wall or photo of a batch, small, with a few words below it."""

from __future__ import annotations

import io
import math
from collections.abc import Collection, Sequence

from palette.batch.result import JobResult, State
from palette.batch.telling import caption_of, tell_states
from palette.papers.furniture import frame_page, room_of
from palette.papers.marks import (
    Area,
    Box,
    Mark,
    Page,
    Picture,
    Words,
    fit_words,
    rectangle,
    wrap_words,
)
from palette.papers.sheet import LEAST_PT, MM_PER_PT, sheet_of

__all__ = ["DPI", "lay_contact_sheet", "thumbnail_px"]

DPI = 200
_COLUMNS, _ROWS = 4, 6
_MOST_ON_PAGE = _COLUMNS * _ROWS
_GUTTER_MM = 4.0
_BETWEEN_MM = 0.8
"""Between the two lights of one wall."""
_NAME_PT = 10.0
_LINE_MM = LEAST_PT * MM_PER_PT * 1.22
_CAPTION_MM = 3 * _LINE_MM + 2.0
_INK, _SOFT, _RED = "#000000", "#4a4a4a", "#96000e"


def thumbnail_px(count: int) -> int:
    """Return how long the longer side of a picture may be on a sheet of so many."""
    room = room_of(sheet_of("A4"))
    side_mm = min(room.width, 1.2 * math.sqrt(room.width * room.height / min(max(count, 1), _MOST_ON_PAGE)))
    return math.ceil(side_mm / 25.4 * DPI)


def lay_contact_sheet(
    results: Sequence[JobResult], thumbnails: Sequence[Sequence[bytes]], *, title: str
) -> list[Page]:
    """Return the pages, up to 24 jobs on each, in the order of the jobs.

    `thumbnails` are each job's pictures as PNG or JPEG; a job without any shows its sentence.
    """
    sheet = sheet_of("A4")
    room = room_of(sheet)
    shapes = [[_aspect(picture) for picture in pictures] for pictures in thumbnails]
    columns, rows = _grid(min(len(results), _MOST_ON_PAGE), shapes, room)
    names = [result.name for result in results]
    pages = []
    detail = tell_states([result.state for result in results])
    for first in range(0, len(results), columns * rows):
        marks: list[Mark] = []
        for place in range(first, min(first + columns * rows, len(results))):
            row, column = divmod(place - first, columns)
            cell = _cell(room, columns, rows, column=column, row=row)
            marks += _fill_cell(cell, results[place], thumbnails[place], shapes[place], names)
        pages.append(frame_page(sheet, title=title, detail=detail, edition="", marks=marks))
    return pages


def _grid(count: int, shapes: Sequence[Sequence[float]], room: Box) -> tuple[int, int]:
    """Return the columns and rows that hold so many, and show them largest on the whole."""
    if count == _MOST_ON_PAGE:
        return _COLUMNS, _ROWS
    found = []
    for columns in range(1, _COLUMNS + 1):
        rows = max(1, -(-count // columns))
        if rows <= _ROWS:
            cell = _cell(room, columns, rows, column=0, row=0)
            shown = [_arrange(each, _picture_room(cell)) for each in shapes if each]
            covered = sum(box.width * box.height for boxes in shown for box in boxes)
            found.append((covered, columns, rows))
    _, columns, rows = max(found)
    return columns, rows


def _cell(room: Box, columns: int, rows: int, *, column: int, row: int) -> Box:
    width = (room.width - (columns - 1) * _GUTTER_MM) / columns
    height = (room.height - (rows - 1) * _GUTTER_MM) / rows
    left, top = room.left + column * (width + _GUTTER_MM), room.top + row * (height + _GUTTER_MM)
    return Box(left, top, left + width, top + height)


def _picture_room(cell: Box) -> Box:
    return Box(cell.left, cell.top, cell.right, cell.bottom - _CAPTION_MM)


def _fill_cell(
    cell: Box,
    result: JobResult,
    pictures: Sequence[bytes],
    shapes: Sequence[float],
    names: Collection[str],
) -> list[Mark]:
    space = _picture_room(cell)
    boxes = _arrange(shapes, space)
    marks: list[Mark] = [
        Picture(data=picture, x=box.left, y=box.top, width=box.width, height=box.height)
        for picture, box in zip(pictures, boxes, strict=True)
    ]
    caption = caption_of(result, names)
    if not pictures:
        marks += _sentence_in(space, result.sentence)
    name, size = fit_words(caption.name, cell.width, _NAME_PT, bold=True)
    y = space.bottom + _LINE_MM + 0.6
    marks.append(Words(x=cell.left, y=y, text=name, size_pt=size, bold=True, fill=_INK))
    for line, fill, bold in ((caption.facts, _SOFT, False), (caption.verdict, _colour(result.state), True)):
        y += _LINE_MM
        text, _ = fit_words(line, cell.width, LEAST_PT, bold=bold)
        marks.append(Words(x=cell.left, y=y, text=text, size_pt=LEAST_PT, fill=fill, bold=bold))
    return marks


def _colour(state: State) -> str:
    return _SOFT if state == "good" else _RED


def _sentence_in(space: Box, sentence: str) -> list[Mark]:
    """Return an empty frame with a sentence in it, as much of it as fits."""
    inner = space.grown(-1.5)
    lines = wrap_words(sentence, inner.width, LEAST_PT)
    fitting = max(1, int(inner.height / _LINE_MM))
    if len(lines) > fitting:
        lines = [*lines[: fitting - 1], fit_words(lines[fitting - 1] + " …", inner.width, LEAST_PT)[0]]
    frame = Area(
        rings=(rectangle(space.left, space.top, space.width, space.height),),
        fill="#f4f1ea",
        stroke="#8a857b",
        width_pt=0.6,
    )
    words = (
        Words(x=inner.left, y=inner.top + (k + 0.8) * _LINE_MM, text=line, size_pt=LEAST_PT, fill=_INK)
        for k, line in enumerate(lines)
    )
    return [frame, *words]


def _arrange(shapes: Sequence[float], space: Box) -> list[Box]:
    """Return where pictures stand, side by side or one above the other, whichever is larger.

    They stand on the lower edge of the space, from the left; `shapes` are height over width.
    """
    if not shapes:
        return []
    gap = _BETWEEN_MM * (len(shapes) - 1)
    height_beside = min(space.height, (space.width - gap) / sum(1 / shape for shape in shapes))
    width_stacked = min(space.width, (space.height - gap) / sum(shapes))
    beside = height_beside**2 * sum(1 / shape for shape in shapes)
    boxes = []
    if beside >= width_stacked**2 * sum(shapes):
        x = space.left
        for shape in shapes:
            boxes.append(Box(x, space.bottom - height_beside, x + height_beside / shape, space.bottom))
            x = boxes[-1].right + _BETWEEN_MM
        return boxes
    y = space.bottom - width_stacked * sum(shapes) - gap
    for shape in shapes:
        boxes.append(Box(space.left, y, space.left + width_stacked, y + width_stacked * shape))
        y = boxes[-1].bottom + _BETWEEN_MM
    return boxes


def _aspect(picture: bytes) -> float:
    from PIL import Image

    with Image.open(io.BytesIO(picture)) as opened:
        return opened.height / opened.width
