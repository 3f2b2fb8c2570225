"""What is drawn, as values: areas, lines, dots, words and pictures on a page.

Page coordinates are mm from the top left corner, y down, as for panels; line widths and type
are points. All printers (PDF, SVG, PNG) draw the same marks, and the tests measure them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np

from palette.colour import Array
from palette.papers.sheet import FONT, FONT_BOLD, MM_PER_PT, Sheet, load_fonts

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = [
    "NO_BREAK", "Area", "Box", "Dots", "Lines", "Mark", "Page", "Picture", "Words", "area_of", "fit_words",
    "lines_of", "rectangle", "text_width", "wrap_words",
]  # fmt: skip

NO_BREAK = "\u00a0"
Anchor = Literal["start", "middle", "end"]
ASCENT, DESCENT = 0.76, 0.24
"""DejaVu Sans: height of letters above and below the base line, in parts of the type size."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Area:
    """A filled or outlined shape; `rings` are (N, 2), holes by the even-odd rule."""

    rings: tuple[Array, ...]
    fill: str | None = None
    stroke: str | None = "#000000"
    width_pt: float = 0.8
    dash_pt: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lines:
    """Open paths, each (N, 2)."""

    paths: tuple[Array, ...]
    stroke: str = "#000000"
    width_pt: float = 0.5
    dash_pt: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Dots:
    """Filled discs about points (N, 2)."""

    points: Array
    radius_mm: float
    fill: str = "#000000"


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of type; (x, y) is on its base line."""

    x: float
    y: float
    text: str
    size_pt: float = 9.0
    bold: bool = False
    anchor: Anchor = "start"
    fill: str = "#000000"

    @property
    def box(self) -> Box:
        """The room the line takes."""
        width = text_width(self.text, self.size_pt, bold=self.bold)
        left = self.x - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        size = self.size_pt * MM_PER_PT
        return Box(left, self.y - ASCENT * size, left + width, self.y + DESCENT * size)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """A picture in a rectangle; `data` is a PNG or a JPEG."""

    data: bytes
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its edges."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    def overlaps(self, other: Box) -> bool:
        """Return whether the two share more than an edge."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > 1e-6 and down > 1e-6

    def grown(self, by: float) -> Box:
        """Return the box with a rim added."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)


Mark = Area | Lines | Dots | Words | Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A sheet and its marks, painted in order.

    `name` is its bookmark; where it is `numbered`, "n / m" goes in its corner when it is printed.
    """

    sheet: Sheet
    marks: Sequence[Mark] = field(default_factory=tuple)
    name: str = ""
    numbered: bool = False

    @property
    def words(self) -> tuple[Words, ...]:
        """All type on the page."""
        return tuple(mark for mark in self.marks if isinstance(mark, Words))


def text_width(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Return how wide a line is, mm."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    load_fonts()
    return float(stringWidth(text, FONT_BOLD if bold else FONT, size_pt)) * MM_PER_PT


def fit_words(
    text: str, width_mm: float, size_pt: float, *, least_pt: float = 9.0, bold: bool = False
) -> tuple[str, float]:
    """Return the text and a size at which it fits a width: smaller type first, then cut with …"""
    width = text_width(text, size_pt, bold=bold)
    if width <= width_mm:
        return text, size_pt
    size = max(least_pt, size_pt * width_mm / width)
    shown = text
    while text_width(shown, size, bold=bold) > width_mm and len(shown) > 1:
        shown = shown.rstrip("…")[:-1].rstrip() + "…"
    return shown, size


def wrap_words(text: str, width_mm: float, size_pt: float, *, bold: bool = False) -> list[str]:
    """Return the text in lines no wider than a width; a word too long for it is cut with …

    A no-break space holds words together, and is a plain one in what comes back.
    """
    lines: list[str] = []
    for word in text.split(" "):
        if not word:
            continue
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size_pt, bold=bold) <= width_mm:
            lines[-1] = joined
        else:
            lines.append(fit_words(word, width_mm, size_pt, least_pt=size_pt, bold=bold)[0])
    return [line.replace(NO_BREAK, " ") for line in lines]


def rectangle(left: float, top: float, width: float, height: float) -> Array:
    """Return the four corners of a rectangle, shape (4, 2)."""
    right, bottom = left + width, top + height
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]], float)


def area_of(shape: Geometry, *, fill: str | None, stroke: str | None = "#000000", width_pt: float = 0.8,
            dash_pt: tuple[float, ...] = ()) -> Area:  # fmt: skip
    """Return the mark of a polygon or several; a shape without area gives an empty mark."""
    import shapely

    rings = []
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and not part.is_empty:
            rings += [np.asarray(ring.coords)[:-1] for ring in (part.exterior, *part.interiors)]
    return Area(rings=tuple(rings), fill=fill, stroke=stroke, width_pt=width_pt, dash_pt=dash_pt)


def lines_of(shape: Geometry, *, stroke: str = "#000000", width_pt: float = 0.5,
             dash_pt: tuple[float, ...] = ()) -> Lines:  # fmt: skip
    """Return the mark of the lines in a shape, points and areas left out."""
    import shapely

    parts = [part for part in shapely.get_parts(shape) if part.geom_type in ("LineString", "LinearRing")]
    parts = [part for part in parts if not part.is_empty]
    paths = tuple(np.asarray(part.coords) for part in parts)
    return Lines(paths=paths, stroke=stroke, width_pt=width_pt, dash_pt=dash_pt)
