"""Step 6: the lights the wall is looked at in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import ui

from palette.page.controls import button, step, words
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.sitting import Change

__all__ = ["LightsStep"]


class LightsStep:
    """Choose lamps, and show the wall to somebody."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        lead = "The buttons over the panel switch the light. Drag the line between the halves."
        with step(6, "The lights", lead):
            self._box = ui.element("div").classes("stack")
        self._build()

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        if "ground" in changed:
            self._build()

    def _build(self) -> None:
        self._box.clear()
        ground = self._tab.sitting.ground
        with self._box:
            if ground is None:
                words("First the wall.", style="later")
                return
            names = " and ".join(light.id for light in ground.brief.lights)
            words(f"This project is judged under {names}.")
            with ui.element("div").classes("row"):
                full = ui.fullscreen()
                button("Fill the screen with the panel", lambda: self._show(full), style="quiet")

    def _show(self, full: ui.fullscreen) -> None:
        full.enter()
