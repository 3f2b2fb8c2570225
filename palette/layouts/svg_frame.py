"""How large an SVG drawing is, and the way from its user units to millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.layouts.outlines import refuse_other_size
from palette.layouts.svg_shapes import MM_PER_PX, pixels_of_length

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

__all__ = ["Frame", "frame_of_drawing", "inner_viewport"]

_ALIGNMENTS = ("none", *(f"x{x}Y{y}" for x in ("Min", "Mid", "Max") for y in ("Min", "Mid", "Max")))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frame:
    """The drawing's size in mm, its user units to mm as shape (3, 3), and what percentages mean."""

    width_mm: float
    height_mm: float
    to_mm: NDArray[np.float64]
    viewport: tuple[float, float]


def frame_of_drawing(root: Element, *, size_mm: tuple[float, float] | None, source: str) -> Frame:
    """Return the frame of a whole drawing.

    Parameters
    ----------
    size_mm : tuple of float, or None
        Width and height for a drawing without either; must agree with a drawing that has both.

    Raises
    ------
    InputError
        There is no size, two that disagree, or a viewBox that cannot be read.
    """
    box = _view_box(root, where=source)
    width, height = (_outer_length(root, name, source) for name in ("width", "height"))
    if box is not None:
        # SVG 2, 8.2: a side left out follows from the other by the shape of the viewBox.
        if width is not None and height is None:
            height = width * box[3] / box[2]
        elif height is not None and width is None:
            width = height * box[2] / box[3]
    if width is None or height is None:
        if size_mm is None:
            what = "the drawing does not say how large it is"
            mend = 'add width="96in" height="72in" to its <svg> element, or state the size'
            raise InputError(source, what, mend)
        width, height = size_mm[0] / MM_PER_PX, size_mm[1] / MM_PER_PX
    elif size_mm is not None:
        refuse_other_size((width * MM_PER_PX, height * MM_PER_PX), size_mm, source=source)
    move, viewport = _fit(root, box, (0.0, 0.0, width, height), where=source)
    to_mm = np.diag([MM_PER_PX, MM_PER_PX, 1.0]) @ move
    return Frame(width_mm=width * MM_PER_PX, height_mm=height * MM_PER_PX, to_mm=to_mm, viewport=viewport)


def inner_viewport(
    element: Element, around: tuple[float, float], *, where: str
) -> tuple[NDArray[np.float64], tuple[float, float]]:
    """Return how a nested ``svg`` maps its content, and what percentages mean inside it."""

    def length(name: str, default: str, of: float) -> float:
        text = element.get(name, default)
        return pixels_of_length(default if text == "auto" else text, of=of, where=f"{where}, {name}")

    place = (
        length("x", "0", around[0]),
        length("y", "0", around[1]),
        length("width", "100%", around[0]),
        length("height", "100%", around[1]),
    )
    if min(place[2:]) <= 0:
        raise InputError(where, "the inner drawing has no size", "give it a width and a height")
    return _fit(element, _view_box(element, where=where), place, where=where)


def _outer_length(root: Element, name: str, source: str) -> float | None:
    text = root.get(name, "auto").strip()
    if text in ("auto", "") or text.endswith("%"):
        return None
    length = pixels_of_length(text, of=0.0, where=f"{source}, {name}")
    if not 0 < length < 1e9:
        raise InputError(f"{source}, {name}", f'"{text}" is no size for a panel', "write it like 96in")
    return length


def _view_box(element: Element, *, where: str) -> tuple[float, float, float, float] | None:
    text = element.get("viewBox")
    if text is None:
        return None
    try:
        x, y, width, height = (float(part) for part in text.replace(",", " ").split())
    except ValueError:
        width = height = x = y = float("nan")
    if not (0 < width < 1e12 and 0 < height < 1e12 and abs(x) < 1e12 and abs(y) < 1e12):
        what = f'"{text}" is not a viewBox'
        raise InputError(f"{where}, viewBox", what, 'write four numbers, like "0 0 96 72"')
    return x, y, width, height


def _fit(
    element: Element,
    box: tuple[float, float, float, float] | None,
    place: tuple[float, float, float, float],
    *,
    where: str,
) -> tuple[NDArray[np.float64], tuple[float, float]]:
    """Return the equivalent transform of a viewport: SVG 2, 8.2."""
    x, y, width, height = place
    move = np.array([[1.0, 0.0, x], [0.0, 1.0, y], [0.0, 0.0, 1.0]])
    if box is None:
        return move, (width, height)
    words = element.get("preserveAspectRatio", "xMidYMid").split()
    align = words[0] if words else "xMidYMid"
    if align not in _ALIGNMENTS or words[1:] not in ([], ["meet"], ["slice"]):
        what = f'"{" ".join(words)}" is not a way to fit a drawing'
        raise InputError(f"{where}, preserveAspectRatio", what, 'write "xMidYMid meet" or "none"')
    scale = np.array([width / box[2], height / box[3]])
    if align != "none":
        scale[:] = scale.max() if words[1:] == ["slice"] else scale.min()
    spare = np.array([width, height]) - scale * box[2:]
    share = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    part = np.zeros(2) if align == "none" else np.array([share[align[1:4]], share[align[5:8]]])
    move[:2, :2] = np.diag(scale)
    move[:2, 2] += spare * part - scale * box[:2]
    return move, (box[2], box[3])
