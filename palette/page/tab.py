"""One open tab: what it looks at, its parts, and how they hear of changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from nicegui import ui

from palette.errors import PaletteError
from palette.page.looks import colours_under

if TYPE_CHECKING:
    from collections.abc import Iterator

    from nicegui.element import Element
    from nicegui.elements.dialog import Dialog

    from palette.page.finding import Question, Search
    from palette.page.history import Files
    from palette.page.sitting import Change, Sitting

__all__ = ["Part", "Tab", "View"]


class Part(Protocol):
    """A part of the page that follows the project."""

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        ...


@dataclass(slots=True, kw_only=True)
class View:
    """What one tab shows; none of it belongs to the project.

    `shown` is a light of the brief or "both"; `eye` a kind of colour sight, "" the usual one.
    """

    shown: str = "both"
    eye: str = ""
    chosen: str | None = None
    names: bool = False
    on_photo: bool = False


@dataclass(slots=True, kw_only=True, eq=False)
class Tab:
    """What every part of one tab is given.

    `layer` lies over the page and stays as long as the tab: sentences and dialogs belong to it, since
    the part that opened one may be drawn anew meanwhile.
    """

    sitting: Sitting
    search: Search
    view: View = field(default_factory=View)
    layer: Element
    parts: list[Part] = field(default_factory=list)
    on_view: list[Callable[[], None]] = field(default_factory=list)

    def follow(self, changed: frozenset[Change]) -> None:
        """Tell every part what changed in the project."""
        chosen = self.view.chosen
        ground = self.sitting.ground
        if chosen is not None and (ground is None or chosen not in ground.survey.panel.ids):
            self.view.chosen = None
        for part in self.parts:
            part.follow(changed)

    def look(self, **changes: Any) -> None:
        """Look at something else: another light, another section."""
        for name, value in changes.items():
            setattr(self.view, name, value)
        for hear in self.on_view:
            hear()

    def attempt(self, act: Callable[[], Any]) -> bool:
        """Do something that may be refused; a refusal is shown as its sentence, the work stays."""
        try:
            act()
        except PaletteError as fault:
            self.say(str(fault))
            return False
        return True

    def change(self, deed: str, files: Files) -> bool:
        """Change wall, paints or rules, if what comes out can be used."""

        def act() -> None:
            # A fault that was there before is no reason to refuse a change that may mend it.
            if not self.sitting.fault:
                self.sitting.scratch.ground(files)
            self.sitting.act(deed, files)

        return self.attempt(act)

    def say(self, sentence: str, *, good: bool = False) -> None:
        """Show a sentence for a while; screen readers speak it."""
        with self.layer:
            ui.notify(
                sentence,
                position="bottom",
                multi_line=True,
                timeout=6000 if good else 15000,
                close_button="Close",
                classes="told good" if good else "told",
            )

    def hand_over(self, data: bytes, name: str) -> None:
        """Let the browser save a file."""
        with self.layer:
            ui.download.content(data, name)

    @contextmanager
    def dialog(self, label: str, *, style: str) -> Iterator[Dialog]:
        """Open a sheet over the whole page; it is gone for good when it is closed."""
        with self.layer, ui.dialog(value=True).props("maximized persistent") as dialog:
            dialog.props["aria-label"] = label
            dialog.on("hide", dialog.delete, args=[])
            with ui.element("div").classes(style):
                yield dialog

    def ask(self, question: Question) -> None:
        """Put a question to the engine about the project as it is now."""
        sitting = self.sitting
        ground = sitting.ground
        if ground is None:
            return

        def act() -> None:
            self.search.ask(question, sitting.scratch.lay_out(sitting.files), ground.key)
            sitting.tell_of_search()

        self.attempt(act)

    def reasons(self) -> list[list[str]]:
        """Return the places at which the rules collide, if that is what was last found out."""
        found, ground = self.search.found, self.sitting.ground
        return found.places if ground is not None and found.done and found.key == ground.key else []

    def looks(self) -> tuple[Sequence[str], Sequence[str] | None, tuple[str, str]]:
        """Return the paints' colours for what is shown and beyond the divider, and both lights' kinds."""
        ground = self.sitting.ground
        assert ground is not None
        lights = ground.brief.lights
        if self.view.shown == "both" and len(lights) > 1:
            chosen = (lights[0], lights[-1])
        else:
            light = next((light for light in lights if light.id == self.view.shown), lights[0])
            chosen = (light, light)
        appearance, eye = ground.survey.appearance, self.view.eye
        first, second = (colours_under(appearance, light.id, eye) for light in chosen)
        kinds = (chosen[0].kind, chosen[1].kind)
        return first, (second if self.view.shown == "both" else None), kinds
