"""The page itself: its head line, the steps on one side, the panel on the other."""

from __future__ import annotations

from importlib.resources import files as package_files
from typing import TYPE_CHECKING

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from palette.page.controls import button, choice, enable, words
from palette.page.lights import LightsStep
from palette.page.paint_day import PaintDayStep
from palette.page.painted_wall import PaintedWallStep
from palette.page.panel import PanelColumn
from palette.page.rules import RulesStep
from palette.page.schemes import SchemesStep
from palette.page.shelf import ShelfStep
from palette.page.touching_up import TouchingUpStep
from palette.page.wall import WallStep

if TYPE_CHECKING:
    from palette.page.sitting import Change
    from palette.page.tab import Tab

__all__ = ["HeadLine", "build_page"]

_MOST_PAINTS = 120
_THEMES = {"auto": "As the device", "light": "Light", "dark": "Dark"}


def build_page(tab: Tab, *, share: str = "") -> None:
    """Build one tab's page; `share` is the address a phone in the workshop may open."""
    # A paint's colour and ink are looked up where the drawing is used, so that both halves share it.
    classes = "".join(f".p{k}{{--here:var(--p{k});--ink-here:var(--i{k})}}" for k in range(_MOST_PAINTS))
    ui.add_css((package_files("palette.page") / "page.css").read_text("utf-8") + classes)
    lost = (package_files("palette.page") / "lost.js").read_text("utf-8")
    ui.add_body_html(f'<script type="module">{lost}</script>')
    with ui.element("div").classes("page"):
        head = HeadLine(tab, share=share)
        with ui.element("div").classes("path") as path:
            path.props.update({"role": "region", "aria-label": "The steps of the evening"})
            wall, shelf = WallStep(tab), ShelfStep(tab)
            rules, schemes = RulesStep(tab), SchemesStep(tab)
            touching, lights, day = TouchingUpStep(tab), LightsStep(tab), PaintDayStep(tab)
            painted = PaintedWallStep(tab)
        panel = PanelColumn(tab)
    ui.skip_link("Skip to the steps", target=path)
    # The panel first: a recoloured section and its verdict are drawn before anything else follows.
    tab.parts[:] = [panel, head, schemes, rules, shelf, wall, touching, lights, day, painted]


class HeadLine:
    """Name, undo and redo, whether all is saved, light or dark."""

    def __init__(self, tab: Tab, *, share: str) -> None:
        self._tab = tab
        self._dark = ui.dark_mode(None)
        with ui.element("header").classes("head"):
            words("palette", tag="h1", style="brand")
            self._saved = words("", tag="span", style="saved")
            self._saved.props["role"] = "status"
            ui.element("div").classes("grow")
            self._undo = button("Undo", tab.sitting.undo, style="quiet")
            self._redo = button("Redo", tab.sitting.redo, style="quiet")
            choice("Page", _THEMES, "auto", self._theme)
            if share:
                from palette.page.sharing import show_share

                button(
                    "Phone",
                    lambda: show_share(tab, share),
                    style="quiet",
                    label="Open this page on a phone",
                )
        self._shown: object = None
        self._bar = ui.element("div").classes("warning")
        self._bar.props["role"] = "alert"
        self.follow(frozenset({"saved"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        sitting = self._tab.sitting
        _named(self._undo, "Undo", sitting.history.undoable)
        _named(self._redo, "Redo", sitting.history.redoable)
        kept = "Saving" if sitting.saving else "Saved"
        kept = "Not saved" if sitting.saved or sitting.outside else kept
        self._saved.set_text(kept if sitting.begun else "")
        if "saved" in changed:
            self._warn()

    def _warn(self) -> None:
        sitting = self._tab.sitting
        shown = (sitting.outside, sitting.saved)
        if shown == self._shown:
            return
        self._shown = shown
        self._bar.clear()
        self._bar.set_visibility(bool(sitting.outside or sitting.saved))
        with self._bar:
            if sitting.outside:
                names = ", ".join(sitting.outside)
                told = f"Another program, or another page, changed {names} in the project folder meanwhile."
                words(f"{told} Nothing was written over. Which shall count?", tag="span")
                button("Take theirs", sitting.take_theirs, style="quiet")
                button("Keep mine", sitting.keep_ours, style="quiet")
            elif sitting.saved:
                words(
                    f"Not saved: {sitting.saved} It is tried again by itself; meanwhile your work is safe"
                    " on this page, and step 7 gives it as a zip.",
                    tag="span",
                )
                button("Save again", sitting.save_again, style="quiet")

    def _theme(self, chosen: str) -> None:
        self._dark.value = {"auto": None, "light": False, "dark": True}[chosen]


def _named(element: TextElement, verb: str, deed: str | None) -> None:
    enable(element, deed is not None)
    label = f"{verb}: {deed}" if deed else f"{verb}: nothing to {verb.lower()}"
    if element.props.get("aria-label") != label:
        element.props["aria-label"] = label
        element.props["title"] = label
