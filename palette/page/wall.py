"""Step 1: the wall. Begin with one, or look at the one there is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import events, run, ui

import palette
from palette.errors import PaletteError
from palette.page.controls import button, field, step, words
from palette.page.correcting import Correcting
from palette.page.documents import set_brief_entry
from palette.page.ground import work_out
from palette.page.photo import begin_with_photo
from palette.page.starting import (
    Measured,
    demo_files,
    files_from_measurements,
    files_from_upload,
)
from palette.page.tab import Tab
from palette.page.upload import upload

if TYPE_CHECKING:
    from palette.page.ground import Ground
    from palette.page.history import Files
    from palette.page.sitting import Change

__all__ = ["WallStep"]

_ROLES = {"section": "section", "trim": "trim board", "void": "opening", "hatch": "service hatch"}


class WallStep:
    """Where the evening begins."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._shown: object = None
        with step(1, "The wall", "Which wall is it? Each area of one colour is a section."):
            self._box = ui.element("div").classes("stack")
        self._build()

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        if "ground" in changed:
            self._build()

    def _build(self) -> None:
        sitting = self._tab.sitting
        panel = sitting.ground.survey.panel if sitting.ground is not None else None
        shown = (sitting.opening, sitting.begun, sitting.fault, panel)
        if shown == self._shown:
            return
        self._shown = shown
        self._box.clear()
        with self._box:
            if sitting.opening:
                words("Opening the project.", style="later")
                return
            if sitting.fault:
                words("The files of this project cannot be used as they are:", style="fault-head")
                for line in sitting.fault.splitlines():
                    words(line, style="fault")
            if panel is not None:
                self._facts(panel)
                for note in sitting.memory.get("photo_notes", ()):
                    words(str(note), style="note")
                with ui.element("div").classes("row"):
                    button("Correct the sections", lambda: Correcting(self._tab), style="quiet")
                with ui.expansion("Begin with another wall").classes("more"):
                    self._beginnings()
            else:
                self._beginnings()

    # -- a wall there is ---------------------------------------------------------------------

    def _facts(self, panel: palette.Panel) -> None:
        sitting = self._tab.sitting
        assert sitting.ground is not None
        field("Name of the wall", sitting.ground.brief.name, self._rename, style="wide")
        sides = f"{_both_ways(panel.width_mm)} wide, {_both_ways(panel.height_mm)} high"
        borders = len(sitting.ground.survey.adjacency.neighbours)
        hatch = ", a concealed service hatch" if panel.hatch is not None else ""
        words(f"{len(panel.sections)} sections, {borders} borders between neighbours{hatch}. {sides}.")

    def _rename(self, name: str) -> None:
        name = " ".join(str(name or "").split())[:80]
        if name:
            self._tab.change(f"named {name}", set_brief_entry(self._tab.sitting.files, "name", name))

    # -- beginning ---------------------------------------------------------------------------

    def _beginnings(self) -> None:
        with ui.element("div").classes("ways"):
            with ui.element("div").classes("way"):
                words("Look around first", tag="h3")
                words("A canyon wall of eighteen slabs and eight paints, ready to try everything on.")
                button("Open the demo wall", self._demo, style="act")
            with ui.element("div").classes("way"):
                words("I have a drawing", tag="h3")
                words(
                    "An SVG drawing, a PNG of flat colours, a tape layout (TOML), or a zip from this page."
                )
                self._size = field("Size, if the file does not say", "", nothing, hint="96 in x 72 in")
                upload(self._tab, "Drop a drawing here or choose one", ".svg,.png,.toml,.zip", self._take)
            with ui.element("div").classes("way"):
                words("I have a photo", tag="h3")
                words("Square on, the whole wall, even light. Its sections are found by themselves.")
                upload(self._tab, "Drop a photo here or take one", "image/*,.heic,.heif", self._take_photo)
            with ui.element("div").classes("way"):
                words("I have a tape measure", tag="h3")
                words("Type each rectangle's place and size, in inches or millimetres.")
                button("Type measurements", lambda: TapeTable(self._tab), style="act")

    async def _take_photo(self, event: events.UploadEventArguments) -> None:
        await begin_with_photo(self._tab, event.file.name, await event.file.read())

    def _demo(self) -> None:
        self._tab.attempt(lambda: self._tab.sitting.act("opened the demo wall", demo_files()))

    async def _take(self, event: events.UploadEventArguments) -> None:
        name, data = event.file.name, await event.file.read()
        size = str(self._size.value or "").strip() or None
        sitting = self._tab.sitting
        before = sitting.files
        try:
            # A large drawing takes seconds; meanwhile the page goes on for everybody.
            read = await run.io_bound(_read_drawing, before, name, data, size)
        except PaletteError as fault:
            self._tab.say(str(fault))
            return
        if read is None:
            return
        if sitting.files is not before:
            self._tab.say("The project changed meanwhile. Drop the file once more.")
            return
        files, ground = read
        sitting.scratch.keep(ground)
        if self._tab.attempt(lambda: sitting.act(f"opened {name}", files)):
            self._tab.say(f"{name} is on the page.", good=True)


def _read_drawing(
    files: Files, name: str, data: bytes, size: str | None
) -> tuple[dict[str, bytes], Ground]:
    changed = files_from_upload(files, name, data, size=size)
    return changed, work_out(changed)


class TapeTable:
    """A table to type a tape layout into."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._rows: list[dict[str, ui.input | ui.select]] = []
        with tab.dialog("Measurements of the wall", style="paper desk tape") as self._dialog:
            words("Measurements of the wall", tag="h3")
            words("From the lower left corner of the wall, to the right and up. Write 12 1/2 in or 318 mm.")
            with ui.element("div").classes("row"):
                self._name = field("Name of the wall", "Wall", nothing)
                self._size = field("Width x height", "", nothing, hint="96 in x 72 in")
            with ui.element("div").classes("tape-rows") as self._table:
                for _ in range(4):
                    self._row()
            with ui.element("div").classes("row"):
                button("One more row", self._row, style="quiet")
                ui.element("div").classes("grow")
                button("Cancel", self._dialog.close, style="quiet")
                button("Put it on the page", self._finish, style="act")

    def _row(self) -> None:
        number = len(self._rows) + 1
        with self._table, ui.element("div").classes("tape-row"):
            row: dict[str, ui.input | ui.select] = {"name": field(f"Name {number}", "", nothing)}
            role = ui.select(_ROLES, value="section", label="It is a").props("dense outlined options-dense")
            role.props["aria-label"] = f"What {number} is"
            row["role"] = role
            for key in ("left", "bottom", "width", "height"):
                row[key] = field(f"{key.capitalize()} {number}", "", nothing)
            self._rows.append(row)

    def _finish(self) -> None:
        rows = []
        for number, row in enumerate(self._rows, 1):
            typed = {key: str(control.value or "").strip() for key, control in row.items()}
            if any(typed[key] for key in ("left", "bottom", "width", "height")):
                rows.append(Measured(**{**typed, "name": typed["name"] or f"section {number}"}))
        sitting = self._tab.sitting

        def act() -> None:
            name, size = str(self._name.value or "Wall"), str(self._size.value or "")
            files = files_from_measurements(sitting.files, name, size, rows)
            sitting.scratch.ground(files)
            sitting.act("typed measurements", files)

        if self._tab.attempt(act):
            self._dialog.close()


def nothing(_: object) -> None:
    """Leave a field as it is: it is read when its form is sent."""


def _both_ways(mm: float) -> str:
    return f"{palette.format_length(mm)} ({mm / 25.4:.1f} in)"
