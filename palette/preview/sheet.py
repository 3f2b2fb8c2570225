"""Maps and cards on paper: one set of inks, and the sheet a panel is mapped on."""

from __future__ import annotations

from palette.panel import Panel
from palette.preview.canvas import Canvas, Colour

__all__ = ["INK", "PAPER", "QUIET", "RULE", "STONE", "WARNING", "lay_sheet"]

PAPER: Colour = (246, 244, 238)
STONE: Colour = (224, 219, 208)
RULE: Colour = (206, 200, 188)
QUIET: Colour = (122, 118, 111)
INK: Colour = (38, 36, 34)
WARNING: Colour = (150, 14, 40)
"""Dark red: what is too alike, or cannot be."""


def lay_sheet(panel: Panel, *, legend: float, width_px: int) -> tuple[Canvas, float]:
    """Return paper with a margin round the panel and room for a legend below, and the legend's y in mm.

    `legend` is its height as a share of the panel's width.
    """
    margin = 0.03 * panel.width_mm
    canvas = Canvas(
        panel.width_mm + 2 * margin,
        panel.height_mm + 2 * margin + legend * panel.width_mm,
        width_px=width_px,
        background=PAPER,
        origin_mm=(-margin, -margin),
    )
    return canvas, panel.height_mm + margin
