"""The panel, always in view: sections, their numbers, what clashes, under the chosen light.

Colours are custom properties, so a light is changed by one attribute and a section by one class.
The second light is a twin of the drawing with other colours, cut off at the divider; a copy by
reference would be made anew by the browser with every section that changes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from nicegui import ui
from nicegui.element import Element

import palette
from palette.page.controls import words
from palette.page.drawing import (
    Spot,
    cross_between,
    ink_on,
    line_between,
    nearest_in_direction,
    path_of,
    ring_round,
    spots_of,
)
from palette.page.ground import Ground

__all__ = ["Stage"]

_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


_NOTHING = "data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEKAAEALAAAAAABAAEAAAICTAEAOw=="
"""A clear pixel."""


class Stage:
    """The drawing of one tab.

    Parameters
    ----------
    choose : callable
        Hears which section was clicked, or entered from the keyboard.
    """

    def __init__(self, choose: Callable[[str], None]) -> None:
        self._choose = choose
        self._groups: dict[str, Element] = {}
        self._twins: dict[str, Element] = {}
        self._spots: dict[str, Spot] = {}
        self._painted: dict[str, str] = {}
        self._order: tuple[str, ...] = ()
        self._paint_class: dict[str, str] = {}
        self._marks: dict[str, Element] = {}
        self._current = ""
        self._names = False
        self.box = ui.element("div").classes("stage")
        self._first: Element | None = None
        self._second: Element | None = None
        self._splitter: ui.splitter | None = None
        self._sheet: Element | None = None
        self._photos: list[Element] = []

    # -- the drawing itself ------------------------------------------------------------------

    def draw(self, ground: Ground, *, names: bool) -> None:
        """Draw another panel, with the sections' names on it or their numbers alone."""
        self._names = names
        panel = ground.survey.panel
        self._marks, self._painted, self._photos = {}, {}, []
        self._spots = spots_of(panel)
        self._order = panel.ids
        self._paint_class = {paint.id: f"p{k}" for k, paint in enumerate(ground.survey.paints)}
        self._current = self._order[0] if self._order else ""
        self.box.clear()
        box = f"0 0 {panel.width_mm:g} {panel.height_mm:g}"
        self.box.style(f"--ratio: {panel.width_mm / panel.height_mm:.5f}")
        with self.box, ui.element("div").classes("sheet") as self._sheet:
            with ui.element("svg").classes("layer") as self._first:
                self._first.props.update(
                    {
                        "viewBox": box,
                        "role": "group",
                        "aria-label": f"The panel, {len(self._order)} sections",
                    }
                )
                with ui.element("g") as wall:
                    wall.props["id"] = "wall"
                    # Once for all sections: with some on each, the browser would go through
                    # thousands of them with every stroke.
                    for key in ("enter", "space"):
                        wall.on(f"keydown.{key}.prevent", lambda: self._choose(self._current), args=[])
                    for key in ("left", "right", "up", "down"):
                        wall.on(f"keydown.{key}.prevent", partial(self._walk, key), args=[])
                    self._groups = self._draw_wall(panel)
                    self._bring_to_life()
            self._splitter = ui.splitter(value=50, on_change=self._tell_divider).classes("layer halves")
            with self._splitter.separator:
                self._handle = words("‹ ›", tag="div", style="handle")
                self._handle.props.update(
                    {"role": "slider", "tabindex": "0", "aria-label": "Where the two lights meet",
                     "aria-valuemin": "0", "aria-valuemax": "100", "aria-valuenow": "50"}
                )  # fmt: skip
                for key, by in (("left", -5), ("right", 5)):
                    self._handle.on(f"keydown.{key}.prevent", partial(self._move_divider, by), args=[])
            with (
                self._splitter.after,
                ui.element("div").classes("half"),
                ui.element("svg").classes("half-drawing") as self._second,
            ):
                self._second.props.update({"viewBox": box, "aria-hidden": "true"})
                self._twins = self._draw_wall(panel)
            with ui.element("svg").classes("layer over") as over:
                over.props.update({"viewBox": box, "aria-hidden": "true"})
                for name in (
                    "weak",
                    "clash-under",
                    "clash",
                    "ring-under",
                    "ring",
                    "chosen-under",
                    "chosen",
                ):
                    self._marks[name] = ui.element("path").classes(f"mark {name}")
                    self._marks[name].props["d"] = ""

    def _draw_wall(self, panel: palette.Panel) -> dict[str, Element]:
        """Draw everything that is painted or not; return the sections."""
        whole = {"width": f"{panel.width_mm:g}", "height": f"{panel.height_mm:g}"}
        ui.element("rect").classes("gap").props.update(whole)
        # Within the drawing, so that the sections can blend with it.
        photo = ui.element("image").classes("stage-photo")
        photo.props.update({**whole, "preserveAspectRatio": "none", "href": _NOTHING})
        self._photos.append(photo)
        for feature in panel.features:
            ui.element("path").classes(feature.role).props["d"] = path_of(feature.outline)
        groups = {}
        for number, section in enumerate(panel.sections, 1):
            spot = self._spots[section.id]
            with ui.element("g").classes("section bare") as groups[section.id]:
                ui.element("path").props["d"] = path_of(section.outline)
                self._write(str(number), spot.x, spot.y, spot.height, "number")
                for line, text in enumerate(spot.lines if self._names else ()):
                    down = spot.height * 0.75 + (line + 0.5) * spot.name_height * 1.15
                    self._write(text, spot.x, spot.y + down - spot.height * 0.2, spot.name_height, "name")
        if panel.hatch is not None:
            ui.element("path").classes("hatch").props["d"] = path_of(panel.hatch)
        return groups

    def _bring_to_life(self) -> None:
        """Let the sections be pressed, and told by a screen reader."""
        for number, (section, group) in enumerate(self._groups.items(), 1):
            here = "0" if section == self._current else "-1"
            group.props.update({"role": "button", "tabindex": here, "data-section": str(number)})
            group.on("click", partial(self._choose, section), args=[])

    def _write(self, text: str, x: float, y: float, height: float, style: str) -> None:
        element = words(text, tag="text", style=style)
        element.props.update({"x": f"{x:.1f}", "y": f"{y:.1f}", "font-size": f"{height:.1f}"})

    # -- what is on it -----------------------------------------------------------------------

    def show_scheme(self, paint_of: Mapping[str, str], locked: frozenset[str]) -> None:
        """Recolour the sections that changed."""
        for number, section in enumerate(self._order, 1):
            paint = paint_of.get(section, "")
            kept = section in locked
            told = f"{number}, {section}: {paint or 'no paint yet'}{', kept as it is' if kept else ''}"
            if self._painted.get(section) == told:
                continue
            self._painted[section] = told
            group = self._groups[section]
            shade = self._paint_class.get(paint, "bare")
            group.props["aria-label"] = told
            for each in (group, self._twins[section]):
                each.classes(replace=f"section {shade}{' locked' if kept else ''}")

    def show_looks(
        self, first: Sequence[str], second: Sequence[str] | None, kinds: tuple[str, str]
    ) -> None:
        """Set what each paint looks like, in the drawing and beyond the divider."""
        if self._first is None or self._second is None or self._splitter is None:
            return
        self._first.style(replace=_properties(first))
        self._first.classes(replace=f"layer under-{kinds[0]}")
        self._second.style(replace=_properties(second or first))
        self._second.classes(replace=f"half-drawing under-{kinds[1]}")
        self._splitter.set_visibility(second is not None)

    def show_photo(self, uri: str) -> None:
        """Lay the sections over a photo, "" for none; its light and shade show through."""
        if self._sheet is not None:
            for photo in self._photos:
                if photo.props["href"] != (uri or _NOTHING):
                    photo.props["href"] = uri or _NOTHING
            self._sheet.classes(add="on-photo" if uri else "", remove="" if uri else "on-photo")

    def _divider(self) -> float:
        value = self._splitter.value if self._splitter is not None else 50
        return min(100.0, max(0.0, value)) if isinstance(value, (int, float)) else 50.0

    def _move_divider(self, by: float) -> None:
        if self._splitter is not None:
            self._splitter.value = min(100.0, max(0.0, self._divider() + by))

    def _tell_divider(self) -> None:
        self._handle.props["aria-valuenow"] = f"{self._divider():.0f}"

    def show_marks(
        self, verdict: palette.Verdict | None, chosen: str | None, reasons: Sequence[Sequence[str]] = ()
    ) -> None:
        """Draw links between clashing neighbours, rings round what else is broken, the chosen one.

        `reasons` are the places at which rules collide when there is no scheme at all; then they are
        drawn instead.
        """
        lines, rings, weak = [], [], ""
        for places in reasons:
            spots = [self._spots[name] for name in places if name in self._spots]
            if len(spots) == 2:
                lines.append(cross_between(*spots))
            rings += [ring_round(spot) for spot in spots]
        if verdict is not None and not reasons:
            for breach in verdict.breaches:
                spots = [self._spots[name] for name in breach.sections if name in self._spots]
                if len(spots) == 2 and breach.rule == "clash":
                    lines.append(cross_between(*spots))
                else:
                    rings += [ring_round(spot) for spot in spots[:1]]
            pair = verdict.weakest
            if pair is not None and not verdict.breaches:
                weak = line_between(self._spots[pair.a], self._spots[pair.b])
        outline = self._groups.get(chosen or "")
        drawn = {"weak": weak, "chosen": self._outline(outline), "chosen-under": self._outline(outline)}
        drawn["clash"] = drawn["clash-under"] = "".join(lines)
        drawn["ring"] = drawn["ring-under"] = "".join(dict.fromkeys(rings))
        for name, data in drawn.items():
            if self._marks and self._marks[name].props["d"] != data:
                self._marks[name].props["d"] = data

    @staticmethod
    def _outline(group: Element | None) -> str:
        if group is None:
            return ""
        return str(next(iter(group)).props["d"])

    def _walk(self, key: str) -> None:
        """Move the focus to the nearest section in the direction of an arrow key."""
        following = nearest_in_direction(self._spots, self._current, _ARROWS[key])
        if following is not None:
            self.focus(following)

    def focus(self, section: str) -> None:
        """Put the keyboard on a section."""
        if section not in self._groups:
            return
        self._groups[self._current].props["tabindex"] = "-1"
        self._current = section
        self._groups[section].props["tabindex"] = "0"
        self._groups[section].run_method("focus")


def _properties(colours: Sequence[str]) -> str:
    return ";".join(f"--p{k}:{colour};--i{k}:{ink_on(colour)}" for k, colour in enumerate(colours))
