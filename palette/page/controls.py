"""The few kinds of control the page is made of; each has a name a screen reader can say."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

if TYPE_CHECKING:
    from collections.abc import Iterator

    from nicegui.element import Element

__all__ = [
    "button",
    "choice",
    "enable",
    "field",
    "mark",
    "number_field",
    "set_mark",
    "step",
    "switch",
    "swatch",
    "words",
]


def words(text: str, *, tag: str = "p", style: str = "") -> TextElement:
    """Add a text; whatever is in it is shown, never read as markup."""
    return TextElement(tag=tag, text=text).classes(style)


def button(text: str, act: Callable[[], Any], *, style: str = "", label: str = "") -> TextElement:
    """Add a button; `label` says more to a screen reader than `text` shows."""
    element = TextElement(tag="button", text=text).classes(f"btn {style}")
    element.props["type"] = "button"
    if label:
        element.props["aria-label"] = label
    element.on("click", act, args=[])
    return element


def enable(element: Element, usable: bool) -> None:
    """Let a button be pressed, or not."""
    # Every change of a property goes to the browser, also one that changes nothing.
    if ("disabled" in element.props) == usable:
        element.props.set_bool("disabled", not usable)


def choice(
    label: str, options: Mapping[str, str], value: str, change: Callable[[str], Any]
) -> Callable[[str], None]:
    """Add a row of buttons of which one is pressed; return what presses one from outside."""
    buttons: dict[str, Element] = {}

    def press(chosen: str) -> None:
        for key, each in buttons.items():
            pressed = "true" if key == chosen else "false"
            if each.props.get("aria-pressed") != pressed:
                each.props["aria-pressed"] = pressed

    def act(key: str) -> Any:
        press(key)
        # What takes long comes back as something to wait for.
        return change(key)

    with ui.element("div").classes("choice") as row:
        row.props.update({"role": "group", "aria-label": label})
        for key, text in options.items():
            buttons[key] = button(text, partial(act, key), style="seg")
    press(value)
    return press


def field(
    label: str, value: str, commit: Callable[[str], Any], *, style: str = "", hint: str = ""
) -> ui.input:
    """Add a line to write in; `commit` hears of it when it is left or Enter is pressed."""
    element = ui.input(label, value=value, placeholder=hint or None).props("dense outlined").classes(style)
    element.props["aria-label"] = label
    if hint:
        element.props("stack-label")
    _on_commit(element, commit, value)
    return element


def number_field(
    label: str, value: float | None, commit: Callable[[Any], Any], *, least: float = 0, style: str = ""
) -> ui.number:
    """Add a number to fill in."""
    element = ui.number(label or None, value=value, min=least).props("dense outlined").classes(style)
    if not label:
        element.props("hide-bottom-space")
    _on_commit(element, commit, value)
    return element


def _on_commit(element: ui.input | ui.number, commit: Callable[[Any], Any], value: object) -> None:
    last = [value]

    def act() -> None:
        if element.value != last[0]:
            last[0] = element.value
            commit(element.value)

    element.on("blur", act, args=[])
    element.on("keydown.enter", act, args=[])


def switch(label: str, value: bool, change: Callable[[bool], Any], *, spoken: str = "") -> ui.switch:
    """Add an on-off switch."""
    element = ui.switch(label, value=value, on_change=lambda event: change(bool(event.value)))
    element.props["aria-label"] = spoken or label
    return element


def swatch(colours: tuple[str, ...], *, style: str = "") -> Element:
    """Add a patch that shows a paint in one light, or in two side by side. It says nothing by itself."""
    stops = ", ".join(
        f"{colour} {100 * k / len(colours):.0f}% {100 * (k + 1) / len(colours):.0f}%"
        for k, colour in enumerate(colours)
    )
    element = ui.element("span").classes(f"swatch {style}")
    element._style["background"] = f"linear-gradient(90deg, {stops})"
    element.props["aria-hidden"] = "true"
    return element


def mark(good: bool | None) -> TextElement:
    """Add the sign for kept, broken, or not yet known: a shape, not a colour alone."""
    sign, style = {True: ("✓", "good"), False: ("✕", "bad"), None: ("–", "open")}[good]
    element = words(sign, tag="span", style=f"sign {style}")
    element.props["aria-hidden"] = "true"
    return element


def set_mark(element: TextElement, good: bool | None) -> None:
    """Change the sign."""
    sign, style = {True: ("✓", "good"), False: ("✕", "bad"), None: ("–", "open")}[good]
    if element.text != sign:
        element.set_text(sign)
        element.classes(replace=f"sign {style}")


@contextmanager
def step(number: int, title: str, lead: str) -> Iterator[Element]:
    """Add one step of the evening: a numbered heading, one line of what it is for, its content."""
    with ui.element("section").classes("step") as section:
        section.props["aria-labelledby"] = f"step-{number}"
        with ui.element("h2") as heading:
            heading.props["id"] = f"step-{number}"
            words(str(number), tag="span", style="step-number")
            words(title, tag="span")
        words(lead, style="lead")
        with ui.element("div").classes("step-body") as body:
            yield body
