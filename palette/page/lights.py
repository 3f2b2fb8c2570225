"""Step 6: the lights the wall is looked at in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import run, ui

from palette.errors import PaletteError
from palette.page.controls import button, choice, enable, step, switch, words
from palette.page.documents import set_brief_entry
from palette.page.pictures import jpeg_uri, outcome_of, photo_uri
from palette.page.tab import Tab

if TYPE_CHECKING:
    import palette
    from palette.page.sitting import Change

__all__ = ["LightsStep"]

_LAMPS = {
    "blacklight": "LED 365 nm, the usual one",
    "led-385": "LED 385 nm",
    "led-395": "LED 395 nm, shows some violet",
    "led-405": "LED 405 nm, shows much violet",
    "tube-368": "Tube 368 nm",
}
_EYES = {
    "": "Usual eyes",
    "protan": "Eyes weak in red",
    "deutan": "Eyes weak in green",
    "tritan": "Eyes weak in blue",
}


class LightsStep:
    """Choose lamp and eye, and show the wall to somebody."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._quiet = False
        lead = "The buttons over the panel switch the light. Drag the line between the halves."
        with step(6, "The lights", lead):
            with ui.element("div").classes("row"):
                self._lamp = ui.select(dict(_LAMPS), label="Lamp of the hall", on_change=self._take_lamp)
                self._lamp.props("dense outlined options-dense").classes("wide")
                self._lamp.props["aria-label"] = "Lamp of the hall"
                self._eye = ui.select(_EYES, value="", label="Seen by", on_change=self._take_eye)
                self._eye.props("dense outlined options-dense").classes("wide")
                self._eye.props["aria-label"] = "Seen by"
            with ui.element("div").classes("row"):
                switch("Names on the sections", False, lambda on: tab.look(names=on))
                self._on_photo = switch("On the photo", False, lambda on: tab.look(on_photo=on))
            with ui.element("div").classes("row"):
                self._show = button("Show it to somebody", self._show_large, style="act")
            words("A large picture with the glow an eye sees in a dark hall.", style="note")
        self.follow(frozenset({"ground", "scheme"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        sitting = self._tab.sitting
        enable(self._show, sitting.finished)
        self._on_photo.set_visibility("photo" in sitting.memory)
        if "ground" in changed and sitting.ground is not None:
            lamp = sitting.ground.brief.lights[-1].id
            options = dict(_LAMPS) if lamp in _LAMPS else {**_LAMPS, lamp: lamp}
            self._quiet = True
            self._lamp.set_options(options, value=lamp)
            self._quiet = False

    def _take_lamp(self) -> None:
        ground, lamp = self._tab.sitting.ground, self._lamp.value
        if self._quiet or ground is None or not lamp or lamp == ground.brief.lights[-1].id:
            return
        lights = [light.id for light in ground.brief.lights]
        if len(lights) < 2:
            lights.append(lamp)
        files = set_brief_entry(self._tab.sitting.files, "lights", [*lights[:-1], lamp])
        if not self._tab.change(f"lamp: {_LAMPS.get(lamp, lamp)}", files):
            self.follow(frozenset({"ground"}))

    def _take_eye(self) -> None:
        self._tab.look(eye=self._eye.value or "")

    def _show_large(self) -> None:
        sitting = self._tab.sitting
        if sitting.ground is not None and sitting.verdict is not None:
            LargePicture(self._tab, outcome_of(sitting.ground, dict(sitting.paint_of), sitting.verdict))


class LargePicture:
    """The wall as large as the screen, nothing else on it."""

    def __init__(self, tab: Tab, outcome: palette.Outcome) -> None:
        self._outcome = outcome
        self._tab = tab
        self._known: dict[str, str] = {}
        lights = [light.id for light in outcome.brief.lights]
        options = {light: light.capitalize() for light in lights}
        if len(lights) > 1:
            options |= {"split": "Half and half", "both": "Side by side"}
        if "photo" in tab.sitting.memory:
            options |= {f"photo {light}": f"Your photo, {light}" for light in lights}
        with tab.dialog("The wall, large", style="cinema") as dialog:
            with ui.element("div").classes("row cinema-head"):
                choice("Light", options, lights[-1], self._draw)
                full = ui.fullscreen()
                button("Fill the screen", full.toggle, style="quiet")
                button("Close", lambda: (full.exit(), dialog.close()), style="quiet")
            self._picture = ui.element("img").classes("cinema-picture")
            self._picture.props["alt"] = "The wall is being drawn"
            ui.timer(0.05, lambda: self._draw(lights[-1]), once=True)

    async def _draw(self, light: str) -> None:
        if light not in self._known:
            try:
                if light.startswith("photo "):
                    under = light.removeprefix("photo ")
                    uri = await run.io_bound(photo_uri, self._outcome, self._tab.sitting.files, under)
                else:
                    uri = await run.io_bound(jpeg_uri, self._outcome, light, 1920)
            except PaletteError as fault:
                self._tab.say(str(fault))
                return
            self._known[light] = uri or ""
        self._picture.props["src"] = self._known[light]
        self._picture.props["alt"] = f"{self._outcome.brief.name} under {light}"
