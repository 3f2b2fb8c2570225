"""Step 3: the rules, as sentences with blanks to fill in."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

import palette
from palette.page.blanks import add_blank
from palette.page.controls import button, mark, set_mark, step, switch, words
from palette.page.documents import add_table, change_table, drop_table, tables_of
from palette.page.folder import with_memory
from palette.page.locking import locks_of
from palette.page.sentences import OFFERED, Sentence, first_table, sentence_of
from palette.page.tab import Tab

if TYPE_CHECKING:
    from palette.page.sitting import Change

__all__ = ["RulesStep"]


class RulesStep:
    """What is wanted of a scheme."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._shown: object = None
        self._states: list[tuple[int, TextElement, TextElement, TextElement]] = []
        lead = "Fill in the blanks; switch off what does not matter tonight."
        with step(3, "The rules", lead):
            self._box = ui.element("div").classes("stack")
        self._build()

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        if "ground" in changed or "memory" in changed:
            self._build()
        if "scheme" in changed:
            self._judge()

    def _tables(self) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
        on = tables_of(self._tab.sitting.files, "rule")
        resting = self._tab.sitting.memory.get("resting", [])
        return on, [table for table in resting if isinstance(table, dict)]

    def _build(self) -> None:
        on, resting = self._tables()
        ground = self._tab.sitting.ground
        names = ground and (ground.survey.appearance.lights, ground.survey.appearance.paints)
        shown = (repr(on), repr(resting), names)
        if shown == self._shown:
            return
        self._shown = shown
        self._states = []
        self._box.clear()
        with self._box:
            if not self._tab.sitting.begun:
                words("First the wall.", style="later")
                return
            kept = locks_of(self._tab.sitting.files).values()
            for place, table in enumerate(on):
                # A section kept as it is shows its lock in step 5, not a sentence of its own here.
                if place not in kept:
                    self._rule(table, place, on=True)
            for place, table in enumerate(resting):
                self._rule(table, place, on=False)
            with ui.element("div").classes("row"):
                wanted = offered_rules()
                chosen = ui.select(wanted, label="Another rule").props("dense outlined options-dense")
                chosen.classes("wide")
                chosen.props["aria-label"] = "Another rule"
                button("Add it", lambda: self._add(str(chosen.value or "")), style="quiet")
        self._judge()

    def _rule(self, table: Mapping[str, Any], place: int, *, on: bool) -> None:
        sentence = sentence_of(table)
        with ui.element("div").classes("rule" if on else "rule off"):
            with ui.element("div").classes("rule-head"):
                toggle = switch("", on, lambda value: self._switch(table, place, on=on, wanted=value),
                                spoken=f"{sentence.title}: on")  # fmt: skip
                toggle.props("dense")
                words(sentence.title, tag="h3")
                state = words("", tag="span", style="rule-state")
                sign = mark(None)
                button("Remove", lambda: self._remove(place, on=on), style="quiet small",
                       label=f"Remove the rule: {sentence.title}")  # fmt: skip
            with ui.element("div").classes("rule-words"):
                self._blanks(sentence, table, place, on=on)
            if on:
                broken = words("", style="rule-broken")
                self._states.append((place, state, sign, broken))
            else:
                state.set_text("off")

    def _blanks(self, sentence: Sentence, table: Mapping[str, Any], place: int, *, on: bool) -> None:
        for piece in sentence.pieces:
            if isinstance(piece, str):
                words(piece, tag="span")
                continue
            ground = self._tab.sitting.ground
            add_blank(piece, table, ground, partial(self._fill, place, piece.key, on=on))

    # -- changes ---------------------------------------------------------------------------

    def _fill(self, place: int, key: str, value: Any, *, on: bool) -> None:
        files = self._tab.sitting.files
        if on:
            self._tab.change("a rule's blank", change_table(files, "rule", place, {key: value}))
            return
        _, resting = self._tables()
        resting[place] = {k: v for k, v in {**resting[place], key: value}.items() if v is not None}
        self._tab.sitting.remember("a rule's blank", resting=resting)

    def _switch(self, table: Mapping[str, Any], place: int, *, on: bool, wanted: bool) -> None:
        if wanted == on:
            return
        files = self._tab.sitting.files
        _, resting = self._tables()
        title = sentence_of(table).title
        if wanted:
            del resting[place]
            files = with_memory(add_table(files, "rule", table), resting=resting)
            self._shown = None
            self._tab.change(f"{title}: on", files)
        elif len(tables_of(files, "rule")) == 1:
            self._tab.say("One rule at least must stay on; switch another one on first.")
            self._shown = None
            self._build()
        else:
            files = with_memory(drop_table(files, "rule", place), resting=[*resting, dict(table)])
            self._tab.change(f"{title}: off", files)

    def _remove(self, place: int, *, on: bool) -> None:
        files = self._tab.sitting.files
        if not on:
            _, resting = self._tables()
            del resting[place]
            self._tab.sitting.remember("removed a rule", resting=resting or None)
        elif len(tables_of(files, "rule")) == 1:
            self._tab.say("One rule at least must stay; add another one first.")
        else:
            self._tab.change("removed a rule", drop_table(files, "rule", place))

    def _add(self, kind: str) -> None:
        ground = self._tab.sitting.ground
        if not kind or ground is None:
            self._tab.say("Choose a rule from the list first.")
            return
        table = first_table(kind, ground)
        self._tab.change("added a rule", add_table(self._tab.sitting.files, "rule", table))

    # -- kept or broken ----------------------------------------------------------------------

    def _judge(self) -> None:
        sitting = self._tab.sitting
        for place, state, sign, broken in self._states:
            if sitting.verdict is None or sitting.ground is None or place >= len(sitting.verdict.of_rule):
                state.set_text("not judged yet")
                set_mark(sign, None)
                broken.set_text("")
                continue
            found = sitting.verdict.of_rule[place]
            wished = getattr(sitting.ground.brief.rules[place], "strength", "must") == "prefer"
            set_mark(sign, None if found and wished else not found)
            places = f"in {len(found)} place{'s' * (len(found) > 1)}"
            state.set_text("kept" if not found else f"{'missed' if wished else 'broken'} {places}")
            more = f" And {len(found) - 2} more." if len(found) > 2 else ""
            broken.set_text(" ".join(breach.sentence for breach in found[:2]) + more)


def offered_rules() -> dict[str, str]:
    """Return the rules that can be added, by kind: those this palette knows."""
    known = {}
    for kind, title in OFFERED.items():
        with contextlib.suppress(KeyError):
            palette.describe_options(kind)
            known[kind] = title
    return known
