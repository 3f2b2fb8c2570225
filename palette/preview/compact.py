"""A picture made small enough to be kept in a notebook."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["MOST_BYTES", "compress_picture"]

MOST_BYTES = 44_000
"""So that a picture stays below 60 kB in a notebook, whose text is a third longer than its bytes."""

_WIDTHS_PX = (1000, 860, 720, 560, 400, 200)
"""The widest is a notebook's column on a usual screen."""

_PALETTES = (256, 128, 64)
_QUALITIES = ((86, 0), (80, 2), (68, 2), (56, 2))
"""JPEG quality, and how much coarser colour may be than brightness."""

_OFF = 1.3
"""Mean error of a channel, of 255, from which a palette shows as steps. Judged by eye: maps and cards
of 256 colours stay below 1.2, a wall with brushwork has 2 and more."""


def compress_picture(image: NDArray[np.uint8]) -> tuple[str, bytes]:
    """Return a picture's kind (a MIME type) and its bytes, `MOST_BYTES` at most.

    Drawings become PNG with a palette, photos and lit walls JPEG, each as fine as the room allows.

    Parameters
    ----------
    image : ndarray of uint8, shape (H, W, 3)
    """
    from PIL import Image

    whole = Image.fromarray(image)
    data, kind = b"", ""
    for width in _WIDTHS_PX:
        smaller = whole.copy()
        smaller.thumbnail((width, 2 * width))
        for kind, data in _ways(smaller):
            if len(data) <= MOST_BYTES:
                return kind, data
    return kind, data


def _ways(picture: Image) -> Iterator[tuple[str, bytes]]:
    """Yield the picture in every form that does it justice, the finest first."""
    from PIL import Image

    pixels = np.asarray(picture, np.int16)
    for colours in _PALETTES:
        # Without dithering: flat fields stay flat, and small.
        flat = picture.quantize(colours, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
        if np.abs(np.asarray(flat.convert("RGB"), np.int16) - pixels).mean() > _OFF:
            break
        buffer = io.BytesIO()
        flat.save(buffer, "PNG", optimize=True)
        yield "image/png", buffer.getvalue()
    for quality, coarser in _QUALITIES:
        buffer = io.BytesIO()
        picture.save(buffer, "JPEG", quality=quality, subsampling=coarser, optimize=True)
        yield "image/jpeg", buffer.getvalue()
