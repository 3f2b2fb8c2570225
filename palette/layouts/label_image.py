"""Label images: a PNG in which each flat colour, or each grey level, is a section.

Black, 0 and what is fully transparent is the gap between sections. Parts of one colour that
touch nowhere along a pixel's side are separate sections: fields far apart may well be painted
alike; only the specks into which a sharp tip falls belong to what they touch at a corner. The
picture's size comes from ``size`` or, without it, from its own pixels per metre.

Sections are called "section 1", "section 2" ... as a reader meets them, top row first; in a grey
picture by their value, and "section 7.1", "section 7.2" where a value lies in pieces.
A text chunk `NAMES_KEY` may give better names: a JSON object from ``#rrggbb`` or value to name;
the chunk "Title" names the panel.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.layouts.assembly import Drawn, assemble_panel, tidy_name
from palette.layouts.label_pieces import find_pieces
from palette.layouts.outlines import Face
from palette.layouts.pixel_outlines import trace_outlines
from palette.panel import LabelImage, Panel
from palette.picture_files import TORN, opened_picture
from palette.units import INCH_MM

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["NAMES_KEY", "SUFFIXES", "panel_from_label_image", "read"]

SUFFIXES = (".png",)

NAMES_KEY = "Section names"
"""Keyword of the PNG text chunk with the names of sections."""

_RATIO_TOLERANCE = 0.01  # between a stated size and the picture; judgement
_MOST_PIXELS = 89_478_485  # where Pillow begins to warn of a decompression bomb; it refuses twice that


def read(path: Path, *, size_mm: tuple[float, float] | None = None) -> Panel:
    """Read a label image.

    Raises
    ------
    InputError
        The picture cannot be read, has no size or smoothed edges, or a check of
        `assemble_panel` fails.
    """
    picture = _load(path)
    height_px, width_px = picture.values.shape
    if size_mm is not None:
        face = _face_of_size(size_mm, width_px, height_px, str(path))
    elif picture.px_per_metre is not None:
        across, down = picture.px_per_metre
        own_mm = width_px * 1000 / across, height_px * 1000 / down
        face = _face_of_size(own_mm, width_px, height_px, str(path))
    else:
        what = "the picture does not say how large it is"
        mend = 'state its size, like size = "96 in x 72 in", or save it with its resolution'
        raise InputError(str(path), what, mend)
    labels, value_of = find_pieces(picture.values, face)
    section_names = _name_sections(value_of, picture)
    mm_per_px = float(np.sqrt(face.width_mm / width_px * face.height_mm / height_px))
    image = LabelImage(labels=labels, mm_per_px=mm_per_px, names=tuple(section_names))
    return panel_from_label_image(
        image,
        name=picture.title or path.stem,
        source=str(path),
        size_mm=(face.width_mm, face.height_mm),
    )


def panel_from_label_image(
    image: LabelImage, *, name: str, source: str, size_mm: tuple[float, float] | None = None
) -> Panel:
    """Return a panel whose outlines are traced along the pixels' edges and smoothed.

    Parameters
    ----------
    image : LabelImage
        Every label one piece, connected along pixel sides.
    name : str
        The panel's.
    source : str
        What to call the picture in messages.
    size_mm : tuple of float, optional
        Width and height of the whole picture; its pixels times their size if not given.

    Returns
    -------
    Panel

    Raises
    ------
    InputError
        A check of `assemble_panel` fails.
    """
    height_px, width_px = image.labels.shape
    width_mm, height_mm = size_mm or (width_px * image.mm_per_px, height_px * image.mm_per_px)
    face = Face(width_mm=width_mm, height_mm=height_mm, source=source)
    scale = np.array([width_mm / width_px, height_mm / height_px])
    outlines = trace_outlines(image.labels, scale)
    drawn = [
        Drawn(name=section, role="section", outline=outline)
        for section, outline in zip(image.names, outlines, strict=True)
    ]
    return assemble_panel(drawn, name=name, face=face, label_image=image)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Picture:
    """What a PNG says: `values` (H, W), 0 the gap, `numbered` when they are grey levels, not colours."""

    values: NDArray[np.uint32]
    numbered: bool
    names: dict[str, str]
    title: str
    px_per_metre: tuple[int, int] | None


def _load(path: Path) -> _Picture:
    from PIL import Image

    too_large = "make it smaller: 1 mm a pixel is fine enough"
    try:
        with opened_picture(path, formats=["PNG"]) as picture:
            if picture.width * picture.height > _MOST_PIXELS:
                raise InputError(
                    str(path), f"it has {picture.width:,} x {picture.height:,} pixels", too_large
                )
            picture.load()
            text = getattr(picture, "text", {})
            values, numbered = _values(picture)
            return _Picture(
                values=values,
                numbered=numbered,
                names=_read_names(text, str(path)),
                title=tidy_name(str(text.get("Title", ""))),
                px_per_metre=_px_per_metre(picture),
            )
    except Image.DecompressionBombError:
        raise InputError(str(path), f"it has more than {2 * _MOST_PIXELS:,} pixels", too_large) from None
    except TORN as fault:
        if isinstance(fault, OSError) and fault.errno is not None:
            raise
        # Pillow says "image file is truncated" and the like without an error number.
        raise InputError(str(path), "it is not a whole PNG picture", "save it anew as PNG") from None


def _px_per_metre(picture: Image) -> tuple[int, int] | None:
    """Return the resolution the PNG carries: whole pixels per metre, told by Pillow as dots per inch."""
    across, down = (round(float(dots) * 1000 / INCH_MM) for dots in picture.info.get("dpi", (0, 0)))
    return (across, down) if across > 0 and down > 0 else None


def _values(picture: Image) -> tuple[NDArray[np.uint32], bool]:
    """Return one number a pixel, 0 the gap: grey level or packed RGBA."""
    clear = picture.info.get("transparency")
    if picture.mode in ("1", "L") or picture.mode.startswith("I"):
        values = np.asarray(picture.convert("L") if picture.mode == "1" else picture).astype(np.uint32)
        if isinstance(clear, int):
            values[values == clear] = 0
        return values, True
    packed = np.asarray(picture.convert("RGBA")).view(">u4")[..., 0].astype(np.uint32)
    packed[((packed & 0xFF) == 0) | (packed <= 0xFF)] = 0
    return packed, False


def _read_names(text: dict[str, Any], source: str) -> dict[str, str]:
    if NAMES_KEY not in text:
        return {}
    try:
        names = json.loads(text[NAMES_KEY])
    except (ValueError, RecursionError):
        names = None
    if not isinstance(names, dict) or not all(isinstance(name, str) for name in names.values()):
        what = f'its text "{NAMES_KEY}" is not a table of names'
        raise InputError(source, what, 'write JSON like {"#ff8800": "sill"}, or leave it out')
    return {key.lower(): tidy_name(name) for key, name in names.items() if tidy_name(name)}


def _face_of_size(size_mm: tuple[float, float], width_px: int, height_px: int, source: str) -> Face:
    width_mm, height_mm = size_mm
    off = width_mm / height_mm * height_px / width_px
    if not 1 / (1 + _RATIO_TOLERANCE) <= off <= 1 + _RATIO_TOLERANCE:
        what = (
            f"its {width_px} x {height_px} pixels do not fit {width_mm:.1f} mm x {height_mm:.1f} mm,"
            f" which would stretch them by {(max(off, 1 / off) - 1) * 100:.0f} %"
        )
        raise InputError(source, what, "give width x height of the whole picture, or crop it to the panel")
    return Face(width_mm=width_mm, height_mm=height_mm, source=source)


def _name_sections(value_of: NDArray[np.uint32], picture: _Picture) -> list[str]:
    """Return a name for each piece: its own, or a number, with .1, .2 ... for several of one value."""
    values = value_of.tolist()
    count = {value: values.count(value) for value in set(values)}
    met: dict[int, int] = {}
    found = []
    for order, value in enumerate(values, start=1):
        met[value] = met.get(value, 0) + 1
        given = picture.names.get(str(value) if picture.numbered else f"#{value >> 8:06x}")
        piece = f".{met[value]}" if count[value] > 1 else ""
        if given:
            found.append(given + piece)
        else:
            found.append(f"section {value}{piece}" if picture.numbered else f"section {order}")
    return found
