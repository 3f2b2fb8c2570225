"""How the painted panel looks under a light."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array, encode_srgb
from palette.eyes import seen_linear_srgb
from palette.light import Light
from palette.panel import Panel
from palette.preview.canvas import MIN_PX, Canvas, Colour, Preview, require_width
from palette.preview.develop import PLAIN, Style, develop
from palette.preview.materials import materials_linear
from palette.preview.names import place_names
from palette.preview.tone import screen_colours
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["draw_preview", "draw_side_by_side"]


def draw_preview(
    survey: Survey,
    scheme: Scheme,
    light: Light,
    *,
    width_px: int = 1600,
    names: bool = False,
    style: Style = PLAIN,
) -> Preview:
    """Return the panel as it will look.

    Colours purer or brighter than the screen's keep their hue (see `palette.preview.tone`).

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
    style : Style
        Glare, grain, the lamps' fall-off, what trim and joints are made of; flat fields if left out.

    Returns
    -------
    Preview

    Raises
    ------
    KeyError
        The survey has no such light.
    InputError
        The width cannot be drawn.
    """
    column = survey.appearance.light_index(light.id)
    rows = {paint: row for row, paint in enumerate(survey.appearance.paints)}
    table = survey.appearance if style.eye is None else survey.appearance.seen_by(style.eye)
    white = table.white_xyz[column]
    screen = screen_colours(table.xyz[:, column], white=white, exposure=style.exposure)
    materials = {
        part: _coded(
            style.exposure * (linear if style.eye is None else seen_linear_srgb(linear, style.eye))
        )
        for part, linear in materials_linear(style.materials, light).items()
    }
    panel = survey.panel
    canvas = Canvas(panel.width_mm, panel.height_mm, width_px=width_px, background=materials["joint"])
    _draw_features(canvas, panel, materials)
    colours: dict[str, Colour] = {}
    for section in panel.sections:
        red, green, blue = (int(v) for v in screen[rows[scheme.paint_of[section.id]]])
        colours[section.id] = (red, green, blue)
        canvas.fill(section.outline, (red, green, blue))
    if names:
        place_names(canvas, panel, colours)
    image = canvas.finish()
    boards = None if style.relief is None else _boards(image, materials)
    image = develop(image, canvas.mm_per_px, style, boards=boards)
    return Preview(image=image, mm_per_px=canvas.mm_per_px, light=light.id)


def half_width_px(width_px: int) -> int:
    """Return how wide each of two previews is drawn so that side by side they are `width_px` wide.

    Raises
    ------
    InputError
        The width is outside what can be drawn.
    """
    require_width(width_px)
    return max(MIN_PX, (width_px - _strip_px(width_px)) // 2)


def draw_side_by_side(left: Preview, right: Preview, *, width_px: int | None = None) -> Preview:
    """Return two previews of one panel beside each other, with a dark strip between.

    Both must have the same size and scale. With `width_px` the picture is exactly that wide.

    Parameters
    ----------
    left : Preview
    right : Preview
    width_px : int or None
        300 to 8192.

    Returns
    -------
    Preview

    Raises
    ------
    ValueError
        The previews differ in size or scale.
    InputError
        The width cannot be drawn.
    """
    if left.image.shape != right.image.shape:
        raise ValueError("the two previews differ in size")
    height, width = left.image.shape[:2]
    strip = _strip_px(2 * width)
    if width_px is not None and width_px >= 2 * width:
        strip = width_px - 2 * width
    gap = np.full((height, strip, 3), 12, np.uint8)
    image = np.concatenate([left.image, gap, right.image], axis=1)
    mm_per_px = left.mm_per_px
    if width_px is not None and image.shape[1] != width_px:
        from PIL import Image

        # Two previews of the least width are together wider than a small picture.
        smaller = width_px / image.shape[1]
        size = (width_px, max(1, round(height * smaller)))
        image = np.asarray(Image.fromarray(image).resize(size, Image.Resampling.LANCZOS))
        mm_per_px /= smaller
    return Preview(image=image, mm_per_px=mm_per_px, light=f"{left.light} | {right.light}")


def _strip_px(width_px: int) -> int:
    return max(4, width_px // 120)


def _boards(image: NDArray[np.uint8], materials: Mapping[str, Colour]) -> NDArray[np.float32]:
    """Return 1 where a board is and 0 in joints and openings, shape (H, W)."""
    # Read off the picture: no paint is as dark as a joint in its own shade.
    hollow = np.zeros(image.shape[:2], bool)
    for red, green, blue in (materials["joint"], materials["void"]):
        hollow |= (image[..., 0] == red) & (image[..., 1] == green) & (image[..., 2] == blue)
    return (~hollow).astype(np.float32)


def _draw_features(canvas: Canvas, panel: Panel, materials: Mapping[str, Colour]) -> None:
    for feature in panel.features:
        canvas.fill(feature.outline, materials["trim"] if feature.role == "trim" else materials["void"])


def _coded(linear: Array) -> Colour:
    red, green, blue = (int(v) for v in encode_srgb(linear))
    return (red, green, blue)
