"""Step 2: the shelf. Paints as they look in both lights, and how much of each there is."""

from __future__ import annotations

import re
from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nicegui import events, ui
from nicegui.elements.mixins.text_element import TextElement

from palette.errors import InputError
from palette.page import controls
from palette.page.controls import button, number_field, step, swatch, words
from palette.page.documents import add_table, change_table, drop_table, tables_of
from palette.page.look_alikes import look_alikes
from palette.page.looks import colours_under
from palette.page.renaming import with_paint_renamed
from palette.page.starting import generic_tables, panel_name
from palette.page.swatch_photos import SwatchPhotos
from palette.page.tab import Tab
from palette.page.upload import upload

if TYPE_CHECKING:
    from nicegui.element import Element

    from palette.page.ground import Ground
    from palette.page.sitting import Change

__all__ = ["ShelfStep"]

_LIGHTS = ("daylight", "blacklight")
_MEASURED = (".bfc", ".csv", ".txt")


@dataclass(slots=True, kw_only=True, eq=False)
class _Can:
    """What is shown of one paint, so that it can be brought up to date in place."""

    patch: Element
    told: TextElement
    stock: ui.input
    coats: ui.number
    colours: dict[str, ui.color_input] = field(default_factory=dict)


class ShelfStep:
    """What there is to paint with."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._shown: object = None
        self._cans: list[_Can] = []
        with step(
            2, "The shelf", "Which paints are there? Each patch shows daylight left, blacklight right."
        ):
            self._box = ui.element("div").classes("stack")
            # Beside the box, so that the photos dropped stay when the shelf is drawn anew.
            self._board = SwatchPhotos(tab)
        self._build()

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        if "ground" in changed:
            self._build()

    def _build(self) -> None:
        sitting = self._tab.sitting
        self._board.box.set_visibility(sitting.begun)
        tables = tables_of(sitting.files, "paint")
        shown = ([(table.get("name"), _by_swatch(table)) for table in tables], sitting.begun)
        if shown != self._shown:
            self._shown = shown
            self._cans = []
            self._box.clear()
            with self._box:
                if not sitting.begun:
                    words("First the wall.", style="later")
                    return
                with ui.element("div").classes("cans"):
                    for place, table in enumerate(tables):
                        self._can(place, str(table.get("name", "")), table)
                self._pairs = ui.element("div").classes("stack")
                with ui.element("div").classes("row"):
                    button("Add a paint from two colours", self._add, style="quiet")
                    self._generic = ui.select([], label="A generic paint", on_change=self._add_generic)
                    self._generic.props("dense outlined options-dense").classes("wide")
                    self._generic.props["aria-label"] = "Add a generic paint"
                upload(
                    self._tab,
                    "Drop a measured paint here (BFC or CSV)",
                    ",".join(_MEASURED),
                    self._add_measured,
                )
        if sitting.begun:
            self._update(tables, sitting.ground)

    def _can(self, place: int, name: str, table: Mapping[str, Any]) -> None:
        with ui.element("details").classes("can"):
            with ui.element("summary"):
                patch = swatch(("#8886", "#8886"))
                words(name, tag="span", style="can-title")
                told = words("", tag="span", style="can-told")
            with ui.element("div").classes("can-fields"):
                label = controls.field("Name", name, lambda value: self._rename(name, value))
                label.props["aria-label"] = f"Name of {name}"
                button(
                    "Take off the shelf",
                    lambda: self._drop(place, name),
                    style="quiet",
                    label=f"Take off the shelf: {name}",
                )
                colours = (
                    {light: self._colour(place, name, light) for light in _LIGHTS}
                    if _by_swatch(table)
                    else {}
                )
                if not colours:
                    words("Its looks come from its description in the paint file.", style="note")
                stock = controls.field(
                    "On hand", "", lambda value: self._set(place, name, value), hint="0.75 L"
                )
                stock.props["aria-label"] = f"How much {name} there is"
                coats = number_field("Coats", None, lambda value: self._coats(place, name, value), least=1)
                coats.props["aria-label"] = f"Coats of {name}"
        self._cans.append(_Can(patch=patch, told=told, stock=stock, coats=coats, colours=colours))

    def _colour(self, place: int, name: str, light: str) -> ui.color_input:
        control = ui.color_input(f"In {light}").props("dense outlined stack-label")
        control.props["aria-label"] = f"{name} in {light}, a colour like #38d64e"
        control.button.props["aria-label"] = f"Choose how {name} looks in {light}"

        def commit() -> None:
            patch = tables_of(self._tab.sitting.files, "paint")[place].get("swatch", {})
            if control.value and control.value != patch.get(light):
                changed = {"swatch": {**patch, light: control.value}}
                files = change_table(self._tab.sitting.files, "paint", place, changed)
                if not self._tab.change(f"{name}: another look in {light}", files):
                    control.value = patch.get(light)

        for event in ("blur", "keydown.enter"):
            control.on(event, commit, args=[])
        control.picker.on("hide", commit, args=[])
        return control

    def _update(self, tables: list[dict[str, Any]], ground: Ground | None) -> None:
        looks = _looks(ground)
        for can, table in zip(self._cans, tables, strict=True):
            seen = looks.get(str(table.get("name", "")))
            if seen is not None:
                can.patch.style(replace=f"background: linear-gradient(90deg, {seen[0]} 50%, {seen[1]} 50%)")
            stock, coats = str(table.get("stock", "")), table.get("coats", 2)
            # A file written by hand may hold anything; what is wrong with it is told in step 1.
            coats = coats if isinstance(coats, int) else None
            often = "" if coats is None else f", {coats} coat{'s' * (coats != 1)}"
            can.told.set_text(f"{stock or 'no matter how much'}{often}")
            can.stock.value, can.coats.value = stock, coats
            for light, control in can.colours.items():
                control.value = str(table["swatch"].get(light, ""))
        names = [str(table.get("name")) for table in tables]
        self._generic.set_options([name for name in generic_tables() if name not in names], value=None)
        self._pairs.clear()
        with self._pairs:
            _tell_pairs(ground)

    # -- changes ---------------------------------------------------------------------------

    def _set(self, place: int, name: str, value: object) -> None:
        text = str(value or "").strip() or None
        if text != tables_of(self._tab.sitting.files, "paint")[place].get("stock"):
            files = change_table(self._tab.sitting.files, "paint", place, {"stock": text})
            self._tab.change(f"{name}: {text or 'no matter how much'} on hand", files)

    def _coats(self, place: int, name: str, value: float | None) -> None:
        coats = None if value is None else round(value)
        files = change_table(self._tab.sitting.files, "paint", place, {"coats": coats})
        self._tab.change(f"{name}: coats", files)

    def _rename(self, name: str, value: object) -> None:
        fresh = " ".join(str(value or "").split())[:60]
        if fresh and fresh != name:
            self._tab.change(
                f"{name} is now {fresh}", with_paint_renamed(self._tab.sitting.files, name, fresh)
            )

    def _drop(self, place: int, name: str) -> None:
        if len(tables_of(self._tab.sitting.files, "paint")) == 1:
            self._tab.say("One paint at least must stay on the shelf.")
            return
        self._tab.change(f"took {name} off the shelf", drop_table(self._tab.sitting.files, "paint", place))

    def _add(self) -> None:
        taken = {str(table.get("name")) for table in tables_of(self._tab.sitting.files, "paint")}
        number = next(k for k in range(1, 10_000) if f"paint {k}" not in taken)
        table = {"name": f"paint {number}", "swatch": {"daylight": "#ff77cc", "blacklight": "#ff55aa"}}
        self._tab.change(f"added paint {number}", add_table(self._tab.sitting.files, "paint", table))

    def _add_generic(self) -> None:
        name = self._generic.value
        if name:
            files = add_table(self._tab.sitting.files, "paint", generic_tables()[name])
            self._tab.change(f"added {name}", files)

    async def _add_measured(self, event: events.UploadEventArguments) -> None:
        data = await event.file.read()
        files, name = self._tab.sitting.files, panel_name(event.file.name)
        try:
            stored = measured_file(event.file.name, taken=files)
        except InputError as fault:
            self._tab.say(str(fault))
            return
        changed = add_table({**files, stored: data}, "paint", {"name": name, "matrix": stored})
        if self._tab.change(f"added {name}", changed):
            self._tab.say(f"{name} is on the shelf.", good=True)


def measured_file(name: str, *, taken: Container[str]) -> str:
    """Return how a measurement somebody dropped is called in the project: by a name nothing has there.

    Raises
    ------
    InputError
        It is of another kind.
    """
    suffix = Path(name).suffix.lower()
    if suffix not in _MEASURED:
        what = "this is no measurement of a paint"
        raise InputError(name, what, f"drop a file of one of these kinds: {', '.join(_MEASURED)}")
    stem = re.sub(r"[^a-z0-9]+", "-", panel_name(name).lower()).strip("-") or "paint"
    tries = (f"{stem}{f'-{k}' if k > 1 else ''}{suffix}" for k in count(1))
    return next(each for each in tries if each not in taken)


def _by_swatch(table: Mapping[str, Any]) -> bool:
    patch = table.get("swatch")
    return isinstance(patch, dict) and all(isinstance(each, str) for each in patch.values())


def _looks(ground: Ground | None) -> dict[str, tuple[str, str]]:
    if ground is None:
        return {}
    appearance = ground.survey.appearance
    first, last = (
        colours_under(appearance, light) for light in (appearance.lights[0], appearance.lights[-1])
    )
    return {paint: (first[k], last[k]) for k, paint in enumerate(appearance.paints)}


def _tell_pairs(ground: Ground | None) -> None:
    if ground is None:
        return
    pairs = look_alikes(ground)
    if not pairs:
        words("No two paints on the shelf look alike, in any light.", style="good-news")
        return
    words("Look-alikes on this shelf: both may be on the wall, but never side by side.", style="note-head")
    with ui.element("ul").classes("pairs"):
        for sentence in pairs:
            words(sentence, tag="li")
