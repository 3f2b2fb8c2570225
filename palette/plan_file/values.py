"""Durations, places, choices and whole numbers as a plan file writes them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from palette.errors import InputError
from palette.reading import take_number
from palette.units import parse_length

__all__ = ["parse_hours", "parse_place", "take_choice", "take_point", "take_whole"]


_NUMBER = r"(\d+(?:\.\d*)?|\.\d+)"
_DURATION = re.compile(rf"\s*(?:{_NUMBER}\s*(?:h|hours?))?\s*(?:{_NUMBER}\s*(?:min|minutes?))?\s*")
_LONGEST = 100
_MOST_HOURS = 10_000
"""More than a year: no paint dries so slowly."""


def parse_hours(text: Any, *, where: str) -> float:
    """Return hours from ``30 min``, ``2 h`` or ``1 h 30 min``.

    Raises
    ------
    InputError
        The text is no such duration.
    """
    found = _DURATION.fullmatch(text) if isinstance(text, str) and len(text) <= _LONGEST else None
    if not found or not any(found.groups()):
        raise InputError(where, f"{text!r} is not a duration", "write it like 30 min, 2 h or 1 h 30 min")
    hours, minutes = (float(part or 0) for part in found.groups())
    total = hours + minutes / 60
    if total > _MOST_HOURS:
        raise InputError(where, f'"{text}" is more than {_MOST_HOURS:,} hours', "check the unit")
    return total


def take_point(table: Mapping[str, Any], key: str, count: int, *, where: str) -> Any:
    value = table.get(key)
    example = ", ".join(['"1.2 m"', '"-20 cm"', '"1.5 m"'][:count])
    if not isinstance(value, list) or len(value) != count:
        raise InputError(
            f"{where}, {key}", f"{value!r} is not {count} lengths", f"write {key} = [{example}]"
        )
    return tuple(parse_place(part, where=f"{where}, {key}") for part in value)


def parse_place(text: Any, *, where: str) -> float:
    """Return a length that may be negative: above the panel's top edge, or left of it."""
    if isinstance(text, str) and text.strip().startswith(("-", "−")):
        return -parse_length(text.strip()[1:], where=where)
    return parse_length(text, where=where)


def take_choice(table: Mapping[str, Any], key: str, choices: tuple[str, ...], *, where: str) -> str:
    value = table[key]
    if value not in choices:
        raise InputError(where, f'"{key}" is {value!r}', f"use one of: {', '.join(choices)}")
    return str(value)


def take_whole(table: Mapping[str, Any], key: str, *, where: str, least: int, most: int) -> int:
    value = take_number(table, key, where=where, least=least, most=most)
    if value != int(value):
        raise InputError(where, f'"{key}" is {value:g}', "write a whole number")
    return int(value)
