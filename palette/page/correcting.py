"""Correct the sections of a wall by clicking, over its photo where there is one."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from html import escape
from typing import TYPE_CHECKING

from nicegui import events, run, ui

import palette
from palette.errors import PaletteError
from palette.page import wall_edits
from palette.page.controls import button, choice, enable, field, words
from palette.page.drawing import numbered, path_of, spots_of
from palette.page.photo_reading import grow_section, square_photo
from palette.page.starting import with_corrections
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.wall_edits import Point

__all__ = ["Correcting"]

_WIDTH_PX = 1600
_ROLES = {"trim": "a trim board", "void": "an opening", "hatch": "the outline of the hatch"}
_TOLD = {
    "choose": "Click sections to choose them.",
    "corners": "Click the corners of a new section in turn, then close the outline.",
    "grow": "Click into a coloured field that was missed.",
    "cut": "Click two points; the section between them is cut along the line.",
}


class Correcting:
    """A working copy of the wall; it reaches the page as one action, or not at all."""

    def __init__(self, tab: Tab) -> None:
        ground = tab.sitting.ground
        assert ground is not None
        self._tab = tab
        self._panel = ground.survey.panel
        self._before: list[tuple[palette.Panel, dict[str, str]]] = []
        self._renamed: dict[str, str] = {}
        self._chosen: list[str] = []
        self._points: list[Point] = []
        self._mode = "choose"
        photo, width_px = square_photo(tab.sitting.files)
        self._scale = (width_px or _WIDTH_PX) / self._panel.width_mm
        size = (_WIDTH_PX, round(self._panel.height_mm * self._scale))
        ratio = self._panel.width_mm / self._panel.height_mm
        with tab.dialog("Correct the sections", style="paper desk") as self._dialog:
            with ui.element("div").classes("row"):
                words("Correct the sections", tag="h3")
                ui.element("div").classes("grow")
                self._back = button("Take back", self._take_back, style="quiet")
                button("Leave it as it was", self._dialog.close, style="quiet")
                button("Put it on the page", self._finish, style="act")
            modes = {"choose": "Choose", "corners": "Mark corners", "cut": "Cut in two"}
            if photo:
                modes["grow"] = "Grow from a point"
            with ui.element("div").classes("row"):
                choice("What a click does", modes, "choose", self._switch)
                self._told = words(_TOLD["choose"], tag="span", style="note")
                self._close_outline = button("Close the outline", self._close, style="act small")
            with ui.element("div").classes("desk-parts"):
                self._picture = (
                    ui.interactive_image(
                        photo,
                        size=None if photo else size,
                        events=["click"],
                        on_mouse=self._click,
                        sanitize=False,
                    )
                    .classes("desk-picture")
                    .style(f"--ratio: {ratio:.4f}")
                )
                # For the pointer only: the list beside it says and does the same.
                self._picture.props["aria-hidden"] = "true"
                with ui.element("div").classes("desk-side"):
                    self._chosen_told = words("", style="note")
                    self._name = field("Name", "", self._rename)
                    self._role = ui.select(_ROLES, label="It is no section but", on_change=self._set_role)
                    self._role.props("dense outlined options-dense").props["aria-label"] = (
                        "It is no section but"
                    )
                    self._join = button("Join into one", self._do_join, style="quiet")
                    self._delete = button("Delete", self._do_delete, style="quiet")
                    field("Add by corners, mm from the top left", "", self._type, hint="0,0 300,0 300,200")
                    words("All sections", tag="h3")
                    self._list = ui.element("div").classes("chips")
        self._show()

    # -- what is seen ------------------------------------------------------------------------

    def _show(self) -> None:
        self._picture.set_content(self._drawing())
        many = len(self._chosen)
        self._chosen_told.set_text(
            "Nothing is chosen."
            if not many
            else ", ".join(self._chosen) + (" is chosen." if many == 1 else " are chosen.")
        )
        self._name.value = self._chosen[0] if many == 1 else ""
        self._name.set_visibility(many == 1)
        self._role.set_visibility(many == 1)
        enable(self._join, many > 1)
        enable(self._delete, many > 0)
        enable(self._back, bool(self._before))
        self._close_outline.set_visibility(self._mode == "corners" and len(self._points) > 2)
        self._told.set_text(_TOLD[self._mode])
        self._list.clear()
        with self._list:
            for number, name in enumerate(self._panel.ids, 1):
                chip = button(numbered(number, name), partial(self._toggle, name), style="chip")
                chip.props["aria-pressed"] = "true" if name in self._chosen else "false"

    def _drawing(self) -> str:
        """Return the overlay; names are escaped, everything else is numbers of ours."""
        parts = [f'<g transform="scale({self._scale:.6f})">']
        spots = spots_of(self._panel)
        for number, section in enumerate(self._panel.sections, 1):
            chosen = " chosen" if section.id in self._chosen else ""
            spot = spots[section.id]
            parts.append(
                f'<path class="desk-section{chosen}" d="{path_of(section.outline)}">'
                f"<title>{escape(section.id)}</title></path>"
                f'<text class="desk-number" x="{spot.x:.1f}" y="{spot.y:.1f}" '
                f'font-size="{spot.height:.1f}">{number}</text>'
            )
        parts += [f'<path class="desk-trim" d="{path_of(each.outline)}"/>' for each in self._panel.features]
        if self._panel.hatch is not None:
            parts.append(f'<path class="desk-hatch" d="{path_of(self._panel.hatch)}"/>')
        if self._points:
            line = " ".join(f"{x:.1f},{y:.1f}" for x, y in self._points)
            parts.append(f'<polyline class="desk-line" points="{line}"/>')
            radius = 9 / self._scale
            parts += [
                f'<circle class="desk-corner" cx="{x:.1f}" cy="{y:.1f}" r="{radius:.2f}"/>'
                for x, y in self._points
            ]
        return "".join([*parts, "</g>"])

    # -- what clicks do ----------------------------------------------------------------------

    def _switch(self, mode: str) -> None:
        self._mode, self._points = mode, []
        self._show()

    def _toggle(self, name: str) -> None:
        if name in self._chosen:
            self._chosen.remove(name)
        else:
            self._chosen.append(name)
        self._show()

    async def _click(self, event: events.MouseEventArguments) -> None:
        point = (event.image_x / self._scale, event.image_y / self._scale)
        if self._mode == "choose":
            name = wall_edits.section_at(self._panel, point)
            if name is not None:
                self._toggle(name)
        elif self._mode == "grow":
            await self._grow(point)
        else:
            self._points.append(point)
            if self._mode == "cut" and len(self._points) == 2:
                self._cut()
            self._show()

    def _cut(self) -> None:
        (x0, y0), (x1, y1) = self._points
        self._points = []
        name = wall_edits.section_at(self._panel, ((x0 + x1) / 2, (y0 + y1) / 2))
        if name is None:
            self._tab.say("No section lies between those two points; click on both sides of one.")
        else:
            self._change(lambda: wall_edits.cut_section(self._panel, name, (x0, y0), (x1, y1)))

    def _close(self) -> None:
        points, self._points = self._points, []
        self._change(lambda: wall_edits.add_section(self._panel, points))

    def _type(self, text: object) -> None:
        numbers = [float(part) for part in re.findall(r"\d+(?:\.\d+)?", str(text or ""))]
        points = list(zip(numbers[::2], numbers[1::2], strict=False))
        if points:
            self._change(lambda: wall_edits.add_section(self._panel, points))

    async def _grow(self, point: Point) -> None:
        self._told.set_text("Looking for its edges.")
        try:
            panel = await run.io_bound(grow_section, self._tab.sitting.files, self._panel, point)
        except PaletteError as fault:
            self._tab.say(str(fault))
        else:
            if panel is not None:
                self._change(lambda: panel)
        self._show()

    # -- what buttons do ---------------------------------------------------------------------

    def _change(self, edit: Callable[[], palette.Panel]) -> None:
        try:
            panel = edit()
        except PaletteError as fault:
            self._tab.say(str(fault))
            return
        self._before.append((self._panel, dict(self._renamed)))
        self._panel, names = wall_edits.renumber(panel)
        self._note_names(names)
        self._chosen = [names.get(name, name) for name in self._chosen if name in panel.ids]
        self._show()

    def _note_names(self, names: Mapping[str, str]) -> None:
        """Remember what the sections of the page are called by now."""
        page = self._tab.sitting.ground
        for original in page.survey.panel.ids if page is not None else ():
            called = self._renamed.get(original, original)
            if called in names:
                self._renamed[original] = names[called]

    def _take_back(self) -> None:
        if not self._before:
            # Pressed twice, faster than the button could be switched off.
            return
        self._panel, self._renamed = self._before.pop()
        self._chosen = [name for name in self._chosen if name in self._panel.ids]
        self._show()

    def _rename(self, new: object) -> None:
        if len(self._chosen) == 1 and str(new or "").strip() and new != self._chosen[0]:
            old, fresh = self._chosen[0], " ".join(str(new).split())[:60]
            self._change(lambda: wall_edits.rename_section(self._panel, old, fresh))
            if fresh in self._panel.ids:
                self._note_names({old: fresh})
                self._chosen = [fresh]
                self._show()

    def _set_role(self) -> None:
        role = self._role.value
        if role and len(self._chosen) == 1:
            self._change(lambda: wall_edits.set_role(self._panel, self._chosen[0], role))
            self._role.value = None

    def _do_join(self) -> None:
        self._change(lambda: wall_edits.join_sections(self._panel, self._chosen))

    def _do_delete(self) -> None:
        self._change(lambda: wall_edits.delete_sections(self._panel, self._chosen))

    def _finish(self) -> None:
        sitting = self._tab.sitting

        def act() -> None:
            files = with_corrections(sitting.files, self._panel, self._renamed)
            sitting.scratch.ground(files)
            sitting.act("corrected the sections", files)

        if self._tab.attempt(act):
            self._dialog.close()
