"""Step 5: touching up by hand."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from nicegui import ui

from palette.page.controls import button, enable, step, words
from palette.page.drawing import numbered
from palette.page.ground import Ground
from palette.page.locking import locked_sections, with_lock
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.sitting import Change

__all__ = ["TouchingUpStep"]


class TouchingUpStep:
    """Sections by name, those kept as they are, and the rest found again."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._sections: object = None
        lead = "Press a section on the panel, or choose it here; the shelf opens under the panel."
        with step(5, "Touching up", lead):
            with ui.element("div").classes("row"):
                self._select = ui.select({}, label="Section", with_input=True, on_change=self._chosen)
                self._select.props("dense outlined options-dense").classes("wide")
                self._select.props["aria-label"] = "Section to touch up"
                self._again = button("Find the rest again", self._find_rest, style="quiet")
            self._kept = ui.element("div").classes("chips")
        tab.on_view.append(self._show_chosen)
        self.follow(frozenset({"ground", "scheme", "search"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        sitting = self._tab.sitting
        enable(self._again, sitting.ground is not None and not self._tab.search.running)
        if "ground" in changed:
            self._list_sections(sitting.ground)
            self._list_kept(sitting.ground)

    def _list_sections(self, ground: Ground | None) -> None:
        ids = ground.survey.panel.ids if ground is not None else ()
        if ids != self._sections:
            self._sections = ids
            self._select.set_options({name: numbered(k, name) for k, name in enumerate(ids, 1)})

    def _list_kept(self, ground: Ground | None) -> None:
        self._kept.clear()
        if ground is None:
            return
        files = self._tab.sitting.files
        locked = locked_sections(files)
        with self._kept:
            if not locked:
                words("No section is kept as it is: all may change when a scheme is found.", style="note")
            for name in ground.survey.panel.ids:
                if name in locked:
                    button(f"{name} ✕", partial(self._free, name), style="chip",
                           label=f"{name} is kept as it is; set it free")  # fmt: skip

    def _free(self, name: str) -> None:
        self._tab.change(f"{name}: free again", with_lock(self._tab.sitting.files, name, None))

    def _chosen(self) -> None:
        name = self._select.value
        if name and name != self._tab.view.chosen:
            self._tab.look(chosen=name)

    def _show_chosen(self) -> None:
        if self._select.value != self._tab.view.chosen:
            self._select.value = self._tab.view.chosen

    def _find_rest(self) -> None:
        self._tab.ask("best")
