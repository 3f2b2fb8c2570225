"""Corrections a person draws over a photo: a label image beside it, or an SVG over it.

In a label image each value, or each flat colour, is a section and black is nothing. In an SVG
every closed shape is a section and every circle is a click on one; a shape's title, or else its
id, names it. The SVG is as large as the photo, or its viewBox is stretched over it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.photos.mark_drawing import Mark, marks_of_drawing
from palette.picture_files import TORN, opened_picture
from palette.reading import no_such_file
from palette.tracing.photo import Photo

__all__ = ["Mark", "Marks", "read_marks"]

_MOST_MARKS = 2000  # more was drawn by no hand


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marks:
    """All marks of a file.

    Parameters
    ----------
    labels : ndarray of int32, shape (H, W), or None
        Of the photo's full size, 0 for nothing, when the file is a label image.
    label_names : tuple of str
        How its sections are called.
    shapes : tuple of Mark
        The marks of an SVG.
    """

    labels: NDArray[np.int32] | None = None
    label_names: tuple[str, ...] = ()
    shapes: tuple[Mark, ...] = ()


def read_marks(path: str | Path, photo: Photo) -> Marks:
    """Return the corrections of a file for a photo.

    Parameters
    ----------
    path : str or Path
        A label PNG of the photo's size, or an SVG over it.
    photo : Photo

    Returns
    -------
    Marks

    Raises
    ------
    InputError
        The file cannot be read, its size is not the photo's, or a shape is broken.
    """
    path = Path(path)
    if path.suffix.lower() == ".svg":
        return Marks(shapes=marks_of_drawing(path, photo))
    if path.suffix.lower() == ".png":
        return _labels_of_png(path, photo)
    what = f'"{path.suffix}" is not a kind of labels'
    raise InputError(str(path), what, "use a label image (.png) or a drawing over the photo (.svg)")


def _labels_of_png(path: Path, photo: Photo) -> Marks:
    from PIL import Image, UnidentifiedImageError

    try:
        with opened_picture(path) as opened:
            if opened.size != (photo.width_px, photo.height_px):
                own = f"{opened.width} x {opened.height}"
                what = f"the label image has {own} pixels, the photo {photo.width_px} x {photo.height_px}"
                raise InputError(path.name, what, "paint it over the upright photo at its full size")
            if opened.mode in ("RGB", "RGBA"):
                pixels = np.asarray(opened.convert("RGBA"), np.int64)
                code = (pixels[..., 0] << 16) | (pixels[..., 1] << 8) | pixels[..., 2]
                code[pixels[..., 3] < 128] = 0
            else:
                code = np.asarray(opened, np.int64)
    except FileNotFoundError:
        raise no_such_file(path) from None
    except Image.DecompressionBombError:
        what = f"it has far more pixels than the photo's {photo.width_px} x {photo.height_px}"
        raise InputError(path.name, what, "paint it over the upright photo at its full size") from None
    except UnidentifiedImageError:
        raise InputError(path.name, "this is not a picture", "save the labels as PNG") from None
    except TORN as fault:
        what = f"the file is damaged ({str(fault)[:80] or 'no more data'})"
        raise InputError(path.name, what, "save it once more") from None
    if code.ndim != 2:
        raise InputError(path.name, "its pixels are no plain values", "save it as 8- or 16-bit grey or RGB")
    values, inverse = np.unique(code, return_inverse=True)
    if len(values) > _MOST_MARKS:
        what = f"it has {len(values)} different values"
        raise InputError(path.name, what, "paint each section in one flat value, without smoothed edges")
    painted = values != 0
    if not painted.any():
        raise InputError(path.name, "it is black all over", "paint at least one section")
    number = np.zeros(len(values), np.int32)
    number[painted] = np.arange(1, int(painted.sum()) + 1)
    many = int(values.max()) > 0xFFFF
    names = tuple(f"#{value:06x}" if many else str(value) for value in values[painted])
    labels = number[inverse].reshape(code.shape).astype(np.int32)
    return Marks(labels=labels, label_names=names)
