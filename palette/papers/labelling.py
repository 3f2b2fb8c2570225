"""Where the words of each section go: inside it where they fit, else in the margin with a leader.

Labels inside never overlap because sections do not and every label lies within its own.
Margin labels have slots of one height; the cheapest matching of labels to slots, by total
leader length, has no two leaders that cross (two crossing ones could be swapped for shorter).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Array
from palette.papers.marks import Box, Dots, Lines, Mark, Words, area_of, text_width, wrap_words
from palette.papers.sheet import LEAST_PT, MM_PER_PT

if TYPE_CHECKING:
    from shapely import Geometry, Polygon

__all__ = [
    "Label",
    "SLOT_MM",
    "label_inside",
    "label_short",
    "label_marks",
    "labels_in_margins",
    "margin_width",
]

PAD_MM = 0.8
SLOT_MM = LEAST_PT * MM_PER_PT * 1.45
LEADING = 1.18


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A section's words in their box."""

    section: str
    box: Box
    words: tuple[Words, ...]
    leader: tuple[tuple[float, float], tuple[float, float]] | None = None


def label_marks(labels: Sequence[Label]) -> list[Mark]:
    """Return leaders, then white boxes, then words: no leader crosses a label."""
    import shapely

    leaders = [np.array(label.leader) for label in labels if label.leader is not None]
    marks: list[Mark] = [Lines(paths=tuple(leaders), width_pt=0.5)]
    ends = np.array([leader[0] for leader in leaders]).reshape(-1, 2)
    marks.append(Dots(points=ends, radius_mm=0.6))
    for label in labels:
        if label.leader is None:
            box = label.box
            edge = shapely.box(box.left, box.top, box.right, box.bottom).buffer(0.5, quad_segs=3)
            marks.append(area_of(edge, fill="#ffffff", width_pt=0.4))
    return [*marks, *(words for label in labels for words in label.words)]


@dataclass(frozen=True, slots=True)
class _Type:
    """A way to set a label: sizes of the can's number and of the name, and on how many lines."""

    number_pt: float
    name_pt: float
    inline: bool = False


_TYPES = (
    _Type(26, 12), _Type(22, 11), _Type(18, 10), _Type(15, 9), _Type(12, 9), _Type(LEAST_PT, LEAST_PT),
    _Type(12, 9, inline=True), _Type(LEAST_PT, LEAST_PT, inline=True),
)  # fmt: skip
_SHORT_PT = (22.0, 16.0, 12.0, LEAST_PT)

_Line = tuple[str, float, bool]
"""A line of a label: text, size in points, bold."""


def label_inside(section: str, number: str, outline: Polygon) -> Label | None:
    """Return the largest label with number and name that fits in an outline on the page, or None.

    Parameters
    ----------
    section : str
        Its name stands on the second line.
    number : str
        The can's.
    outline : shapely.Polygon
        mm on the page.
    """
    ways = (lines for kind in _TYPES for lines in _settings(number, section, kind, outline))
    return _largest(section, ways, outline)


def label_short(section: str, text: str, outline: Polygon) -> Label | None:
    """Return the largest label with a short text alone that fits in an outline, or None."""
    return _largest(section, ([(text, size, True)] for size in _SHORT_PT), outline)


def _largest(section: str, ways: Iterable[list[_Line]], outline: Polygon) -> Label | None:
    """Return the first of several settings that fits somewhere in an outline."""
    import shapely

    room = outline.buffer(-0.7)
    if room.is_empty:
        return None
    shapely.prepare(room)
    across, down = room.bounds[2] - room.bounds[0], room.bounds[3] - room.bounds[1]
    places = None
    for lines in ways:
        width = max(text_width(text, size, bold=bold) for text, size, bold in lines) + 2 * PAD_MM
        height = sum(size for _, size, _ in lines) * MM_PER_PT * LEADING + PAD_MM
        if width > across or height > down:
            continue
        places = _places(outline) if places is None else places
        x, y = places[:, 0], places[:, 1]
        boxes = shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
        fits = shapely.contains_properly(room, boxes)
        if fits.any():
            at = places[int(np.argmax(fits))]
            box = Box(at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2)
            return Label(section=section, box=box, words=_set_lines(lines, box))
    return None


def margin_width(names: Sequence[str]) -> float:
    """Return how wide a margin column must be for the longest of these labels, mm."""
    return max((text_width(name, LEAST_PT, bold=True) for name in names), default=0.0) + 6.0


def labels_in_margins(
    wanted: Mapping[str, tuple[str, Geometry]], frame: Box, columns: Sequence[tuple[float, str]]
) -> list[Label] | None:
    """Return labels in the margins with straight leaders that do not cross, or None if they are too many.

    Parameters
    ----------
    wanted : mapping
        Section to its text and its outline on the page.
    frame : Box
        The drawing; slots fill its height.
    columns : sequence of (x, "start" or "end")
        Where the text of each margin begins or ends.
    """
    from scipy.optimize import linear_sum_assignment

    per_column = int(frame.height // SLOT_MM)
    slots = [
        (x, frame.top + (row + 0.5) * SLOT_MM, anchor) for x, anchor in columns for row in range(per_column)
    ]
    if len(wanted) > len(slots):
        return None
    anchors = np.array([_anchor(outline) for _, outline in wanted.values()]).reshape(-1, 2)
    places = np.array([(x, y) for x, y, _ in slots])
    cost = np.hypot(anchors[:, None, 0] - places[None, :, 0], anchors[:, None, 1] - places[None, :, 1])
    rows, chosen = linear_sum_assignment(cost)
    labels = []
    sections = list(wanted)
    for row, slot in zip(rows, chosen, strict=True):
        x, y, anchor = slots[slot]
        base = y + LEAST_PT * MM_PER_PT * 0.26
        words = Words(
            x=x, y=base, text=wanted[sections[row]][0], size_pt=LEAST_PT, bold=True, anchor=anchor
        )
        end = (x - 0.8 if anchor == "start" else x + 0.8, y)
        labels.append(
            Label(section=sections[row], box=words.box, words=(words,),
                  leader=((float(anchors[row, 0]), float(anchors[row, 1])), end))
        )  # fmt: skip
    return labels


def _settings(number: str, name: str, setting: _Type, outline: Polygon) -> list[list[_Line]]:
    """Return the ways to break a label into lines of (text, size, bold), best first."""
    if setting.inline:
        return [[(f"{number} · {name}", setting.name_pt, True)]]
    ways = [[(number, setting.number_pt, True), (name, setting.name_pt, False)]]
    if " " in name:
        room = outline.bounds[2] - outline.bounds[0] - 2
        broken = wrap_words(
            name, max(8.0, min(room, text_width(name, setting.name_pt) * 0.6)), setting.name_pt
        )
        if 1 < len(broken) <= 3 and not any(line.endswith("…") for line in broken):
            ways.append(
                [(number, setting.number_pt, True), *((line, setting.name_pt, False) for line in broken)]
            )
    return ways


def _set_lines(lines: Sequence[_Line], box: Box) -> tuple[Words, ...]:
    words = []
    y = box.top + PAD_MM / 2
    for text, size, bold in lines:
        y += size * MM_PER_PT * LEADING
        base = y - size * MM_PER_PT * (LEADING - 0.94)
        middle = (box.left + box.right) / 2
        words.append(Words(x=middle, y=base, text=text, size_pt=size, bold=bold, anchor="middle"))
    return tuple(words)


def _places(outline: Polygon) -> Array:
    """Return points in an outline to try, the roomiest first."""
    import shapely

    middle = shapely.maximum_inscribed_circle(outline, tolerance=0.5).coords[0]
    left, top, right, bottom = outline.bounds
    x, y = np.meshgrid(np.linspace(left, right, 11)[1:-1], np.linspace(top, bottom, 11)[1:-1])
    grid = np.stack([x.ravel(), y.ravel()], axis=-1)
    grid = grid[shapely.contains_xy(outline, grid[:, 0], grid[:, 1])]
    centre = np.array(outline.centroid.coords[0])
    grid = grid[np.argsort(np.hypot(*(grid - centre).T), kind="stable")]
    return np.vstack([centre, middle, grid])


def _anchor(outline: Geometry) -> tuple[float, float]:
    import shapely

    x, y = shapely.maximum_inscribed_circle(outline, tolerance=0.5).coords[0]
    return float(x), float(y)
