"""Where rules collide, drawn on the panel."""

from __future__ import annotations

from collections.abc import Sequence

from palette.adjacency import Adjacency
from palette.panel import Panel
from palette.preview.canvas import Canvas, Colour, Preview
from palette.preview.names import place_names

__all__ = ["draw_collision"]

_PAPER: Colour = (246, 244, 238)
_STONE: Colour = (232, 229, 221)
_NAMED: Colour = (244, 190, 168)
_CLASH: Colour = (150, 14, 40)
_INK: Colour = (38, 36, 34)


def draw_collision(
    panel: Panel,
    adjacency: Adjacency,
    places: Sequence[tuple[str, ...]],
    *,
    width_px: int = 1600,
) -> Preview:
    """Return the panel with the sections at which rules collide tinted and their borders in red.

    Parameters
    ----------
    places : sequence of tuple of str
        Sections that collide together: two neighbours, one section, or several; as a `NoScheme`
        carries them.
    """
    margin, legend = 0.03 * panel.width_mm, 0.07 * panel.width_mm
    canvas = Canvas(
        panel.width_mm + 2 * margin,
        panel.height_mm + 2 * margin + legend,
        width_px=width_px,
        background=_PAPER,
        origin_mm=(-margin, -margin),
    )
    named = {section for place in places for section in place}
    colours = {section.id: _NAMED if section.id in named else _STONE for section in panel.sections}
    for section in panel.sections:
        canvas.fill(section.outline, colours[section.id])
    thin = panel.width_mm / 220
    pairs = {frozenset(place) for place in places if len(place) == 2}
    for contact in adjacency.neighbours:
        if frozenset((contact.a, contact.b)) in pairs:
            canvas.line(contact.mid_line, _CLASH, width_mm=2.2 * thin)
    place_names(canvas, panel, colours)
    told = f"{len(named)} sections and {len(pairs)} borders (red) at which the rules collide"
    if not named:
        told = "The rules collide over the whole panel, not at single sections"
    size = 0.02 * panel.width_mm
    canvas.write(told, (0.0, panel.height_mm + margin + legend / 2), _INK, height_mm=size, anchor="lm")
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light="collision")
