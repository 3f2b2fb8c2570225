"""Step 8: a photo of the painted wall, checked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import events, run, ui

from palette.page.checking import CheckedWall, check_wall
from palette.page.controls import mark, step, words
from palette.page.photo import Errand, PlacedPhoto, put_corners
from palette.page.tab import Tab
from palette.page.upload import upload

if TYPE_CHECKING:
    from palette.page.sitting import Change

__all__ = ["PaintedWallStep"]


class PaintedWallStep:
    """Which section got the wrong paint, and which coat looks thin, from one photo."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._checked: object = None
        lead = "One photo, in either light, says whether every section has its paint."
        with step(8, "The painted wall", lead):
            self._later = words("There is no whole scheme yet to compare a photo with.", style="later")
            self._box = ui.element("div").classes("stack")
            with self._box:
                words(
                    "Square on, the whole wall with some room round it, no flash. The photo is looked at"
                    " and not kept.",
                    style="note",
                )
                upload(tab, "Drop a photo of the painted wall here", "image/*,.heic,.heif", self._take)
                self._told = ui.element("div").classes("stack")
                self._told.props["role"] = "status"
        self.follow(frozenset({"ground", "scheme"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        finished = self._tab.sitting.finished
        self._later.set_visibility(not finished)
        self._box.set_visibility(finished)
        # A verdict on another scheme would be worse than none.
        changed_since = self._checked is not None and self._checked is not self._tab.sitting.files
        if changed_since and changed & {"ground", "scheme"}:
            self._checked = None
            self._told.clear()

    async def _take(self, event: events.UploadEventArguments) -> None:
        errand = Errand(
            go="Check the wall",
            busy="Comparing the photo with the scheme; this takes a few seconds.",
            asks_size=False,
            use=self._check,
        )
        await put_corners(self._tab, event.file.name, await event.file.read(), errand)

    async def _check(self, placed: PlacedPhoto) -> bool:
        files = self._tab.sitting.files
        checked = await run.io_bound(check_wall, files, placed.photo, placed.corners, light=placed.light)
        if checked is None:
            return False
        if files is not self._tab.sitting.files:
            self._tab.say("The wall or its scheme changed meanwhile. Press the button again.")
            return False
        self._checked = files
        self._show(checked)
        return True

    def _show(self, checked: CheckedWall) -> None:
        self._told.clear()
        with self._told:
            good = not checked.amiss and not checked.clashes
            with ui.element("div").classes("row"):
                mark(good)
                words(_headline(checked), tag="strong")
            for sentence in (*checked.amiss, *checked.clashes):
                words(sentence, style="fault")
            for warning in checked.warnings:
                words(warning, style="note")
            picture = ui.element("img").classes("checked")
            picture.props["src"] = checked.picture
            picture.props["alt"] = f"The photo with every section outlined. {_headline(checked)}"


def _headline(checked: CheckedWall) -> str:
    amiss, clashes = len(checked.amiss), len(checked.clashes)
    if not amiss and not clashes:
        return f"All {checked.sections} sections are as planned, seen under {checked.light}."
    parts = []
    if amiss:
        parts.append(
            f"{amiss} of {checked.sections} sections {'are' if amiss > 1 else 'is'} not as planned"
        )
    if clashes:
        parts.append(f"{clashes} pair{'s' * (clashes > 1)} of neighbours look{'s' * (clashes == 1)} alike")
    return f"{' and '.join(parts)}, seen under {checked.light}."
