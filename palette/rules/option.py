"""A rule's fields are its options: how each is read from a file is written beside the field."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from palette.errors import InputError
from palette.reading import refuse_unknown_keys
from palette.units import parse_length, parse_volume

__all__ = [
    "Reader",
    "angle_or_off",
    "count",
    "facings",
    "length",
    "name",
    "names",
    "number",
    "number_or_off",
    "option",
    "must_or_prefer",
    "volumes",
    "word",
    "word_pairs",
    "yes_or_no",
]


_MOST_NAMES = 10_000
_MOST_FACINGS = 1000
"""Names and stretches one rule may list: more is no rule a person wrote."""

_MOST_COUNT = 1_000_000

_FACING_KEYS = ("from", "to", "paint")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """How one option is written: `expects` in words, `schema` as JSON Schema has it.

    `read` takes the value and the place it stands.
    """

    expects: str
    read: Callable[[Any, str], Any]
    schema: Mapping[str, Any]


def option(default: Any, reader: Reader, text: str, *, unit: str = "") -> Any:
    """Return a dataclass field that can be read from a file and explained to a person."""
    return field(default=default, metadata={"reader": reader, "help": text, "unit": unit})


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


def number(least: float = 0.0, most: float = math.inf) -> Reader:
    """Read a number between two ends."""
    upper = "" if math.isinf(most) else f" to {most:g}"
    expects = f"a number from {least:g}{upper}" if upper else f"a number of at least {least:g}"

    def read(value: Any, where: str) -> float:
        if not _is_number(value) or not least <= value <= most or math.isinf(value):
            raise InputError(where, f"{value!r} is not {expects}", f"write {expects}")
        return float(value)

    bounds = {"minimum": least} if math.isinf(most) else {"minimum": least, "maximum": most}
    return Reader(expects=expects, read=read, schema={"type": "number", **bounds})


def number_or_off(least: float = 0.0, most: float = math.inf) -> Reader:
    """Read a number, or 0, false or "off", which give None."""
    plain = number(least, most)
    expects = f'{plain.expects}, or "off"'

    def read(value: Any, where: str) -> float | None:
        if value is False or value == "off":
            return None
        if not _is_number(value) or not least <= value <= most or math.isinf(value):
            raise InputError(where, f"{value!r} is not {plain.expects}", f"write {expects}")
        return float(value) or None

    schema = {"anyOf": [plain.schema, {"enum": ["off", False]}]}
    return Reader(expects=expects, read=read, schema=schema)


def angle_or_off() -> Reader:
    """Read an angle in degrees up to 180, or "off"."""
    return number_or_off(0.0, 180.0)


def count(least: int = 1) -> Reader:
    """Read a whole number."""
    expects = f"a whole number of at least {least}"

    def read(value: Any, where: str) -> int:
        if not isinstance(value, int) or isinstance(value, bool) or value < least:
            raise InputError(where, f"{value!r} is not {expects}", f"write {expects}")
        if value > _MOST_COUNT:
            raise InputError(where, f"{value:,} is more than {_MOST_COUNT:,}", "write what you count with")
        return value

    return Reader(expects=expects, read=read, schema={"type": "integer", "minimum": least})


def length() -> Reader:
    """Read a length, into millimetres."""

    def read(value: Any, where: str) -> float:
        if value == 0 and _is_number(value):
            return 0.0
        return parse_length(value, where=where)

    schema = {"anyOf": [{"type": "string"}, {"const": 0}]}
    return Reader(expects="a length like 64 mm or 2 1/2 in", read=read, schema=schema)


def word(*choices: str) -> Reader:
    """Read one of a few words."""
    expects = " or ".join(f'"{choice}"' for choice in choices)

    def read(value: Any, where: str) -> str:
        if value not in choices:
            raise InputError(where, f"{value!r} is not {expects}", f"write {expects}")
        return str(value)

    return Reader(expects=expects, read=read, schema={"enum": list(choices)})


def names(noun: str, *, least: int = 1) -> Reader:
    """Read one name or a list of names, into a tuple."""
    expects = f"a list of {noun} names"

    def read(value: Any, where: str) -> tuple[str, ...]:
        listed: Sequence[Any] = [value] if isinstance(value, str) else value
        right = isinstance(listed, (list, tuple)) and all(isinstance(name, str) for name in listed)
        if not right or len(listed) < least:
            raise InputError(where, f"{value!r} is not {expects}", f'write {expects}, like ["a", "b"]')
        if len(listed) > _MOST_NAMES:
            what = f"it lists {len(listed):,} names, more than {_MOST_NAMES:,}"
            raise InputError(where, what, 'use patterns like "ledge *"')
        hidden = next((name for name in listed if not name.isprintable()), None)
        if hidden is not None:
            raise InputError(where, f'"{hidden}" holds marks that cannot be seen', "write it anew")
        repeated = sorted(name for name, times in Counter(listed).items() if times > 1)
        if repeated:
            raise InputError(where, f'"{repeated[0]}" stands twice', "name it once")
        return tuple(listed)

    listed = {"type": "array", "items": {"type": "string"}, "minItems": least, "uniqueItems": True}
    return Reader(expects=expects, read=read, schema={"anyOf": [{"type": "string"}, listed]})


def name(noun: str) -> Reader:
    """Read one name."""
    expects = f"the name of a {noun}"

    def read(value: Any, where: str) -> str:
        if not isinstance(value, str) or not value or not value.isprintable():
            raise InputError(where, f"{value!r} is not {expects}", f"write {expects}")
        return value

    return Reader(expects=expects, read=read, schema={"type": "string", "minLength": 1})


def must_or_prefer() -> Reader:
    """Read whether a rule must hold or is preferred: the option every rule has."""
    return word("must", "prefer")


def volumes() -> Reader:
    """Read a table of volumes by name, into pairs of name and litres."""

    def read(value: Any, where: str) -> tuple[tuple[str, float], ...]:
        if not isinstance(value, Mapping):
            raise InputError(where, f"{value!r} is not a table", 'write it like { moss = "0.5 L" }')
        return tuple(
            (str(key), parse_volume(amount, where=f"{where}, {key}")) for key, amount in value.items()
        )

    schema = {"type": "object", "additionalProperties": {"type": "string"}}
    return Reader(expects='a table like { moss = "0.5 L" }', read=read, schema=schema)


def yes_or_no() -> Reader:
    """Read true or false."""

    def read(value: Any, where: str) -> bool:
        if not isinstance(value, bool):
            raise InputError(where, f"{value!r} is not true or false", "write true or false")
        return value

    return Reader(expects="true or false", read=read, schema={"type": "boolean"})


def word_pairs(choices: Sequence[str]) -> Reader:
    """Read a list of pairs of words."""
    expects = f"a list of pairs of {', '.join(choices)}"

    def read(value: Any, where: str) -> tuple[tuple[str, str], ...]:
        right = isinstance(value, (list, tuple)) and all(
            isinstance(pair, (list, tuple)) and len(pair) == 2 and all(one in choices for one in pair)
            for pair in value
        )
        if not right:
            mend = f'write it like [["{choices[0]}", "{choices[1]}"]]'
            raise InputError(where, f"{value!r} is not {expects}", mend)
        return tuple((str(first), str(second)) for first, second in value)

    pair = {"type": "array", "items": {"enum": list(choices)}, "minItems": 2, "maxItems": 2}
    return Reader(expects=expects, read=read, schema={"type": "array", "items": pair})


def facings() -> Reader:
    """Read a list of tables with from, to and paint: heights above the bottom edge."""
    mend = 'write it like [{ from = "0 mm", to = "300 mm", paint = "moss" }]'

    def read(value: Any, where: str) -> tuple[tuple[float, float, str], ...]:
        listed = value if isinstance(value, (list, tuple)) else [None]
        if not all(isinstance(table, Mapping) and set(table) >= set(_FACING_KEYS) for table in listed):
            raise InputError(where, "it is not a list of tables with from, to and paint", mend)
        if len(listed) > _MOST_FACINGS:
            what = f"it lists {len(listed):,} stretches, more than {_MOST_FACINGS:,}"
            raise InputError(where, what, "join those of one paint")
        found = []
        for number, table in enumerate(listed, 1):
            spot = f"{where} {number}"
            refuse_unknown_keys(table, _FACING_KEYS, where=spot)
            low, high = (length().read(table[end], f"{spot}, {end}") for end in ("from", "to"))
            if not low < high:
                raise InputError(spot, f"it goes from {low:g} to {high:g} mm", "make from the smaller")
            found.append((low, high, name("paint").read(table["paint"], f"{spot}, paint")))
        return tuple(found)

    row = {
        "type": "object",
        "required": list(_FACING_KEYS),
        "additionalProperties": False,
        "properties": {
            "from": {"description": "height above the bottom edge, a length", **length().schema},
            "to": {"description": "height above the bottom edge, a length", **length().schema},
            "paint": {"description": "the paint that stands there", **name("paint").schema},
        },
    }
    schema = {"type": "array", "items": row}
    return Reader(expects="a list of tables with from, to and paint", read=read, schema=schema)
