"""The column that is always in view: the light, the panel, its verdict, the chosen section."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import ui

from palette.page.chooser import Chooser
from palette.page.controls import choice, mark, set_mark, words
from palette.page.drawing import panel_mark
from palette.page.kept import in_words
from palette.page.locking import locked_sections
from palette.page.photo_reading import square_photo
from palette.page.stage import Stage
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.sitting import Change

__all__ = ["PanelColumn"]

_WORDS = {"daylight": "Daylight", "blacklight": "Blacklight", "both": "Both"}


class PanelColumn:
    """The panel and what is said of it."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._drawn: object = None
        self._names = False
        self._lights: tuple[str, ...] = ()
        with ui.element("aside").classes("column-panel") as self.box:
            self.box.props.update({"aria-label": "The panel", "id": "panel"})
            with ui.element("div").classes("panel-head") as self._head:
                self._choices = ui.element("div").classes("choices")
            self.stage = Stage(self._choose)
            self._empty = words("Your wall will stand here.", style="empty")
            with ui.element("div").classes("verdict") as self._line:
                self._line.props["role"] = "status"
                self._sign = mark(None)
                self._verdict = words("", tag="span", style="verdict-words")
            self.chooser = Chooser(tab)
        tab.on_view.append(self._show_view)
        self.follow(frozenset({"ground", "scheme"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed; the section and the verdict first."""
        ground = self._tab.sitting.ground
        for part in (self._head, self.stage.box, self._line):
            part.set_visibility(ground is not None)
        self._empty.set_visibility(ground is None)
        if ground is None:
            self._drawn = None
        else:
            if "ground" in changed:
                self._draw()
            if changed & {"ground", "scheme", "search"}:
                self._show_scheme()
        self.chooser.follow(changed)

    def _draw(self) -> None:
        ground = self._tab.sitting.ground
        assert ground is not None
        names = self._tab.view.names
        drawn = (panel_mark(ground.survey.panel), ground.survey.appearance.paints, names)
        if drawn != self._drawn:
            self.stage.draw(ground, names=names)
            self._drawn, self._names = drawn, names
        lights = tuple(light.id for light in ground.brief.lights)
        if lights != self._lights:
            self._lights = lights
            self._choices.clear()
            options = {light: _WORDS.get(light, light) for light in lights}
            if len(lights) > 1:
                options["both"] = _WORDS["both"]
            if self._tab.view.shown not in options:
                self._tab.view.shown = "both" if len(lights) > 1 else lights[0]
            with self._choices:
                choice("Light", options, self._tab.view.shown, lambda light: self._tab.look(shown=light))
        self._show_looks()

    def _show_looks(self) -> None:
        self.stage.show_looks(*self._tab.looks())
        photo = square_photo(self._tab.sitting.files)[0] if self._tab.view.on_photo else ""
        self.stage.show_photo(photo)

    def _show_scheme(self) -> None:
        sitting = self._tab.sitting
        self.stage.show_scheme(sitting.paint_of, locked_sections(sitting.files))
        self.stage.show_marks(sitting.verdict, self._tab.view.chosen, self._tab.reasons())
        verdict = sitting.verdict
        set_mark(self._sign, None if verdict is None else verdict.kept)
        self._verdict.set_text(in_words(verdict))

    def _show_view(self) -> None:
        if self._tab.sitting.ground is not None:
            if self._drawn is not None and self._tab.view.names != self._names:
                self._draw()
                self._show_scheme()
            self._show_looks()
            self.stage.show_marks(self._tab.sitting.verdict, self._tab.view.chosen, self._tab.reasons())
            self.box.classes(add="choosing") if self._tab.view.chosen else self.box.classes(
                remove="choosing"
            )

    def _choose(self, section: str) -> None:
        self._tab.look(chosen=section)
