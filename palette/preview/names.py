"""Section names, written where they fit."""

from __future__ import annotations

from collections.abc import Mapping

from palette.panel import Panel, Section
from palette.preview.canvas import Canvas, Colour

__all__ = ["place_names"]

_LARGEST_MM, _SMALLEST_MM = 60.0, 6.0
_LEADING = 1.15


def place_names(canvas: Canvas, panel: Panel, colours: Mapping[str, Colour]) -> None:
    """Write each section's name inside it, near its middle, as large as fits.

    Black or white, whichever stands out from the section's colour.
    """
    largest = min(_LARGEST_MM, panel.height_mm / 30)
    for section in panel.sections:
        red, green, blue = colours[section.id]
        # Rec. 601 luma: good enough to choose between black and white ink.
        ink: Colour = (0, 0, 0) if 0.299 * red + 0.587 * green + 0.114 * blue > 110 else (255, 255, 255)
        lines, (x, y), height = _best_place(canvas, section, largest)
        for number, line in enumerate(lines):
            down = (number - (len(lines) - 1) / 2) * _LEADING * height
            canvas.write(line, (x, y + down), ink, height_mm=height)


def _best_place(
    canvas: Canvas, section: Section, largest: float
) -> tuple[list[str], tuple[float, float], float]:
    """Return the lines, their middle and their height: one line in the middle if that is legible."""
    import shapely

    circle = shapely.maximum_inscribed_circle(section.outline, tolerance=2.0)
    middle, roomiest = section.outline.centroid.coords[0], circle.coords[0]
    ways = [[section.id]] if " " not in section.id else [[section.id], _broken(section.id)]
    found: list[tuple[float, list[str], tuple[float, float]]] = []
    for centre in (middle, roomiest):
        for lines in ways:
            at = (float(centre[0]), float(centre[1]))
            height = _height_that_fits(canvas, section, lines, at, largest)
            # The middle and the unbroken name win unless they cost a third of the size.
            liking = (1.5 if centre is middle else 1.0) * (1.5 if len(lines) == 1 else 1.0)
            found.append((height * liking, lines, at))
            if height >= largest and centre is middle and len(lines) == 1:
                return lines, at, height
    _, lines, at = max(found, key=lambda way: way[0])
    return lines, at, max(_SMALLEST_MM, _height_that_fits(canvas, section, lines, at, largest))


def _height_that_fits(
    canvas: Canvas, section: Section, lines: list[str], at: tuple[float, float], largest: float
) -> float:
    from shapely import box, prepare

    prepare(section.outline)
    widest = max(canvas.text_width_mm(line, 100.0) for line in lines) / 100.0
    height = largest
    while height > _SMALLEST_MM:
        across, down = (widest + 0.7) * height / 2, (_LEADING * len(lines) + 0.2) * height / 2
        if section.outline.contains(box(at[0] - across, at[1] - down, at[0] + across, at[1] + down)):
            return height
        height *= 0.92
    return 0.0


def _broken(name: str) -> list[str]:
    words = name.split()
    if len(words) < 2:
        return [name]
    cuts = range(1, len(words))
    best = min(cuts, key=lambda k: max(len(" ".join(words[:k])), len(" ".join(words[k:]))))
    return [" ".join(words[:best]), " ".join(words[best:])]
