"""Files palette writes: each complete or not there at all."""

from __future__ import annotations

import contextlib
import io
import json
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.scheme import Scheme

if TYPE_CHECKING:
    from palette.preview import Preview
    from palette.solving import Certificate

__all__ = [
    "json_bytes",
    "make_folder",
    "png_bytes",
    "save_certificate",
    "save_outcome",
    "save_preview",
    "save_scheme",
    "write_atomically",
    "write_folder",
    "write_json",
    "write_together",
]


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

    The data go to a temporary file beside `path`, reach the disk, and take its name. A symbolic
    link is followed, not replaced.

    Raises
    ------
    InputError
        The folder is missing or read-only, or the disk is full; the old file stands.
    """
    return write_together(path.parent, {path.name: data})[0]


def write_together(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Write several files that belong together: all of them appear, or none.

    All data reach the disk under temporary names before the first file takes its own.

    Raises
    ------
    InputError
        As for `write_atomically`; the old files stand.
    """
    waiting: list[tuple[Path, Path]] = []
    path = folder
    try:
        for name, data in files.items():
            path = folder / name
            target = path.resolve() if path.is_symlink() else path
            handle, part = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
            waiting.append((Path(part), target))
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            # mkstemp makes files private; give this one the rights any new file would have.
            mask = os.umask(0)
            os.umask(mask)
            Path(part).chmod(0o666 & ~mask)
        for part_path, target in waiting:
            part_path.replace(target)
    except OSError as fault:
        what = f"the file cannot be written ({fault.strerror})"
        mend = "check that the folder exists, that you may write in it and that the disk is not full"
        raise InputError(str(path), what, mend) from None
    finally:
        for part_path, _ in waiting:
            part_path.unlink(missing_ok=True)
    return [folder / name for name in files]


def write_folder(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Write files into a folder, made if it is not there: all of them appear, or none.

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; a folder made for this is taken away again.
    """
    new = not folder.exists()
    make_folder(folder)
    try:
        return write_together(folder, files)
    except InputError:
        if new:
            with contextlib.suppress(OSError):
                folder.rmdir()
        raise


def json_bytes(document: Any) -> bytes:
    """Return a value as readable JSON."""
    return (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode()


def write_json(path: Path, document: Any) -> Path:
    """Write a value as readable JSON."""
    return write_atomically(path, json_bytes(document))


def scheme_bytes(scheme: Scheme, *, folder: Path, brief: Path | None = None) -> bytes:
    """Return scheme.json (`scheme.schema.json`); `brief` is noted relative to `folder`."""
    document = scheme.to_dict()
    if brief is not None:
        relative = os.path.relpath(brief.resolve(), folder.resolve())
        document = {"version": document.pop("version"), "brief": Path(relative).as_posix(), **document}
    return json_bytes(document)


def save_scheme(scheme: Scheme, path: Path, *, brief: Path | None = None) -> Path:
    """Write scheme.json (`scheme.schema.json`); `brief` is noted relative to the file."""
    return write_atomically(path, scheme_bytes(scheme, folder=path.parent, brief=brief))


def save_outcome(
    scheme: Scheme, pictures: Mapping[str, Preview], folder: Path, *, brief: Path | None = None
) -> list[Path]:
    """Write scheme.json and its pictures into a folder, all of them or none.

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; a folder made for this is taken away again.
    """
    drawn = {f"{name}.png": png_bytes(each.image, each.mm_per_px) for name, each in pictures.items()}
    return write_folder(folder, {"scheme.json": scheme_bytes(scheme, folder=folder, brief=brief), **drawn})


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


def save_certificate(certificate: Certificate, path: Path) -> list[Path]:
    """Write a proof, and its formula beside it with the ending ``.cnf``, both or neither."""
    formula = path.with_suffix(".cnf")
    if formula == path:
        raise InputError(str(path), "the proof would stand where its formula goes", "name it .drat")
    make_folder(path.parent)
    parts = {path.name: certificate.proof.encode(), formula.name: certificate.cnf.encode()}
    return write_together(path.parent, parts)
