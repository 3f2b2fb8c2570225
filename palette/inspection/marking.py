"""The photo with everything drawn on it that was found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.inspection.legend import draw_legend
from palette.inspection.reading import Finding, PhotoReading
from palette.inspection.verdict import PhotoClash, PhotoVerdict
from palette.preview import Preview
from palette.preview.canvas import load_font
from palette.tracing import apply_homography

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw

__all__ = ["draw_findings"]

_LONG_SIDE_PX = 1800
_FINER = 2  # lines are smoothed by drawing larger and averaging down
_DIMMED = 0.42  # what is not the panel steps back

_WHITE, _INK = (255, 255, 255), (18, 18, 20)
_RED, _AMBER = (226, 26, 44), (255, 176, 32)


def draw_findings(reading: PhotoReading, verdict: PhotoVerdict) -> Preview:
    """Return the photo with outlines, numbers, clashes and a legend below it.

    Parameters
    ----------
    reading : PhotoReading
    verdict : PhotoVerdict

    Returns
    -------
    Preview
    """
    from PIL import ImageDraw

    picture, scale = _ground(reading)
    pen = ImageDraw.Draw(picture)
    unit = max(picture.size) / 1000
    centres = {found.id: _middle(reading, found.id) * scale for found in reading.findings}
    bad = {k for c in verdict.clashes if c.light == reading.light.id for k in (c.a, c.b)}
    for found in reading.findings:
        ring = [(float(x), float(y)) for x, y in found.polygon * scale]
        _closed(pen, ring, _INK, 3.4 * unit)
        if found.id not in bad:
            _closed(pen, ring, _WHITE, 1.7 * unit)
    for found in reading.findings:
        if found.id in bad:
            ring = [(float(x), float(y)) for x, y in found.polygon * scale]
            _closed(pen, ring, _WHITE, 5.0 * unit)
            _closed(pen, ring, _RED, 3.2 * unit)
    told = {(c.a, c.b) for c in verdict.clashes if c.light == reading.light.id}
    links = [c for c in verdict.clashes if c.light != reading.light.id and (c.a, c.b) not in told]
    for clash in links:
        _link(pen, reading, clash, centres, scale, unit, "dashed")
    for clash in verdict.clashes:
        if clash.light == reading.light.id:
            _link(pen, reading, clash, centres, scale, unit, "solid")
    for found in reading.findings:
        _number(pen, reading, found, centres[found.id], float(scale), unit)
    image = picture.reduce(_FINER)
    legend = draw_legend(reading, verdict, width_px=image.width)
    whole = np.concatenate([np.asarray(image), legend], axis=0)
    side = float(np.linalg.norm(reading.squared.corners[1] - reading.squared.corners[0]))
    mm_per_px = reading.panel.width_mm / (side * float(scale) / _FINER)
    return Preview(image=whole, mm_per_px=mm_per_px, light=reading.light.id)


def _ground(reading: PhotoReading) -> tuple[Image, float]:
    """Return the photo at drawing size, the room round the panel dimmed, and its scale."""
    import cv2
    from PIL import Image, ImageDraw

    pixels = reading.photo.pixels
    grow = _LONG_SIDE_PX * _FINER / max(pixels.shape[:2])
    size = (
        round(pixels.shape[1] * grow / _FINER) * _FINER,
        round(pixels.shape[0] * grow / _FINER) * _FINER,
    )
    large = cv2.resize(pixels, size, interpolation=cv2.INTER_CUBIC if grow > 1 else cv2.INTER_AREA)
    scale = size[0] / reading.photo.width_px
    mask = Image.new("L", (size[0] // 2, size[1] // 2), round(255 * _DIMMED))
    corners = [(float(x) / 2, float(y) / 2) for x, y in reading.squared.corners * scale]
    ImageDraw.Draw(mask).polygon(corners, fill=255)
    veil = np.asarray(mask.resize(size), np.uint8)
    dimmed = cv2.multiply(np.asarray(large, np.uint8), cv2.merge([veil] * 3), scale=1 / 255)
    return Image.fromarray(np.asarray(dimmed, np.uint8)), scale


def _closed(
    pen: ImageDraw, ring: list[tuple[float, float]], colour: tuple[int, int, int], width: float
) -> None:
    # Two points past the start, so that the last joint is rounded like the others.
    pen.line([*ring, *ring[:2]], fill=colour, width=max(1, round(width)), joint="curve")


def _middle(reading: PhotoReading, section: str) -> Array:
    """Return the middle of the largest disc inside a section, in pixels of the photo."""
    import shapely

    outline = reading.panel.section(section).outline
    centre = shapely.get_coordinates(shapely.maximum_inscribed_circle(outline, tolerance=4.0))[0]
    middle: Array = apply_homography(reading.squared.to_photo, centre[None])[0]
    return middle


def _link(
    pen: ImageDraw,
    reading: PhotoReading,
    clash: PhotoClash,
    centres: dict[str, Array],
    scale: float,
    unit: float,
    style: Literal["solid", "dashed"],
) -> None:
    """Draw one clash: a line between two sections by way of their border, and its figure there."""
    border = _on_border(reading, clash) * scale
    ends = [centres[clash.a], centres[clash.b]]
    # A short tie across the border says enough; a line to the middle of a long section crosses others.
    path = []
    for end in ends:
        far = float(np.linalg.norm(end - border)) + 1e-9
        path.append(
            border + (end - border) * min(1.0, max(far - 17 * unit, 0.4 * far) / far, 62 * unit / far)
        )
    points = np.array([path[0], border, path[1]])
    colour = _RED if style == "solid" else _AMBER
    if style == "solid":
        _stroke(pen, points, _WHITE, 5.6 * unit)
        _stroke(pen, points, colour, 3.4 * unit)
    else:
        for piece in _dashes(points, 8 * unit):
            _stroke(pen, piece, _INK, 4.4 * unit)
            _stroke(pen, piece, colour, 2.8 * unit)
    text = "=" if clash.difference == 0 else f"{clash.difference:.0f}"
    radius = 10.5 * unit
    x, y = border
    box = (x - radius, y - radius, x + radius, y + radius)
    pen.ellipse(
        box, fill=colour, outline=_WHITE if style == "solid" else _INK, width=max(1, round(1.4 * unit))
    )
    ink = _WHITE if style == "solid" else _INK
    pen.text((x, y), text, fill=ink, font=load_font(12.5 * unit), anchor="mm")


def _on_border(reading: PhotoReading, clash: PhotoClash) -> Array:
    """Return the middle of two sections' border, in pixels of the photo."""
    import shapely

    contact = next(c for c in reading.adjacency.neighbours if (c.a, c.b) == (clash.a, clash.b))
    longest = max(shapely.get_parts(contact.mid_line), key=lambda part: part.length)
    middle = shapely.get_coordinates(longest.interpolate(0.5, normalized=True))
    place: Array = apply_homography(reading.squared.to_photo, middle)[0]
    return place


def _stroke(pen: ImageDraw, points: Array, colour: tuple[int, int, int], width: float) -> None:
    pen.line(
        [(float(x), float(y)) for x, y in points], fill=colour, width=max(1, round(width)), joint="curve"
    )


def _dashes(points: Array, length: float) -> list[NDArray[np.float64]]:
    import shapely
    from shapely.ops import substring

    line = shapely.LineString(points)
    starts = np.arange(0.0, line.length, 1.8 * length)
    return [shapely.get_coordinates(substring(line, s, min(s + length, line.length))) for s in starts]


def _number(
    pen: ImageDraw, reading: PhotoReading, found: Finding, centre: Array, scale: float, unit: float
) -> None:
    import shapely

    outline = reading.panel.section(found.id).outline
    radius_mm = shapely.maximum_inscribed_circle(outline, tolerance=4.0).length
    px_per_mm = float(np.linalg.norm(reading.squared.corners[1] - reading.squared.corners[0]))
    room = radius_mm * px_per_mm / reading.panel.width_mm * scale
    sure = found.paint is not None and found.confidence >= 0.45
    text = found.id if sure else f"{found.id}?"
    size = min(24 * unit, 1.1 * room, 3.0 * room / max(len(text), 1))
    at = (float(centre[0]), float(centre[1]))
    halo = max(1, round(0.14 * size))
    font = load_font(size)
    pen.text(at, text, fill=_WHITE, font=font, anchor="mm", stroke_width=halo, stroke_fill=_INK)
