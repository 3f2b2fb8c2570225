"""Section names, written where they fit."""

from __future__ import annotations

from collections.abc import Mapping

from palette.panel import Panel, Section
from palette.preview.canvas import Canvas, Colour

__all__ = ["place_names"]

_LARGEST_MM, _SMALLEST_MM = 60.0, 6.0


def place_names(canvas: Canvas, panel: Panel, colours: Mapping[str, Colour]) -> None:
    """Write each section's name in its roomiest place, as large as fits.

    Black or white, whichever stands out from the section's colour.
    """
    largest = min(_LARGEST_MM, panel.height_mm / 28)
    for section in panel.sections:
        red, green, blue = colours[section.id]
        # Rec. 601 luma: good enough to choose between black and white ink.
        ink: Colour = (0, 0, 0) if 0.299 * red + 0.587 * green + 0.114 * blue > 110 else (255, 255, 255)
        centre, room = _roomiest(section)
        lines = _broken(section.id) if canvas.text_width_mm(section.id, largest) > room else [section.id]
        widest = max(canvas.text_width_mm(line, 100.0) for line in lines) / 100.0
        height = min(largest, room / max(widest, 1e-6), room / (1.3 * len(lines)))
        height = max(height, _SMALLEST_MM)
        for number, line in enumerate(lines):
            down = (number - (len(lines) - 1) / 2) * 1.2 * height
            canvas.write(line, (centre[0], centre[1] + down), ink, height_mm=height)


def _roomiest(section: Section) -> tuple[tuple[float, float], float]:
    import shapely

    radius = shapely.maximum_inscribed_circle(section.outline, tolerance=2.0)
    (x, y), edge = radius.coords[0], radius.length
    return (float(x), float(y)), 1.8 * float(edge)


def _broken(name: str) -> list[str]:
    words = name.split()
    if len(words) < 2:
        return [name]
    cuts = range(1, len(words))
    best = min(cuts, key=lambda k: max(len(" ".join(words[:k])), len(" ".join(words[k:]))))
    return [" ".join(words[:best]), " ".join(words[best:])]
