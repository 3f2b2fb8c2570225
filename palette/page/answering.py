"""The questions a page asks the engine, and their answers as plain values."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import palette
from palette.errors import InputError, NoScheme, PaletteError

__all__ = ["answer"]

MANY = 4
"""Alternatives shown: as many as a person compares at a glance."""

Tell = Callable[[str], object]


def answer(question: str, path: Path, tell: Tell) -> dict[str, Any]:
    """Return the answer to one question about a brief; `tell` hears what is being done."""
    try:
        brief = palette.read_brief(path)
        if question == "alternatives":
            return _alternatives(brief, tell)
        if question == "purchase":
            return {"purchases": _purchases(brief, tell)}
        return _best(brief, tell)
    except PaletteError as fault:
        return {"sentence": str(fault)}


def _on_step(tell: Tell) -> palette.OnProgress:
    def on_step(step: palette.Step) -> None:
        tell(step.note[:1].upper() + step.note[1:])

    return on_step


def _best(brief: palette.Brief, tell: Tell) -> dict[str, Any]:
    try:
        return {"scheme": palette.run(brief, on_progress=_on_step(tell)).scheme.to_dict()}
    except NoScheme as fault:
        tell("No scheme; looking for the reason")
        survey = palette.survey_brief(brief)
        collision = palette.find_collision(survey, brief.rules)
        tell("Looking for ways out")
        ways = palette.find_ways_out(survey, brief.rules)
        return {
            "sentence": str(fault),
            "rules": list(collision.rules) if collision else [],
            "places": [list(sections) for _, sections in collision.places] if collision else [],
            "ways": [_way(brief.rules, way) for way in ways[:6]],
        }


def _way(rules: Sequence[palette.Rule], way: palette.WayOut) -> dict[str, Any]:
    """Return a way out as edits of the brief's rules: number to keys, and numbers to leave out."""
    edits: dict[int, dict[str, Any]] = {}
    left = list(way.rules)
    out: list[int] = []
    for number, rule in enumerate(rules):
        same = next((other for other in left if other == rule), None)
        if same is not None:
            left.remove(same)
            continue
        # A changed rule keeps its kind and its place among those of its kind.
        changed = next((other for other in left if other.kind == rule.kind and other not in rules), None)
        if changed is None:
            out.append(number)
            continue
        left.remove(changed)
        edits[number] = _difference(rule, changed)
    return {"changes": list(way.changes), "edits": edits, "out": out}


def _difference(rule: Any, changed: Any) -> dict[str, Any]:
    units = {key: expects for key, expects, _ in palette.describe_options(rule.kind)}
    found: dict[str, Any] = {}
    for item in dataclasses.fields(rule):
        value = getattr(changed, item.name)
        if value != getattr(rule, item.name):
            found[item.name] = _written(value, units.get(item.name, ""))
    return found


def _written(value: Any, expects: str) -> Any:
    """Return an option's value as a brief writes it."""
    if isinstance(value, tuple):
        return list(value)
    if value is None:
        return "off" if '"off"' in expects else None
    if expects.startswith("a length") and isinstance(value, (int, float)):
        return f"{value:g} mm"
    return value


def _alternatives(brief: palette.Brief, tell: Tell) -> dict[str, Any]:
    survey = palette.survey_brief(brief)
    found = palette.find_alternatives(
        survey, brief.rules, MANY, seed=brief.seed, on_progress=_on_step(tell)
    )
    return {
        "alternatives": [
            {"paint_of": dict(each.scheme.paint_of), "best_at": each.best_at} for each in found
        ]
    }


def _purchases(brief: palette.Brief, tell: Tell) -> list[str]:
    tell("Trying each generic paint on this wall")
    owned = [paint.id for paint in brief.paints]
    offered = [paint for paint in palette.generic_paints() if paint.id not in owned]
    if not offered:
        raise InputError("The shelf", "it has all the generic paints already", "nothing need be bought")
    ground = palette.survey_brief(brief)
    paints = (*brief.paints, *offered)
    survey = palette.Survey(
        panel=ground.panel,
        adjacency=ground.adjacency,
        paints=paints,
        appearance=palette.appearance_of(paints, brief.lights),
    )
    advice = palette.advise_purchase(survey, brief.rules, owned)
    return [_purchase_in_words(each) for each in advice if each.possible][:3] or [
        "None of the generic paints, bought alone, makes a scheme possible."
    ]


def _purchase_in_words(purchase: palette.Purchase) -> str:
    if purchase.weakest is None:
        return f"{purchase.paint}: a scheme becomes possible."
    if purchase.gain is None:
        return (
            f"{purchase.paint}: makes a scheme possible, neighbours at least {purchase.weakest:.1f} apart."
        )
    if purchase.gain < 0.05:
        return f"{purchase.paint}: brings nothing for the neighbours most alike."
    return (
        f"{purchase.paint}: the neighbours most alike would be {purchase.weakest:.1f} apart, "
        f"{purchase.gain:.1f} better than now."
    )
