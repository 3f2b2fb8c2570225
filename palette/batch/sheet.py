"""The contact sheet: every wall or photo of a batch, small, in the order they were named."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence

from palette.batch.cell import caption_height, fill_cell, needed_height, place_pictures
from palette.batch.result import JobResult
from palette.batch.telling import Caption, captions_of, tell_states
from palette.papers.furniture import frame_page, room_of
from palette.papers.marks import Box, Mark, Page
from palette.papers.sheet import sheet_of

__all__ = ["DPI", "lay_contact_sheet", "thumbnail_px"]

DPI = 200
_COLUMNS, _ROWS = 4, 6
_MOST_ON_PAGE = _COLUMNS * _ROWS
_GUTTER_MM = 4.0


def thumbnail_px(count: int) -> int:
    """Return how long the longer side of a picture may be on a sheet of so many."""
    room = room_of(sheet_of("A4"))
    share_mm2 = room.width * room.height / min(max(count, 1), _MOST_ON_PAGE)
    return math.ceil(min(room.width, 1.2 * math.sqrt(share_mm2)) / 25.4 * DPI)


def lay_contact_sheet(
    results: Sequence[JobResult], thumbnails: Sequence[Sequence[bytes]], *, title: str
) -> list[Page]:
    """Return the pages, up to 24 jobs on each, in the order of the jobs.

    `thumbnails` are each job's pictures as PNG or JPEG; a job without any shows its sentence.
    """
    sheet = sheet_of("A4")
    room = room_of(sheet)
    shapes = [[_aspect(picture) for picture in pictures] for pictures in thumbnails]
    captions = captions_of(results)
    columns, rows = _grid(min(len(results), _MOST_ON_PAGE), shapes, captions, room)
    detail = tell_states([result.state for result in results])
    pages = []
    for first in range(0, len(results), columns * rows):
        marks: list[Mark] = []
        top = room.top
        for begin in range(first, min(first + columns * rows, len(results)), columns):
            row = range(begin, min(begin + columns, len(results)))
            spaces = [_space(room, columns, rows, captions, column=k) for k in range(len(row))]
            # A row of low pictures takes no more room than they do.
            tall = max(
                needed_height(shapes[place], space) for place, space in zip(row, spaces, strict=True)
            )
            for place, space in zip(row, spaces, strict=True):
                here = Box(space.left, top, space.right, top + tall)
                told = results[place].sentence
                marks += fill_cell(here, captions[place], thumbnails[place], shapes[place], instead=told)
            top += tall + caption_height(captions, spaces[0].width) + _GUTTER_MM
        pages.append(frame_page(sheet, title=title, detail=detail, edition="", marks=marks))
    return pages


def _grid(
    count: int, shapes: Sequence[Sequence[float]], captions: Sequence[Caption], room: Box
) -> tuple[int, int]:
    """Return the columns and rows that hold so many, and show them largest on the whole."""
    if count == _MOST_ON_PAGE:
        return _COLUMNS, _ROWS
    found = []
    for columns in range(1, _COLUMNS + 1):
        rows = max(1, -(-count // columns))
        if rows <= _ROWS:
            space = _space(room, columns, rows, captions, column=0)
            boxes = [box for each in shapes for box in place_pictures(each, space)]
            found.append((sum(box.width * box.height for box in boxes), columns, rows))
    _, columns, rows = max(found)
    return columns, rows


def _space(room: Box, columns: int, rows: int, captions: Sequence[Caption], *, column: int) -> Box:
    """Return where the pictures of a job in the first row may stand."""
    width = (room.width - (columns - 1) * _GUTTER_MM) / columns
    height = (room.height - (rows - 1) * _GUTTER_MM) / rows
    left = room.left + column * (width + _GUTTER_MM)
    return Box(left, room.top, left + width, room.top + height - caption_height(captions, width))


def _aspect(picture: bytes) -> float:
    from PIL import Image

    with Image.open(io.BytesIO(picture)) as opened:
        return opened.height / opened.width
