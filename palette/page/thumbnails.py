"""Small pictures of whole schemes: one path a paint, so that many of them cost little."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from nicegui import ui

from palette.page.drawing import path_of
from palette.page.looks import colours_under

if TYPE_CHECKING:
    from palette.page.ground import Ground

__all__ = ["thumbnail"]


def thumbnail(
    ground: Ground, paint_of: Mapping[str, str], light: str, *, told: str, style: str = ""
) -> None:
    """Add a picture of a scheme under a light; `told` is what a screen reader says."""
    panel, appearance = ground.survey.panel, ground.survey.appearance
    colours = dict(zip(appearance.paints, colours_under(appearance, light), strict=True))
    with ui.element("svg").classes(f"thumb {style}") as picture:
        picture.props.update(
            {"viewBox": f"0 0 {panel.width_mm:g} {panel.height_mm:g}", "role": "img", "aria-label": told}
        )
        for feature in panel.features:
            ui.element("path").classes(feature.role).props["d"] = path_of(feature.outline)
        for paint, colour in colours.items():
            outlines = [path_of(s.outline) for s in panel.sections if paint_of.get(s.id) == paint]
            if outlines:
                ui.element("path").props.update({"d": "".join(outlines), "fill": colour})
