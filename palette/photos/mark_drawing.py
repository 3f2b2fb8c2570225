"""Marks drawn over a photo as SVG: polygons round sections, circles as clicks."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.markup import parse_xml
from palette.reading import MAX_TABLE_BYTES, read_bytes
from palette.tracing.photo import Photo

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

__all__ = ["Mark", "marks_of_drawing"]

_SVG = "{http://www.w3.org/2000/svg}"
_LINK = "{http://www.w3.org/1999/xlink}href"
_KEPT = (
    "svg",
    "g",
    "a",
    "defs",
    "symbol",
    "use",
    "rect",
    "circle",
    "ellipse",
    "polygon",
    "polyline",
    "line",
    "path",
)
"""What draws a mark. Text, pictures and style sheets are left out before anything reads them."""

_MOST_SHAPES = 10_000
_NUMBERS_PER_SHAPE = 10
"""What a ``use`` repeats is counted each time, and as many numbers count as one more shape."""

_DEEPEST = 150

_FARTHEST_PX = 1e6
_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"


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


def marks_of_drawing(path: Path, photo: Photo) -> tuple[Mark, ...]:
    """Return the marks of an SVG that lies over a photo.

    Raises
    ------
    InputError
        The file cannot be read, a shape is broken, or there is none.
    """
    from io import StringIO
    from xml.etree.ElementTree import tostring

    from svgelements import SVG, Shape

    root = parse_xml(read_bytes(path, most=MAX_TABLE_BYTES), where=path.name)
    _keep_shapes(root)
    _refuse_too_much(root, where=path.name)
    width, height = _extent(root.attrib, photo)
    titles = _titles(root)
    mend = "mend its numbers or draw it anew"
    try:
        # Lengths of the drawing are its viewBox's; the photo's pixels lie under it.
        text = tostring(root, encoding="unicode")
        drawn = SVG.parse(StringIO(text), reify=True, width=width, height=height, ppi=96)
        shapes = [element for element in drawn.elements() if isinstance(element, Shape)]
    except _BROKEN:
        raise InputError(path.name, "one of its shapes cannot be read", mend) from None
    scale = np.array([photo.width_px / width, photo.height_px / height])
    marks: list[Mark] = []
    faults: list[InputError] = []
    for number, element in enumerate(shapes, 1):
        known = element.values.get("id") if isinstance(element.values, dict) else None
        name = _on_one_line(str(titles.get(str(known)) or known or ""))
        where = f'{path.name}, shape "{name}"' if name else f"{path.name}, shape {number}"
        try:
            with np.errstate(all="ignore"):  # numbers beyond all measure are told below
                points = _points_of(element) * scale
        except _BROKEN:
            faults.append(InputError(where, "it cannot be read", mend))
            continue
        if len(points) == 2 or not len(points):
            what, remedy = "it has no area", "draw a closed shape, or a circle for a click"
            faults.append(InputError(where, what, remedy))
        elif not np.abs(points).max() <= _FARTHEST_PX:
            faults.append(InputError(where, "it lies far beyond the photo", mend))
        else:
            marks.append(Mark(name=name, where=where, points=points))
    if not marks and not faults:
        what = "it holds no shapes"
        faults.append(InputError(path.name, what, "draw polygons round sections, or circles as clicks"))
    InputError.gather(faults)
    return tuple(marks)


_BROKEN = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    RecursionError,
    TypeError,
    ValueError,
)
"""What svgelements raises where numbers of a shape are missing, or are none."""


def _keep_shapes(parent: Element) -> None:
    for element in list(parent):
        name = str(element.tag).removeprefix(_SVG)
        if name == "title":
            continue
        if name not in _KEPT:
            parent.remove(element)
        else:
            _keep_shapes(element)


def _refuse_too_much(root: Element, *, where: str) -> None:
    """Raise InputError where a drawing repeats itself without end, or holds more than anybody draws."""
    targets = {key: element for element in root.iter() if (key := element.get("id"))}
    work: dict[Element, float] = {}

    def work_of(element: Element, level: int) -> float:
        if level > _DEEPEST:
            return float("inf")
        if element not in work:
            work[element] = float("inf")  # until it is known: a use of what it stands in has no end
            written = element.get("d", "") + element.get("points", "") + element.get("transform", "")
            link = (element.get("href") or element.get(_LINK) or "").strip()
            target = targets.get(link.removeprefix("#")) if str(element.tag).endswith("use") else None
            repeated = work_of(target, level + 1) if target is not None else 0.0
            inside = sum(work_of(child, level + 1) for child in element)
            numbers = sum(1 for _ in re.finditer(r"\d+", written))
            work[element] = 1 + numbers / _NUMBERS_PER_SHAPE + inside + repeated
        return work[element]

    if work_of(root, 0) > _MOST_SHAPES:
        what = f"it holds more than {_MOST_SHAPES:,} shapes, or repeats itself without end"
        raise InputError(where, what, "draw fewer shapes, each by itself")


def _titles(root: Element) -> dict[str, str]:
    return {
        key: title.text.strip()
        for element in root.iter()
        if (key := element.get("id"))
        for title in element
        if str(title.tag).removeprefix(_SVG) == "title" and title.text
    }


def _on_one_line(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text[:200]).split())


def _points_of(shape: Any) -> Array:
    """Return the middle of a circle, or the corners of any other shape, shape (N, 2)."""
    from svgelements import Circle, Ellipse, Path

    if isinstance(shape, (Circle, Ellipse)):
        return np.array([[shape.cx, shape.cy]], float)
    return _outline_points(Path(shape))


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
    box = [float(v) for v in re.findall(_NUMBER, attributes.get("viewBox", ""))]
    if len(box) == 4 and all(0 < side < _FARTHEST_PX for side in box[2:]):
        return box[2], box[3]
    sizes = []
    for key, fallback in (("width", photo.width_px), ("height", photo.height_px)):
        found = re.fullmatch(rf"\s*({_NUMBER})\s*(?:px)?\s*", attributes.get(key, ""))
        stated = float(found[1]) if found else 0.0
        sizes.append(stated if 0 < stated < _FARTHEST_PX else float(fallback))
    return sizes[0], sizes[1]
