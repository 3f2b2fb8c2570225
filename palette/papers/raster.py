"""One page of marks as pixels, to be looked at on a screen or shown in a browser."""

from __future__ import annotations

import io
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.papers.furniture import page_number
from palette.papers.marks import Area, Dots, Lines, Mark, Page, Picture, Words
from palette.papers.sheet import FONT, FONT_BOLD, MM_PER_PT

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont

__all__ = ["pixels_of"]

_FINER = 3
"""Edges and type are smoothed by drawing so many times larger and averaging down."""

_ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}


def pixels_of(page: Page, *, dpi: int, number: int = 1, count: int = 1) -> NDArray[np.uint8]:
    """Return a page as sRGB pixels, shape (H, W, 3), on white paper.

    A numbered page says which `number` of the `count` pages it is. Dashes are drawn solid.
    """
    from PIL import Image, ImageDraw

    scale = dpi / 25.4
    width, height = (round(side * scale) for side in (page.sheet.width_mm, page.sheet.height_mm))
    large = Image.new("RGB", (width * _FINER, height * _FINER), "#ffffff")
    pen = ImageDraw.Draw(large)
    marks = [*page.marks, page_number(page.sheet, number, count)] if page.numbered else page.marks
    for mark in marks:
        if not isinstance(mark, Picture):
            _draw(pen, mark, scale * _FINER)
    sheet = large.reduce(_FINER)
    # Pictures are pixels already; enlarged and reduced again they would lose their edge.
    for mark in marks:
        if isinstance(mark, Picture):
            left, top = round(mark.x * scale), round(mark.y * scale)
            size = (max(1, round(mark.width * scale)), max(1, round(mark.height * scale)))
            with Image.open(io.BytesIO(mark.data)) as picture:
                sheet.paste(picture.convert("RGB").resize(size, Image.Resampling.LANCZOS), (left, top))
    return np.asarray(sheet)


def _draw(pen: ImageDraw, mark: Mark, scale: float) -> None:
    if isinstance(mark, Words):
        font = _font(FONT_BOLD if mark.bold else FONT, mark.size_pt * MM_PER_PT * scale)
        at = (mark.x * scale, mark.y * scale)
        pen.text(at, mark.text, fill=mark.fill, font=font, anchor=_ANCHORS[mark.anchor])
    elif isinstance(mark, Dots):
        for x, y in mark.points * scale:
            pen.circle((float(x), float(y)), mark.radius_mm * scale, fill=mark.fill)
    elif isinstance(mark, Area):
        for ring in mark.rings:
            points = _points(ring, scale)
            if mark.fill is not None:
                pen.polygon(points, fill=mark.fill)
            if mark.stroke is not None:
                pen.line([*points, *points[:2]], fill=mark.stroke, width=_px(mark.width_pt, scale))
    elif isinstance(mark, Lines):
        for path in mark.paths:
            pen.line(_points(path, scale), fill=mark.stroke, width=_px(mark.width_pt, scale))


def _points(path: Array, scale: float) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in path * scale]


def _px(width_pt: float, scale: float) -> int:
    return max(1, round(width_pt * MM_PER_PT * scale))


@cache
def _font(name: str, px: float) -> FreeTypeFont:
    from PIL import ImageFont

    found = find_spec("matplotlib")
    assert found is not None
    assert found.origin is not None
    return ImageFont.truetype(Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / f"{name}.ttf", px)
