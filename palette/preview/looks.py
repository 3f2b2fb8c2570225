"""How the painted panel looks under a light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour import encode_srgb, linear_srgb_of_xyz
from palette.light import Light
from palette.panel import Panel
from palette.preview.canvas import Canvas, Colour, Preview
from palette.preview.names import place_names
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["draw_preview", "draw_side_by_side"]


@dataclass(frozen=True, slots=True)
class _Materials:
    """What the unpainted parts look like under one kind of light."""

    gap: Colour
    trim: Colour
    void: Colour


# Chosen by eye: matt black joints, stained timber, an opening into the dark; under a
# blacklight only a trace of the lamp's violet comes back from them.
_MATERIALS = {
    "daylight": _Materials(gap=(21, 20, 20), trim=(104, 88, 72), void=(6, 6, 7)),
    "blacklight": _Materials(gap=(6, 4, 12), trim=(22, 15, 38), void=(2, 1, 4)),
}


def draw_preview(
    survey: Survey,
    scheme: Scheme,
    light: Light,
    *,
    width_px: int = 1600,
    names: bool = False,
) -> Preview:
    """Return the panel as it will look.

    Parameters
    ----------
    survey : Survey
    scheme : Scheme
        Complete for the panel.
    light : Light
        One of those the survey's appearance was worked out for.
    width_px : int
        300 to 8192.
    names : bool
        Write each section's name on it.

    Raises
    ------
    KeyError
        The survey has no such light.
    InputError
        The width cannot be drawn.
    """
    column = survey.appearance.light_index(light.id)
    rows = {paint: row for row, paint in enumerate(survey.appearance.paints)}
    screen = encode_srgb(linear_srgb_of_xyz(survey.appearance.xyz[:, column]))
    materials = _MATERIALS[light.kind]
    panel = survey.panel
    canvas = Canvas(panel.width_mm, panel.height_mm, width_px=width_px, background=materials.gap)
    _draw_features(canvas, panel, materials)
    colours: dict[str, Colour] = {}
    for section in panel.sections:
        red, green, blue = (int(v) for v in screen[rows[scheme.paint_of[section.id]]])
        colours[section.id] = (red, green, blue)
        canvas.fill(section.outline, (red, green, blue))
    if names:
        place_names(canvas, panel, colours)
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light=light.id)


def draw_side_by_side(left: Preview, right: Preview) -> Preview:
    """Return two previews of one panel beside each other, with a dark strip between.

    Both must have the same size and scale.
    """
    if left.image.shape != right.image.shape:
        raise ValueError("the two previews differ in size")
    height, width = left.image.shape[:2]
    strip = np.full((height, max(4, width // 60), 3), 12, np.uint8)
    image = np.concatenate([left.image, strip, right.image], axis=1)
    return Preview(image=image, mm_per_px=left.mm_per_px, light=f"{left.light} | {right.light}")


def _draw_features(canvas: Canvas, panel: Panel, materials: _Materials) -> None:
    for feature in panel.features:
        canvas.fill(feature.outline, materials.trim if feature.role == "trim" else materials.void)
