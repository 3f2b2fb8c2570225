"""Step 4: the schemes. Find one, see what is proven of it, keep several."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

import palette
from palette.page.controls import button, enable, step, words
from palette.page.documents import change_table, drop_table, tables_of
from palette.page.folder import with_memory
from palette.page.ground import complete, verdict_of
from palette.page.sentences import sentence_of
from palette.page.tab import Tab
from palette.page.thumbnails import thumbnail

if TYPE_CHECKING:
    from palette.page.history import Files
    from palette.page.sitting import Change

__all__ = ["SchemesStep"]

_AIMS = {
    "weakest-pair": "The two neighbours most alike",
    "weakest pair": "The two neighbours most alike",
}


class SchemesStep:
    """Find and keep schemes."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._kept_shown: object = None
        with step(
            4, "The schemes", "Which section gets which paint? The best answer is looked for, and proven."
        ):
            with ui.element("div").classes("row") as self._acts:
                self._find = button("Find the best scheme", self._ask, style="act big")
                self._stop = button("Stop, keep the best so far", self._halt, style="quiet")
                self._keep = button("Keep this scheme beside", self._keep_this, style="quiet")
            with ui.element("div").classes("progress") as self._progress:
                self._bar = ui.linear_progress(show_value=False, size="6px").props("indeterminate rounded")
                self._bar.props["aria-label"] = "Looking for the best scheme"
                self._note = words("", style="note")
                self._note.props["aria-live"] = "polite"
            self._result = ui.element("div").classes("stack")
            self._kept = ui.element("div").classes("kept")
        self.follow(frozenset({"ground", "scheme", "memory", "search"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        sitting, search = self._tab.sitting, self._tab.search
        enable(self._find, sitting.ground is not None and not search.running)
        enable(self._keep, sitting.finished)
        self._stop.set_visibility(search.running)
        self._progress.set_visibility(search.running)
        self._note.set_text(search.found.note)
        if changed & {"ground", "scheme", "search", "memory"}:
            self._show_result()
            self._show_kept()

    # -- finding -----------------------------------------------------------------------------

    def _ask(self) -> None:
        sitting = self._tab.sitting
        if sitting.ground is not None:
            self._tab.search.ask(sitting.scratch.lay_out(sitting.files))
            self.follow(frozenset({"search"}))

    def _halt(self) -> None:
        self._tab.search.stop()
        best = self._tab.search.found.scheme
        if best is None:
            self._tab.say("Stopped. No scheme had been found yet; the one on the page is as it was.")
        self.follow(frozenset({"search"}))

    # -- what came of it ---------------------------------------------------------------------

    def _show_result(self) -> None:
        sitting, found = self._tab.sitting, self._tab.search.found
        self._result.clear()
        with self._result:
            if sitting.ground is None:
                words(
                    "First the wall." if not sitting.begun else "First mend what is wrong above.",
                    style="later",
                )
                return
            if found.sentence and found.done:
                self._no_scheme(found.sentence, found.rules)
            elif sitting.finished:
                self._proven()

    def _proven(self) -> None:
        proof, verdict = self._tab.sitting.proof, self._tab.sitting.verdict
        for level in (proof or {}).get("levels", ()):
            aim = _AIMS.get(level["aim"], str(level["aim"]).capitalize())
            value = f"{level['value']:.1f} {level['unit']}".strip()
            if level["proven"]:
                told = f"{aim}: {value}. Proven best: no other choice of these paints does better."
            else:
                bound = f"{level['bound']:.1f}"
                told = f"{aim}: {value}. Stopped early; no choice can do better than {bound}."
            words(told, style="proof")
        if proof is None and verdict is not None:
            words(
                "This scheme was changed by hand, or the rules since; press Find to see the best there is.",
                style="note",
            )

    def _no_scheme(self, sentence: str, rules: tuple[str, ...]) -> None:
        words("No scheme keeps all the rules.", style="fault-head")
        words(sentence, style="fault")
        with ui.element("div").classes("row outs"):
            for place, table in enumerate(tables_of(self._tab.sitting.files, "rule")):
                if rules and table.get("kind") not in rules:
                    continue
                self._ways_out(place, table)

    def _ways_out(self, place: int, table: dict[str, Any]) -> None:
        files = self._tab.sitting.files
        title = sentence_of(table).title
        if table.get("kind") == "clash":
            least = table.get("min_difference", 20.0)
            if isinstance(least, (int, float)) and least > 4:
                lower = float(round(least / 2))
                changed = change_table(files, "rule", place, {"min_difference": lower})
                self._way(f"Let neighbours differ by {lower:g} only", changed)
        if table.get("kind") == "depth":
            more = float(table.get("tolerance", 0.0)) + 10
            changed = change_table(files, "rule", place, {"tolerance": more})
            self._way(f"Forgive {more:g} steps of lightness", changed)
        if len(tables_of(files, "rule")) > 1:
            resting = [*self._tab.sitting.memory.get("resting", []), table]
            changed = with_memory(drop_table(files, "rule", place), resting=resting)
            self._way(f"Switch off: {title}", changed)

    def _way(self, text: str, files: Files) -> None:
        def act() -> None:
            if self._tab.change(text, files):
                self._ask()

        button(f"{text}, and find again", act, style="out")

    # -- schemes kept beside -------------------------------------------------------------------

    def _keep_this(self) -> None:
        sitting = self._tab.sitting
        kept = list(sitting.memory.get("kept", []))
        taken = {entry.get("name") for entry in kept}
        name = next(f"Scheme {k}" for k in range(1, 10_000) if f"Scheme {k}" not in taken)
        kept.append({"name": name, "paint_of": dict(sitting.paint_of)})
        sitting.remember(f"kept {name}", kept=kept)

    def _show_kept(self) -> None:
        sitting = self._tab.sitting
        kept = [entry for entry in sitting.memory.get("kept", []) if isinstance(entry, dict)]
        shown = (sitting.ground, repr(kept), dict(sitting.paint_of))
        if shown == self._kept_shown:
            return
        self._kept_shown = shown
        self._kept.clear()
        if sitting.ground is None:
            return
        with self._kept:
            for place, entry in enumerate(kept):
                self._kept_one(place, str(entry.get("name", "")), dict(entry.get("paint_of", {})))

    def _kept_one(self, place: int, name: str, paint_of: dict[str, str]) -> None:
        sitting, ground = self._tab.sitting, self._tab.sitting.ground
        assert ground is not None
        lights = ground.brief.lights
        with ui.element("article").classes("kept-one"):
            words(name, tag="h3")
            with ui.element("div").classes("pair"):
                for light in dict.fromkeys((lights[0].id, lights[-1].id)):
                    thumbnail(ground, paint_of, light, told=f"{name} under {light}")
            verdict = verdict_of(ground, paint_of) if complete(ground, paint_of) else None
            words(in_words(verdict), style="note")
            with ui.element("div").classes("row"):
                same = paint_of == sitting.paint_of
                put = partial(sitting.use_scheme, paint_of, deed=f"put {name} on the wall")
                text = "On the wall now" if same else "Put on the wall"
                use = button(text, put, style="quiet small", label=f"Put {name} on the wall")
                enable(use, not same)
                button("Side by side", lambda: self._side_by_side(name, paint_of), style="quiet small",
                       label=f"See {name} side by side with the wall now")  # fmt: skip
                button(
                    "Forget", lambda: self._forget(place, name), style="quiet small", label=f"Forget {name}"
                )

    def _forget(self, place: int, name: str) -> None:
        kept = list(self._tab.sitting.memory.get("kept", []))
        del kept[place]
        self._tab.sitting.remember(f"forgot {name}", kept=kept or None)

    def _side_by_side(self, name: str, paint_of: dict[str, str]) -> None:
        sitting, ground = self._tab.sitting, self._tab.sitting.ground
        assert ground is not None
        with ui.dialog(value=True).props("maximized") as dialog, ui.element("div").classes("paper beside"):
            dialog.props["aria-label"] = f"The wall now and {name}, side by side"
            with ui.element("div").classes("row"):
                words("Side by side", tag="h3")
                ui.element("div").classes("grow")
                button("Close", dialog.close, style="act")
            with ui.element("div").classes("beside-pair"):
                for title, scheme in (("The wall now", dict(sitting.paint_of)), (name, paint_of)):
                    with ui.element("div").classes("beside-one"):
                        words(title, tag="h3")
                        for light in ground.brief.lights:
                            thumbnail(
                                ground, scheme, light.id, told=f"{title} under {light.id}", style="wide"
                            )
                        words(in_words(verdict_of(ground, scheme)), style="note")
            differing = [s for s in ground.survey.panel.ids if sitting.paint_of.get(s) != paint_of.get(s)]
            told = ", ".join(
                f"{s}: {sitting.paint_of.get(s, '–')} / {paint_of.get(s, '–')}" for s in differing
            )
            words(
                f"{len(differing)} sections differ. {told}" if differing else "They are the same.",
                style="note",
            )


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
