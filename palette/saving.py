"""Files palette writes: each complete or not there at all."""

from __future__ import annotations

import io
import json
import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.scheme import Scheme

if TYPE_CHECKING:
    from palette.preview import Preview

__all__ = ["make_folder", "save_preview", "save_scheme", "write_atomically", "write_json"]


def make_folder(path: Path) -> Path:
    """Make a folder, with its parents, if it is not there; return it.

    Raises
    ------
    InputError
        Something else has that name, or the disk refuses.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        what = f"the folder cannot be made ({fault.strerror})"
        raise InputError(str(path), what, "name another folder") from None
    return path


def write_atomically(path: Path, data: bytes) -> Path:
    """Write a file so that a reader sees the old one or the new one, never half of it.

    The data go to a temporary file beside `path`, reach the disk, and take its name.

    Raises
    ------
    InputError
        The folder is missing or read-only, or the disk is full; the old file stands.
    """
    name = None
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        # mkstemp makes files private; give this one the rights any new file would have.
        mask = os.umask(0)
        os.umask(mask)
        Path(name).chmod(0o666 & ~mask)
        Path(name).replace(path)
    except OSError as fault:
        if name is not None:
            Path(name).unlink(missing_ok=True)
        what = f"the file cannot be written ({fault.strerror})"
        mend = "check that the folder exists, that you may write in it and that the disk is not full"
        raise InputError(str(path), what, mend) from None
    return path


def write_json(path: Path, document: Any) -> Path:
    """Write a value as readable JSON."""
    return write_atomically(path, (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode())


def save_scheme(scheme: Scheme, path: Path, *, brief: Path | None = None) -> Path:
    """Write scheme.json (`scheme.schema.json`); `brief` is noted relative to the file."""
    document = scheme.to_dict()
    if brief is not None:
        relative = os.path.relpath(brief.resolve(), path.parent.resolve())
        document = {"version": document.pop("version"), "brief": Path(relative).as_posix(), **document}
    return write_json(path, document)


def png_bytes(image: NDArray[np.uint8], mm_per_px: float) -> bytes:
    """Return a PNG of sRGB pixels, shape (H, W, 3), that carries its true size."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    dpi = 25.4 / mm_per_px
    information = PngInfo()
    # The sRGB chunk, rendering intent 0: perceptual (PNG specification, 11.3.2.5).
    information.add(b"sRGB", b"\x00")
    buffer = io.BytesIO()
    Image.fromarray(image).save(buffer, "PNG", dpi=(dpi, dpi), pnginfo=information, compress_level=4)
    return buffer.getvalue()


def save_preview(preview: Preview, path: Path) -> Path:
    """Write a preview as PNG, its resolution set so that it prints at the panel's size."""
    return write_atomically(path, png_bytes(preview.image, preview.mm_per_px))
