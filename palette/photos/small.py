"""Pictures from disk, small."""

from __future__ import annotations

import io
from pathlib import Path

from palette.errors import InputError
from palette.picture_files import TORN, opened_picture

__all__ = ["read_small"]


def read_small(path: Path, *, side_px: int, aspect: float | None = None) -> bytes:
    """Return a picture as JPEG, no side longer than `side_px`.

    With an `aspect`, height over width, only so much of it from the top.

    Raises
    ------
    InputError
        There is no such picture, or it is damaged.
    """
    from PIL import Image

    try:
        with opened_picture(path, formats=("PNG", "JPEG")) as opened:
            picture = opened.convert("RGB")
    except TORN:
        raise InputError(str(path), "this picture cannot be read", "have it made again") from None
    if aspect is not None:
        picture = picture.crop((0, 0, picture.width, min(picture.height, round(picture.width * aspect))))
    picture.thumbnail((side_px, side_px), Image.Resampling.LANCZOS, reducing_gap=2.0)
    buffer = io.BytesIO()
    # Flat fields of strong colour show every saving in the colour channels, so none is made.
    picture.save(buffer, "JPEG", quality=90, subsampling=0)
    return buffer.getvalue()
