"""The chosen section, right below the panel: its paint, and what every other paint would do."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from nicegui import background_tasks, run, ui
from nicegui.elements.mixins.text_element import TextElement

import palette
from palette.page.controls import button, mark, set_mark, swatch, switch, words
from palette.page.drawing import numbered
from palette.page.ground import verdict_of
from palette.page.locking import is_locked, with_lock
from palette.page.looks import colours_under
from palette.page.tab import Tab

if TYPE_CHECKING:
    from nicegui.element import Element

    from palette.page.ground import Ground
    from palette.page.sitting import Change

__all__ = ["Chooser"]


class Chooser:
    """Choose a paint for one section."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._offers: dict[str, tuple[Element, TextElement, TextElement]] = {}
        self._asked = 0
        self.box = ui.element("div").classes("chooser")
        self.box.props.update({"role": "region", "aria-label": "The chosen section"})
        tab.on_view.append(self.show)
        self._build()

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        if "ground" in changed:
            self._build()
        elif "scheme" in changed:
            self.show()

    def _build(self) -> None:
        self._offers = {}
        self.box.clear()
        ground = self._tab.sitting.ground
        if ground is None:
            return
        appearance = ground.survey.appearance
        looks = [colours_under(appearance, light) for light in appearance.lights]
        with self.box:
            with ui.element("div").classes("chooser-head"):
                self._title = words("", tag="h3")
                self._lock = switch("Keep as it is", False, self._set_lock)
                button(
                    "Done",
                    lambda: self._tab.look(chosen=None),
                    style="quiet",
                    label="Done with this section",
                )
            with ui.element("div").classes("offers"):
                for place, paint in enumerate(ground.survey.paints):
                    self._offer(paint.id, tuple(column[place] for column in looks))
        self.show()

    def _offer(self, paint: str, colours: tuple[str, ...]) -> None:
        with TextElement(tag="button", text="").classes("offer") as offer:
            offer.props["type"] = "button"
            swatch((colours[0], colours[-1]))
            with ui.element("span").classes("offer-words"):
                words(paint, tag="span", style="offer-name")
                told = words("", tag="span", style="offer-told")
            sign = mark(None)
        offer.on("click", lambda: self._take(paint), args=[])
        self._offers[paint] = (offer, told, sign)

    def show(self) -> None:
        """Show the chosen section, and begin to judge each paint for it."""
        sitting, chosen = self._tab.sitting, self._tab.view.chosen
        ground = sitting.ground
        self.box.set_visibility(ground is not None and chosen is not None)
        if ground is None or chosen is None:
            return
        number = ground.survey.panel.ids.index(chosen) + 1
        self._title.set_text(f"{numbered(number, chosen)}: {sitting.paint_of.get(chosen, 'no paint yet')}")
        self._lock.set_visibility(chosen in sitting.paint_of)
        self._lock.value = is_locked(sitting.files, chosen)
        for paint, (offer, _told, _sign) in self._offers.items():
            now = "true" if sitting.paint_of.get(chosen) == paint else "false"
            if offer.props.get("aria-pressed") != now:
                offer.props["aria-pressed"] = now
        self._asked += 1
        background_tasks.create(self._judge(ground, chosen, self._asked), name="judging offers")

    async def _judge(self, ground: Ground, chosen: str, asked: int) -> None:
        # The panel and its verdict are drawn first; what the other paints would do may follow,
        # all at once: every message makes the browser go over the whole page.
        await asyncio.sleep(0.15)
        if asked != self._asked:
            return
        paint_of = dict(self._tab.sitting.paint_of)
        told = await run.io_bound(_judge_all, ground, paint_of, chosen, tuple(self._offers))
        if told is None or asked != self._asked:
            return
        for paint, (sentence, good) in told.items():
            _offer, line, sign = self._offers[paint]
            line.set_text(sentence)
            set_mark(sign, good)

    def _take(self, paint: str) -> None:
        chosen = self._tab.view.chosen
        if chosen is not None and self._tab.sitting.paint_of.get(chosen) != paint:
            self._tab.sitting.paint(chosen, paint)

    def _set_lock(self, lock: bool) -> None:
        sitting, chosen = self._tab.sitting, self._tab.view.chosen
        if chosen is None or is_locked(sitting.files, chosen) == lock:
            return
        paint = sitting.paint_of.get(chosen)
        if paint is not None:
            deed = f"{chosen}: {'kept as it is' if lock else 'free again'}"
            self._tab.change(deed, with_lock(sitting.files, chosen, paint if lock else None))


def _judge_all(
    ground: Ground, paint_of: dict[str, str], chosen: str, paints: tuple[str, ...]
) -> dict[str, tuple[str, bool | None]]:
    return {paint: told_of(verdict_of(ground, {**paint_of, chosen: paint}), chosen) for paint in paints}


def told_of(verdict: palette.Verdict | None, section: str) -> tuple[str, bool | None]:
    """Return what a paint would do to a section, in a few words."""
    if verdict is None:
        return "", None
    here = [breach for breach in verdict.breaches if section in breach.sections]
    if here:
        others = [name for breach in here for name in breach.sections if name != section]
        clashing = list(dict.fromkeys(others))
        if clashing:
            more = f" and {len(clashing) - 2} more" if len(clashing) > 2 else ""
            return f"breaks a rule with {', '.join(clashing[:2])}{more}", False
        return here[0].sentence, False
    if verdict.breaches:
        return "fine here; broken elsewhere", None
    return "keeps every rule", True
