"""Step 7: what the paint day needs, to take away."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

from nicegui import run, ui

import palette
from palette.page.controls import button, enable, step, words
from palette.page.folder import files_to_zip
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.sitting import Change

__all__ = ["PaintDayStep"]


class PaintDayStep:
    """Downloads."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        with step(7, "The paint day", "Take it along: on paper, on a stick, to another machine."):
            with ui.element("div").classes("row"):
                self._pictures = button("Picture in both lights", self._picture, style="quiet")
                self._zip = button("Everything in one zip", self._everything, style="act")
            words(
                "The zip is the whole project; drop it on step 1 of any palette page to go on there.",
                style="note",
            )
        self.follow(frozenset({"scheme"}))

    def follow(self, changed: frozenset[Change]) -> None:  # noqa: ARG002
        """Show what changed."""
        enable(self._pictures, self._tab.sitting.finished)
        enable(self._zip, self._tab.sitting.begun)

    def _name(self) -> str:
        ground = self._tab.sitting.ground
        name = ground.brief.name if ground is not None else "wall"
        return re.sub(r"[^\w-]+", "-", name.lower(), flags=re.ASCII).strip("-") or "wall"

    def _everything(self) -> None:
        name = self._name()
        ui.download.content(files_to_zip(self._tab.sitting.files, folder=name), f"{name}.zip")

    async def _picture(self) -> None:
        sitting = self._tab.sitting
        if sitting.ground is None or sitting.verdict is None:
            return
        outcome = palette.Outcome(
            brief=sitting.ground.brief,
            survey=sitting.ground.survey,
            scheme=palette.Scheme(paint_of=sitting.paint_of),
            verdict=sitting.verdict,
        )
        picture = await run.io_bound(palette.draw_under, outcome, "both", width_px=2400)
        assert picture is not None
        ui.download.content(_png(picture), f"{self._name()}.png")


def _png(picture: palette.Preview) -> bytes:
    from PIL import Image

    buffer = io.BytesIO()
    dpi = 25.4 / picture.mm_per_px
    Image.fromarray(picture.image).save(buffer, "PNG", dpi=(dpi, dpi))
    return buffer.getvalue()
