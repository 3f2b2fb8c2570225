"""What the page remembers, looked at entry by entry before any part of it is shown.

``page.json`` may come from anybody's zip, and an entry of another shape than ``page.schema.json``
gives it would stop the parts of the page that read it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from palette.errors import InputError

__all__ = ["entry_faults"]

Fits = Callable[[Any], bool]


def entry_faults(document: Mapping[str, Any], *, where: str) -> Iterator[InputError]:
    """Yield a fault for each entry that is not what its key stands for."""
    for key, (fits, told) in _SHAPES.items():
        if key in document and not fits(document[key]):
            yield InputError(where, f'"{key}" is not {told}', "correct it, or delete that entry")


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


def _list_of(fits: Fits) -> Fits:
    return lambda value: isinstance(value, list) and all(map(fits, value))


def _names(value: Any) -> bool:
    return isinstance(value, dict) and all(map(_text, value.values()))


def _kept(value: Any) -> bool:
    return (
        isinstance(value, dict) and _text(value.get("name")) and _names(value.get("paint_of"))
        and _text(value.get("best_at", ""))
    )  # fmt: skip


def _resting(value: Any) -> bool:
    return isinstance(value, dict) and _text(value.get("kind")) and all(map(_blank, value.values()))


def _blank(value: Any) -> bool:
    """Return whether a rule's key could have this value: a word, a number, or lists of them."""
    if isinstance(value, list):
        return all(map(_blank, value))
    if isinstance(value, dict):
        return all(map(_blank, value.values()))
    return isinstance(value, (bool, str)) or _number(value)


def _corner(value: Any) -> bool:
    return _list_of(_number)(value) and len(value) == 2


def _corners(value: Any) -> bool:
    return _list_of(_corner)(value) and len(value) == 4


def _proof(value: Any) -> bool:
    if not isinstance(value, dict) or not isinstance(value.get("key"), list):
        return False
    proof = value.get("proof")
    return isinstance(proof, dict) and _list_of(_level)(proof.get("levels", []))


def _level(value: Any) -> bool:
    return (
        isinstance(value, dict) and _text(value.get("aim")) and _text(value.get("unit"))
        and _number(value.get("value")) and _number(value.get("bound"))
        and isinstance(value.get("proven"), bool)
    )  # fmt: skip


_SHAPES: dict[str, tuple[Fits, str]] = {
    "resting": (_list_of(_resting), "a list of rules"),
    "kept": (_list_of(_kept), "a list of schemes, each with its name and what is painted how"),
    "photo": (_names, "names of files"),
    "corners": (_corners, "four corners of two numbers each"),
    "photo_light": (_text, "text"),
    "photo_notes": (_list_of(_text), "a list of sentences"),
    "proof": (_proof, "a proof and what it is a proof of"),
}
