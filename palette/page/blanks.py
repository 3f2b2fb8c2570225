"""The blanks of a rule's sentence, as controls."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from nicegui import ui

from palette.page.controls import field, number_field

if TYPE_CHECKING:
    from palette.page.ground import Ground
    from palette.page.sentences import Blank

__all__ = ["add_blank"]

Fill = Callable[[Any], Any]

_LARGEST = 1e12
"""No blank of a rule comes near it."""


def add_blank(blank: Blank, table: Mapping[str, Any], ground: Ground | None, fill: Fill) -> None:
    """Add the control for one blank; `fill` hears the value as the brief writes it, None for left out."""
    value = table.get(blank.key, blank.default)
    if blank.how in ("number", "percent"):
        _number(blank, value, fill)
    elif blank.how == "length":
        field(blank.label, str(value or ""), lambda text: fill(str(text).strip() or None), style="blank")
    elif blank.how == "yes":
        _select(blank, {"no": "no", "yes": "yes"}, "yes" if value else "no", lambda v: fill(v == "yes"))
    elif blank.how == "word":
        _select(blank, dict(blank.choices or {}), value, fill)
    else:
        names = _names(blank, ground)
        if blank.how == "paint":
            _select(blank, {name: name for name in names}, value, fill)
        else:
            _several(blank, names, value, fill)


def _names(blank: Blank, ground: Ground | None) -> tuple[str, ...]:
    if ground is None:
        return ()
    if blank.how == "lights":
        return ground.survey.appearance.lights
    return ground.survey.panel.ids if blank.how == "sections" else ground.survey.appearance.paints


def _number(blank: Blank, value: Any, fill: Fill) -> None:
    scale = 100 if blank.how == "percent" else 1
    whole = isinstance(blank.default, int)
    # A file written by hand may hold anything; what is wrong with it is told in step 1.
    number = isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < _LARGEST
    shown = round(scale * value, 6) if number else None

    def commit(typed: Any) -> None:
        if typed is None or typed == "":
            fill("off" if blank.key in ("min_difference", "min_hue_angle") else None)
        elif whole or blank.default is None:
            fill(round(typed))
        else:
            fill(float(typed) / scale)

    element = number_field("", shown, commit, style="blank short")
    element.props["aria-label"] = blank.label


def _select(blank: Blank, choices: dict[str, str], value: Any, fill: Fill) -> None:
    value = value if isinstance(value, str) else ""
    if value not in choices:
        choices = {**choices, str(value): str(value)} if value else choices
    element = ui.select(choices, value=value or None, on_change=lambda event: fill(event.value))
    element.props("dense outlined options-dense").classes("blank")
    element.props["aria-label"] = blank.label


def _several(blank: Blank, names: tuple[str, ...], value: Any, fill: Fill) -> None:
    listed = [value] if isinstance(value, str) else value if isinstance(value, list) else []
    listed = [name for name in listed if isinstance(name, str)]
    options = list(dict.fromkeys([*names, *listed]))

    def commit() -> None:
        chosen = list(element.value or [])
        if chosen != listed:
            listed[:] = chosen
            fill(chosen or None)

    # The list is taken when it closes, so that choosing three names is one action, not three.
    element = ui.select(options, value=list(listed), multiple=True).props("dense outlined options-dense")
    element.classes("blank several")
    element.props["aria-label"] = blank.label
    if blank.empty:

        def show() -> None:
            element.props.set_optional("display-value", None if element.value else blank.empty)
            element.props.set_bool("use-chips", bool(element.value))

        show()
        element.on_value_change(show)
    element.on("popup-hide", commit, args=[])
