"""Where rules collide, drawn on the panel."""

from __future__ import annotations

from collections.abc import Sequence

from palette.adjacency import Adjacency
from palette.panel import Panel
from palette.preview.canvas import Colour, Preview
from palette.preview.names import place_names
from palette.preview.sheet import INK, STONE, WARNING, lay_sheet

__all__ = ["draw_collision"]

_NAMED: Colour = (244, 190, 168)
_LEGEND = 0.07


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
    canvas, legend_y = lay_sheet(panel, legend=_LEGEND, width_px=width_px)
    named = {section for place in places for section in place}
    colours = {section.id: _NAMED if section.id in named else STONE for section in panel.sections}
    for section in panel.sections:
        canvas.fill(section.outline, colours[section.id])
    thin = panel.width_mm / 220
    pairs = {frozenset(place) for place in places if len(place) == 2}
    for contact in adjacency.neighbours:
        if frozenset((contact.a, contact.b)) in pairs:
            canvas.line(contact.mid_line, WARNING, width_mm=2.2 * thin)
    place_names(canvas, panel, colours)
    told = f"{len(named)} sections and {len(pairs)} borders (red) at which the rules collide"
    if not named:
        told = "The rules collide over the whole panel, not at single sections"
    size = 0.02 * panel.width_mm
    canvas.write(told, (0.0, legend_y + _LEGEND * panel.width_mm / 2), INK, height_mm=size, anchor="lm")
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light="collision")
