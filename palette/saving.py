"""What becomes a file: schemes, pictures, proofs. How it gets onto the disk is the business of `filing`."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.filing import make_folder, write_atomically, write_folder, write_together
from palette.references import name_from
from palette.scheme import Scheme

if TYPE_CHECKING:
    from palette.preview import Preview
    from palette.solving import Certificate

__all__ = [
    "json_bytes",
    "png_bytes",
    "save_certificate",
    "save_outcome",
    "save_preview",
    "save_previews",
    "save_scheme",
    "write_json",
]


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
        name = name_from(folder, brief)
        document = {"version": document.pop("version"), "brief": name, **document}
    return json_bytes(document)


def save_scheme(scheme: Scheme, path: Path, *, brief: Path | None = None) -> Path:
    """Write scheme.json (`scheme.schema.json`).

    Parameters
    ----------
    scheme : Scheme
    path : Path
    brief : Path or None
        The brief's file, noted relative to the scheme's.

    Returns
    -------
    Path

    Raises
    ------
    InputError
        The file cannot be written; an old one stands.
    """
    return write_atomically(path, scheme_bytes(scheme, folder=path.parent, brief=brief))


def save_outcome(
    scheme: Scheme,
    pictures: Mapping[str, Preview],
    folder: Path,
    *,
    others: Sequence[Scheme] = (),
    brief: Path | None = None,
) -> list[Path]:
    """Write scheme.json and its pictures into a folder, all of them or none.

    The `others` to choose from go beside it, as alternative-2.json and on.

    Parameters
    ----------
    scheme : Scheme
    pictures : mapping of str to Preview
        By file name without its ending.
    folder : Path
        Made if it is not there.
    others : sequence of Scheme
        Further schemes.
    brief : Path or None
        The brief's file, noted in the scheme's.

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; a folder made for this is taken away again.
    """
    files = {"scheme.json": scheme_bytes(scheme, folder=folder, brief=brief)}
    files |= {f"{name}.png": png_bytes(each.image, each.mm_per_px) for name, each in pictures.items()}
    for number, other in enumerate(others, 2):
        files[f"alternative-{number}.json"] = scheme_bytes(other, folder=folder, brief=brief)
    return write_folder(folder, files)


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
    """Write a preview as PNG, its resolution set so that it prints at the panel's size.

    Parameters
    ----------
    preview : Preview
    path : Path

    Returns
    -------
    Path

    Raises
    ------
    InputError
        The file cannot be written; an old one stands.
    """
    return write_atomically(path, png_bytes(preview.image, preview.mm_per_px))


def save_previews(previews: Mapping[str, Preview], folder: Path) -> list[Path]:
    """Write previews into a folder as PNG, under their names, all of them or none.

    Parameters
    ----------
    previews : mapping of str to Preview
        By file name.
    folder : Path
        Made if it is not there.

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; a folder made for this is taken away again.
    """
    drawn = {name: png_bytes(each.image, each.mm_per_px) for name, each in previews.items()}
    return write_folder(folder, drawn)


def save_certificate(certificate: Certificate, path: Path) -> list[Path]:
    """Write a proof, and its formula beside it with the ending ``.cnf``, both or neither.

    Parameters
    ----------
    certificate : Certificate
    path : Path
        Of the proof.

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        The proof would stand where its formula goes, or a file cannot be written.
    """
    formula = path.with_suffix(".cnf")
    if formula == path:
        raise InputError(str(path), "the proof would stand where its formula goes", "name it .drat")
    make_folder(path.parent)
    parts = {path.name: certificate.proof.encode(), formula.name: certificate.cnf.encode()}
    return write_together(path.parent, parts)
