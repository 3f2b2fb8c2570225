"""Corrections a person draws over a photo: a label image beside it, or an SVG over it.

In a label image each value, or each flat colour, is a section and black is nothing. In an SVG
every closed shape is a section and every circle is a click on one; a shape's title, or else its
id, names it. The SVG is as large as the photo, or its viewBox is stretched over it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.errors import InputError
from palette.reading import no_such_file, read_text
from palette.tracing.photo import Photo

__all__ = ["Mark", "Marks", "read_marks"]

_MOST_MARKS = 2000  # more was drawn by no hand


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mark:
    """A click or an outline on a photo.

    Parameters
    ----------
    name : str
        The section it stands for.
    where : str
        Its place in the file, for messages.
    points : ndarray, shape (N, 2)
        One point is a click, three or more an outline; pixels of the photo.
    """

    name: str
    where: str
    points: Array


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
        return Marks(shapes=_shapes_of_svg(path, photo))
    if path.suffix.lower() == ".png":
        return _labels_of_png(path, photo)
    what = f'"{path.suffix}" is not a kind of labels'
    raise InputError(str(path), what, "use a label image (.png) or a drawing over the photo (.svg)")


def _labels_of_png(path: Path, photo: Photo) -> Marks:
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(path) as opened:
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
    except UnidentifiedImageError:
        raise InputError(path.name, "this is not a picture", "save the labels as PNG") from None
    except (OSError, SyntaxError, ValueError) as fault:
        what = f"the file is damaged ({str(fault)[:80]})"
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


def _shapes_of_svg(path: Path, photo: Photo) -> tuple[Mark, ...]:
    from io import StringIO

    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import ParseError
    from defusedxml.ElementTree import fromstring as check_xml
    from svgelements import SVG, Circle, Ellipse, Shape
    from svgelements import Path as SvgPath

    text = read_text(path)
    try:
        root = check_xml(text)
    except (ParseError, DefusedXmlException) as fault:
        raise InputError(
            path.name, f"this is not a sound SVG ({fault})"[:200], "save it once more"
        ) from None
    width, height = _extent(root.attrib, photo)
    titles = {
        element.get("id"): title.text.strip()
        for element in root.iter()
        for title in element
        if title.tag.endswith("title") and title.text and element.get("id")
    }
    # Lengths of the drawing are its viewBox's; the photo's pixels lie under it.
    drawn = SVG.parse(StringIO(text), reify=True, width=width, height=height, ppi=96)
    scale = np.array([photo.width_px / width, photo.height_px / height])
    marks: list[Mark] = []
    faults: list[InputError] = []
    for number, element in enumerate((e for e in drawn.elements() if isinstance(e, Shape)), 1):
        known = element.values.get("id") if isinstance(element.values, dict) else None
        name = str(titles.get(known) or known or "")
        where = f'{path.name}, shape "{name}"' if name else f"{path.name}, shape {number}"
        if isinstance(element, (Circle, Ellipse)):
            points = np.array([[element.cx, element.cy]], float)
        else:
            points = _outline_points(SvgPath(element))
            if len(points) < 3:
                faults.append(
                    InputError(where, "it has no area", "draw a closed shape, or a circle for a click")
                )
                continue
        marks.append(Mark(name=name, where=where, points=points * scale))
    if not marks and not faults:
        what = "it holds no shapes"
        faults.append(InputError(path.name, what, "draw polygons round sections, or circles as clicks"))
    InputError.gather(faults)
    return tuple(marks)


def _outline_points(path: Any) -> Array:
    """Return the corners of a path, curves cut into short lines, without repeated points."""
    points: list[tuple[float, float]] = []
    for segment in path:
        if segment.end is None:
            continue
        steps = 1 if type(segment).__name__ in ("Move", "Line", "Close") else 12
        for step in range(1, steps + 1):
            place = segment.point(step / steps) if steps > 1 else segment.end
            at = (float(place.x), float(place.y))
            if not points or at != points[-1]:
                points.append(at)
    if len(points) > 1 and points[0] == points[-1]:
        points.pop()
    return np.array(points, float).reshape(-1, 2)


def _extent(attributes: dict[str, str], photo: Photo) -> tuple[float, float]:
    """Return width and height of the drawing in its own units."""
    box = [float(v) for v in re.findall(r"-?[\d.]+", attributes.get("viewBox", ""))]
    if len(box) == 4 and box[2] > 0 and box[3] > 0:
        return box[2], box[3]
    sizes = []
    for key, fallback in (("width", photo.width_px), ("height", photo.height_px)):
        found = re.match(r"\s*([\d.]+)\s*(px)?\s*$", attributes.get(key, ""))
        sizes.append(float(found.group(1)) if found else float(fallback))
    return sizes[0], sizes[1]
