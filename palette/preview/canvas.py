"""A drawing surface in millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont, ImageFont
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

__all__ = ["MAX_PX", "MIN_PX", "Canvas", "Colour", "Preview", "load_font", "require_width"]

Colour = tuple[int, int, int]
"""sRGB, 8 bits a channel."""

MIN_PX, MAX_PX = 300, 8192
"""Least and greatest picture width: a thumbnail, and a little over 8K."""

# Edges are smoothed by drawing larger and averaging down, as far as this many pixels allow:
# beyond it a pixel is finer than the eye sees on the whole wall anyway.
_MOST_DRAWN_PX = 32_000_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Preview:
    """A picture to scale.

    Parameters
    ----------
    image : ndarray of uint8, shape (H, W, 3)
        sRGB.
    mm_per_px : float
        So that it can be printed, or measured, at the panel's true size.
    light : str
        The light, or lights, it shows.
    """

    image: NDArray[np.uint8]
    mm_per_px: float
    light: str

    def _repr_mimebundle_(
        self,
        include: object = None,  # noqa: ARG002  notebooks ask with both
        exclude: object = None,  # noqa: ARG002
    ) -> tuple[dict[str, bytes | str], dict[str, dict[str, str]]]:
        """Return the picture as notebooks show it, smaller; `saving.save_preview` keeps every pixel."""
        from palette.preview.compact import compress_picture

        kind, data = compress_picture(self.image)
        return {kind: data, "text/plain": self.words()}, {kind: {"alt": self.words()}}

    def words(self) -> str:
        """Return the picture in one line of words."""
        height, width = self.image.shape[:2]
        return f"Picture ({self.light}), {width} × {height} pixels, {self.mm_per_px:.3g} mm a pixel"


def require_width(width_px: int) -> None:
    """Raise InputError for a picture too narrow or too wide to draw."""
    if not MIN_PX <= width_px <= MAX_PX:
        mend = f"choose a width from {MIN_PX} to {MAX_PX} pixels"
        raise InputError("preview", f"a picture {width_px} pixels wide cannot be drawn", mend)


def load_font(px: float, text: str = "") -> FreeTypeFont | ImageFont:
    """Return a typeface that ships with a library we need, so that pictures agree on every machine.

    Pillow's own for plain ASCII; for anything else DejaVu Sans, which has most alphabets.
    """
    from PIL import ImageFont

    size = max(6.0, px)
    if text.isascii():
        return ImageFont.load_default(size)
    # Found, not imported: matplotlib takes longer to load than a picture to draw.
    folder = find_spec("matplotlib")
    assert folder is not None
    assert folder.origin is not None
    return ImageFont.truetype(Path(folder.origin).parent / "mpl-data/fonts/ttf/DejaVuSans.ttf", size)


class Canvas:
    """Draw polygons, lines and words given in mm; take the picture with `finish`.

    Parameters
    ----------
    width_mm, height_mm : float
        The part of the world that is drawn; its top left corner is `origin_mm`.
    width_px : int
        Width of the finished picture, `MIN_PX` to `MAX_PX`.
    background : Colour

    Raises
    ------
    InputError
        The width is outside what can be drawn, or the picture would be too tall.
    """

    def __init__(
        self,
        width_mm: float,
        height_mm: float,
        *,
        width_px: int,
        background: Colour,
        origin_mm: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        from PIL import ImageDraw

        require_width(width_px)
        self.width_px = width_px
        self.height_px = max(1, round(width_px * height_mm / width_mm))
        if self.height_px > 4 * MAX_PX:
            what = f"the picture would be {self.height_px} pixels tall"
            raise InputError("preview", what, "choose a smaller width")
        self.mm_per_px = width_mm / width_px
        drawn = self.width_px * self.height_px
        self._finer = max(1, min(3, int((_MOST_DRAWN_PX / drawn) ** 0.5)))
        self._scale = self._finer / self.mm_per_px
        self._origin = np.asarray(origin_mm, float)
        size = (self.width_px * self._finer, self.height_px * self._finer)
        self._image, self._pixels = _shared_image(size, background)
        self._draw = ImageDraw.Draw(self._image)

    def _px(self, points: NDArray[np.float64]) -> list[tuple[float, float]]:
        # Pillow counts pixel centres; half a pixel less puts the edge where the outline is.
        placed = (np.asarray(points, float)[:, :2] - self._origin) * self._scale - 0.5
        return [(float(x), float(y)) for x, y in placed]

    def fill(self, polygon: Polygon, colour: Colour) -> None:
        """Fill a polygon, leaving its holes as they are."""
        from PIL import Image, ImageDraw

        ring = self._px(np.asarray(polygon.exterior.coords))
        if not polygon.interiors:
            self._draw.polygon(ring, fill=colour)
            return
        mask = Image.new("1", self._image.size, 0)
        pen = ImageDraw.Draw(mask)
        pen.polygon(ring, fill=1)
        for hole in polygon.interiors:
            pen.polygon(self._px(np.asarray(hole.coords)), fill=0)
        self._image.paste(colour, mask=mask)

    def line(
        self, geometry: BaseGeometry, colour: Colour, *, width_mm: float, dash_mm: float = 0.0
    ) -> None:
        """Draw a line string, or several; `dash_mm` above 0 makes dashes of that length."""
        import shapely

        width = max(1, round(width_mm * self._scale))
        for part in shapely.get_parts(geometry):
            pieces = _dashes(part, dash_mm) if dash_mm > 0 else [part]
            for piece in pieces:
                points = self._px(np.asarray(piece.coords))
                if len(points) > 1:
                    self._draw.line(points, fill=colour, width=width, joint="curve")

    def write(
        self,
        text: str,
        centre_mm: tuple[float, float],
        colour: Colour,
        *,
        height_mm: float,
        halo: Colour | None = None,
        anchor: str = "mm",
    ) -> None:
        """Write a word; `halo` outlines the letters so that they read on any colour."""
        font = load_font(height_mm * self._scale, text)
        at = self._px(np.array([centre_mm]))[0]
        stroke = round(height_mm * self._scale * 0.12) if halo is not None else 0
        self._draw.text(
            at, text, fill=colour, font=font, anchor=anchor, stroke_width=stroke, stroke_fill=halo
        )

    def text_width_mm(self, text: str, height_mm: float) -> float:
        """Return how wide a word would be."""
        return float(load_font(height_mm * self._scale, text).getlength(text)) / self._scale

    def finish(self) -> NDArray[np.uint8]:
        """Return the picture, uint8, shape (H, W, 3)."""
        if self._finer == 1:
            return self._pixels[..., :3]
        return np.asarray(self._image.reduce(self._finer).convert("RGB")).copy()


def _shared_image(size: tuple[int, int], background: Colour) -> tuple[Image, NDArray[np.uint8]]:
    """Return a Pillow image and the array it draws into, uint8, shape (H, W, 4): no copy on the way.

    At 4K, copying pixels from Pillow to numpy would take longer than all the drawing.
    """
    from PIL import Image

    pixels = np.empty((size[1], size[0], 4), np.uint8)
    red, green, blue = background
    pixels.view(np.uint32)[...] = np.array([red, green, blue, 255], np.uint8).view(np.uint32)
    image = Image.frombuffer("RGBX", size, pixels, "raw", "RGBX", 0, 1)
    # Pillow holds a foreign buffer to be read-only; this one is ours to draw in.
    image.readonly = 0
    return image, pixels


def _dashes(line: BaseGeometry, length: float) -> Sequence[BaseGeometry]:
    from shapely.ops import substring

    starts = np.arange(0.0, line.length, 2 * length)
    return [substring(line, start, min(start + length, line.length)) for start in starts]
