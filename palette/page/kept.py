"""Schemes beside the one on the wall: alternatives found, and those a person keeps."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

import palette
from palette.page.controls import button, enable, words
from palette.page.ground import complete, verdict_of
from palette.page.tab import Tab
from palette.page.thumbnails import thumbnail

if TYPE_CHECKING:
    from palette.page.ground import Ground

__all__ = ["KeptSchemes", "in_words"]


class KeptSchemes:
    """Cards of schemes, each in both lights."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._shown: object = None
        self._box = ui.element("div").classes("kept")

    def keep_this(self) -> None:
        """Keep the scheme on the wall beside."""
        self._keep(dict(self._tab.sitting.paint_of), "")

    def _keep(self, paint_of: dict[str, str], best_at: str) -> None:
        sitting = self._tab.sitting
        kept = self._kept()
        taken = {entry.get("name") for entry in kept}
        name = next(f"Scheme {k}" for k in range(1, 10_000) if f"Scheme {k}" not in taken)
        entry = {"name": name, "paint_of": paint_of, **({"best_at": best_at} if best_at else {})}
        sitting.remember(f"kept {name}", kept=[*kept, entry])

    def _kept(self) -> list[dict[str, Any]]:
        kept = self._tab.sitting.memory.get("kept", [])
        return [entry for entry in kept if isinstance(entry, dict)] if isinstance(kept, list) else []

    def show(self) -> None:
        """Show all cards, if anything about them changed."""
        sitting, found = self._tab.sitting, self._tab.search.found
        ground = sitting.ground
        alternatives = found.alternatives if ground is not None and found.key == ground.key else []
        kept = self._kept()
        shown = (ground, repr(kept), repr(alternatives), tuple(sorted(sitting.paint_of.items())))
        if shown == self._shown:
            return
        self._shown = shown
        self._box.clear()
        if ground is None:
            return
        with self._box:
            for number, entry in enumerate(alternatives, 1):
                self._card(ground, f"Choice {number}", entry, place=None)
            for place, entry in enumerate(kept):
                self._card(ground, str(entry.get("name", "")), entry, place=place)

    def _card(self, ground: Ground, name: str, entry: Mapping[str, Any], *, place: int | None) -> None:
        sitting = self._tab.sitting
        paint_of = {str(key): str(paint) for key, paint in dict(entry.get("paint_of", {})).items()}
        best_at = str(entry.get("best_at", ""))
        lights = ground.brief.lights
        with ui.element("article").classes("kept-one"):
            words(name, tag="h3")
            with ui.element("div").classes("pair"):
                for light in dict.fromkeys((lights[0].id, lights[-1].id)):
                    thumbnail(ground, paint_of, light, told=f"{name} under {light}")
            if best_at:
                words(f"Best at: {best_at}", style="note")
            verdict = verdict_of(ground, paint_of) if complete(ground, paint_of) else None
            words(in_words(verdict), style="note")
            with ui.element("div").classes("row"):
                same = paint_of == sitting.paint_of
                put = partial(sitting.use_scheme, paint_of, deed=f"put {name} on the wall")
                text = "On the wall now" if same else "Put on the wall"
                enable(button(text, put, style="quiet small", label=f"{text}: {name}"), not same)
                beside = partial(show_side_by_side, self._tab, name, paint_of)
                button(
                    "Side by side",
                    beside,
                    style="quiet small",
                    label=f"Side by side: {name} and the wall now",
                )
                if place is None:
                    keep = partial(self._keep, paint_of, best_at)
                    button("Keep", keep, style="quiet small", label=f"Keep {name}")
                else:
                    forget = partial(self._forget, place, name)
                    button("Forget", forget, style="quiet small", label=f"Forget {name}")

    def _forget(self, place: int, name: str) -> None:
        kept = self._kept()
        del kept[place]
        self._tab.sitting.remember(f"forgot {name}", kept=kept or None)


def show_side_by_side(tab: Tab, name: str, paint_of: Mapping[str, str]) -> None:
    """Show the wall now and another scheme, large, in every light, and where they differ."""
    sitting, ground = tab.sitting, tab.sitting.ground
    assert ground is not None
    with tab.dialog(f"The wall now and {name}, side by side", style="paper desk") as dialog:
        with ui.element("div").classes("row"):
            words("Side by side", tag="h3")
            ui.element("div").classes("grow")
            button("Close", dialog.close, style="act")
        with ui.element("div").classes("beside-pair"):
            for title, scheme in (("The wall now", dict(sitting.paint_of)), (name, paint_of)):
                with ui.element("div").classes("beside-one"):
                    words(title, tag="h3")
                    for light in ground.brief.lights:
                        words(light.id.capitalize(), style="note")
                        thumbnail(ground, scheme, light.id, told=f"{title} under {light.id}")
                    words(in_words(verdict_of(ground, scheme)), style="note")
        differing = [s for s in ground.survey.panel.ids if sitting.paint_of.get(s) != paint_of.get(s)]
        many = "1 section differs." if len(differing) == 1 else f"{len(differing)} sections differ."
        words(many if differing else "They are the same.", style="note-head")
        with ui.element("ul").classes("differing"):
            for name_of in differing:
                before, after = sitting.paint_of.get(name_of, "no paint"), paint_of.get(name_of, "no paint")
                words(f"{name_of}: {before}, there {after}", tag="li")


def in_words(verdict: palette.Verdict | None) -> str:
    """Return a verdict in one line."""
    if verdict is None:
        return "Not every section has a paint yet."
    if verdict.breaches:
        count = len(verdict.breaches)
        return f"Broken in {count} place{'s' * (count > 1)}."
    weakest = verdict.weakest
    if weakest is None:
        return "Every rule is kept."
    return (
        f"Every rule is kept. Most alike: {weakest.a} and {weakest.b}, "
        f"{weakest.difference:.1f} apart under {weakest.light}."
    )
