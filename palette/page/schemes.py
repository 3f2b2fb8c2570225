"""Step 4: the schemes. Find one, see what is proven of it, or why there is none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from palette.page.controls import button, enable, step, words
from palette.page.documents import change_table, drop_table, tables_of
from palette.page.folder import memory_of, with_memory
from palette.page.kept import KeptSchemes
from palette.page.sentences import sentence_of
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.finding import Question
    from palette.page.history import Files
    from palette.page.sitting import Change

__all__ = ["SchemesStep"]

_AIMS = {
    "preferences": "{} places break what was only preferred",
    "weakest-pair": "The two neighbours most alike differ by {} steps",
    "repeats": "Repeats of one paint stand at least {} mm apart",
    "balance": "The paints are used evenly to within {} sections",
    "areas": "The paint that covers most covers {} m²",
    "contrast": "Neighbours differ by {} steps on the whole",
}
"""A step of difference is one CIEDE2000; about one is just visible side by side."""


class SchemesStep:
    """Find and keep schemes."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._shown: object = None
        lead = "Which section gets which paint? The best answer is looked for, and proven."
        with step(4, "The schemes", lead):
            with ui.element("div").classes("row"):
                self._find = button("Find the best scheme", lambda: self._ask("best"), style="act big")
                self._stop = button("Stop, keep the best so far", tab.search.stop, style="quiet")
            with ui.element("div").classes("progress") as self._progress:
                bar = ui.linear_progress(show_value=False, size="6px").props("indeterminate rounded")
                bar.props["aria-label"] = "Looking"
                self._note = words("", style="note")
                self._note.props["aria-live"] = "polite"
            self._result = ui.element("div").classes("stack")
            with ui.element("div").classes("row"):
                others = partial(self._ask, "alternatives")
                self._others = button("Show other good schemes", others, style="quiet")
                self._buy = button("What should I buy?", partial(self._ask, "purchase"), style="quiet")
                self._keep = button("Keep this scheme", self._keep_this, style="quiet")
            self._cards = KeptSchemes(tab)
        self.follow(frozenset({"ground", "scheme", "memory", "search"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        sitting, search = self._tab.sitting, self._tab.search
        for each in (self._find, self._others, self._buy):
            enable(each, sitting.ground is not None and not search.running)
        enable(self._keep, sitting.finished)
        self._stop.set_visibility(search.running)
        self._progress.set_visibility(search.running)
        self._note.set_text(search.found.note)
        if changed & {"ground", "scheme", "search", "memory"}:
            self._show_result()
            self._cards.show()

    def _ask(self, question: Question) -> None:
        self._tab.ask(question)

    def _keep_this(self) -> None:
        self._cards.keep_this()

    # -- what came of it ---------------------------------------------------------------------

    def _show_result(self) -> None:
        sitting, found = self._tab.sitting, self._tab.search.found
        current = sitting.ground is not None and found.key == sitting.ground.key and found.done
        told = (found.sentence, found.rules, found.purchases, found.ways) if current else None
        shown = (sitting.ground, sitting.fault, repr(told), repr(sitting.proof), sitting.verdict is None)
        if shown == self._shown:
            return
        self._shown = shown
        self._result.clear()
        with self._result:
            if sitting.ground is None:
                words(
                    "First mend what is wrong above." if sitting.fault else "First the wall.", style="later"
                )
            elif current and found.sentence:
                self._no_answer()
            else:
                self._proven()
                if current and found.purchases:
                    words("If you can buy one more paint:", style="note-head")
                    with ui.element("ul").classes("pairs"):
                        for sentence in found.purchases:
                            words(sentence, tag="li")

    def _proven(self) -> None:
        proof, sitting = self._tab.sitting.proof, self._tab.sitting
        if proof is not None:
            with ui.element("ul").classes("proofs"):
                for level in proof.get("levels", ()):
                    words(_level_in_words(level), tag="li", style="proof")
        elif sitting.finished:
            words(
                "Painted by hand, or the rules changed since: Find shows how good it can get.", style="note"
            )

    def _no_answer(self) -> None:
        found, tables = self._tab.search.found, tables_of(self._tab.sitting.files, "rule")
        ways = found.ways
        if found.rules:
            words("No scheme keeps all the rules.", style="fault-head")
            words(collision_in_words(tables, found.rules, found.places), style="fault")
        else:
            words(found.sentence, style="fault")
        if ways:
            words("Each of these would help:", style="note-head")
        with ui.element("div").classes("outs"):
            for way in ways:
                told = way_in_words(tables, way)
                button(told[:1].upper() + told[1:], partial(self._take_way, way, told), style="out",
                       label=f"{told}, and find again")  # fmt: skip

    def _take_way(self, way: Mapping[str, Any], told: str) -> None:
        if self._tab.change(told, with_way(self._tab.sitting.files, way)):
            self._ask("best")


def collision_in_words(
    tables: Sequence[Mapping[str, Any]], rules: Sequence[int], places: Sequence[Sequence[str]]
) -> str:
    """Return which rules collide and where, by the titles the page gives them."""
    titles = list(dict.fromkeys(f"“{sentence_of(tables[k]).title}”" for k in rules if k < len(tables)))
    names = list(dict.fromkeys(name for sections in places for name in sections))
    where = f", ringed on the panel: {', '.join(names[:8])}" if names else ""
    if len(titles) == 1:
        return f"The rule {titles[0]} cannot be kept with these paints{where}."
    return f"{', '.join(titles[:-1])} and {titles[-1]} cannot all be kept with these paints{where}."


def way_in_words(tables: Sequence[Mapping[str, Any]], way: Mapping[str, Any]) -> str:
    """Return a way out in the words of the rules' own sentences."""
    told = []
    for number, edits in way["edits"].items():
        sentence = sentence_of(tables[int(number)])
        labels = {piece.key: piece.label for piece in sentence.pieces if not isinstance(piece, str)}
        for key, value in edits.items():
            shown = f"{value:g}" if isinstance(value, float) else value
            told.append(f"{sentence.title}: {labels.get(key, key).lower()} {shown}")
    told += [f"Switch off: {sentence_of(tables[int(number)]).title}" for number in way["out"]]
    return "; ".join(told) or "; ".join(str(change) for change in way["changes"])


def with_way(files: Files, way: Mapping[str, Any]) -> dict[str, bytes]:
    """Return the files after a way out: rules loosened, or left to rest."""
    tables = tables_of(files, "rule")
    changed = dict(files)
    for number, edits in way["edits"].items():
        changed = change_table(changed, "rule", int(number), edits)
    for number in sorted(way["out"], reverse=True):
        changed = drop_table(changed, "rule", int(number))
    if way["out"]:
        resting = [tables[int(number)] for number in way["out"]]
        changed = with_memory(changed, resting=[*memory_of(files).get("resting", []), *resting])
    return changed


def _level_in_words(level: Mapping[str, Any]) -> str:
    told = _AIMS.get(str(level["aim"]), f"{level['aim']}: {{}} {level['unit']}")
    scale = 1e-6 if level["unit"] == "mm2" else 1.0
    value, bound = (f"{scale * level[key]:.1f}".removesuffix(".0") for key in ("value", "bound"))
    if level["proven"]:
        return f"{told.format(value)}. Proven: no choice of these paints does better."
    return f"{told.format(value)}. Stopped early; no choice can do better than {bound}."
