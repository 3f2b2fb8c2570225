"""A job's pictures, small enough for the contact sheet."""

from __future__ import annotations

import io
from pathlib import Path

from palette.batch.result import JobResult
from palette.errors import InputError
from palette.reading import read_bytes

__all__ = ["shrink_pictures"]

_MOST_BYTES = 2**28


def shrink_pictures(result: JobResult, folder: Path, *, side_px: int) -> tuple[bytes, ...]:
    """Return a job's pictures as JPEG, no side longer than `side_px`; one that is gone is left out."""
    return tuple(
        small
        for shown in result.pictures
        if (small := _shrink(folder / shown.file, shown.aspect, side_px)) is not None
    )


def _shrink(path: Path, aspect: float | None, side_px: int) -> bytes | None:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(read_bytes(path, most=_MOST_BYTES))) as opened:
            picture = opened.convert("RGB")
    except (InputError, OSError):
        return None
    if aspect is not None:
        picture = picture.crop((0, 0, picture.width, min(picture.height, round(picture.width * aspect))))
    picture.thumbnail((side_px, side_px), Image.Resampling.LANCZOS, reducing_gap=2.0)
    buffer = io.BytesIO()
    # Flat fields of strong colour show every saving in the colour channels, so none is made.
    picture.save(buffer, "JPEG", quality=90, subsampling=0)
    return buffer.getvalue()
