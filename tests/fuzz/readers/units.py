"""Lengths, sizes, volumes, coverage and durations: one per line of the input's kind."""

from __future__ import annotations

import math

from palette.errors import InputError
from palette.plan_file import parse_hours
from palette.units import format_length, parse_length, parse_size, parse_spread, parse_volume

WORDS = (
    "mm", "cm", "m", "in", "ft", "inch", "feet", "'", '"', "''", "½", "¾", "⅞", "′", "″", "x", "×", "by", "1/2",
    "-", "–", "L", "ml", "fl oz", "qt", "pt", "gal", "m2/L", "ft2/gal", "sqft/gal", "m²/L", "h", "min", "hours",
)  # fmt: skip

_KINDS = {
    "length": parse_length,
    "size": parse_size,
    "volume": parse_volume,
    "coverage": parse_spread,
    "hours": parse_hours,
}


def target(data: bytes) -> object:
    """Read ``kind: text`` with the parser of that kind, or with all of them."""
    text = data.decode("utf-8", errors="replace")
    kind, colon, rest = text.partition(": ")
    if colon and kind in _KINDS:
        return _read(kind, rest)
    found, refusal = [], None
    for each in _KINDS:
        try:
            found.append(_read(each, text))
        except InputError as told:
            refusal = told
    if not found and refusal is not None:
        raise refusal
    return found


def _read(kind: str, text: str) -> object:
    value = _KINDS[kind](text, where=kind)
    for number in value if isinstance(value, tuple) else (value,):
        assert math.isfinite(number), (kind, text, number)
        assert number >= 0, (kind, text, number)
        assert number < 1e12, (kind, text, number)
        if kind == "length":
            format_length(number)
    return value


def seeds() -> list[bytes]:
    """Return what people write, one of each kind of mark."""
    texts = (
        "length: 64 mm", "length: 1.2 m", "length: 2 1/2 in", 'length: 2-1/2"', "length: 1' 4 3/8\"", "length: 1,25 m",
        "length: 8 ft 6 in", "length: 3½ in", "size: 72 in x 96 in", "size: 1830 mm x 2440 mm", "size: 96 by 72 in",
        "volume: 0.75 L", "volume: 500 ml", "volume: 16 fl oz", "volume: 1 gal", "volume: 1/2 gal",
        "coverage: 8 m2/L", "coverage: 320 ft2/gal", "hours: 30 min", "hours: 2 h", "hours: 1 h 30 min", "0.5 m", "1 x 2 m",
    )  # fmt: skip
    return [text.encode() for text in texts]


def heavy() -> list[tuple[str, bytes]]:
    """Return texts of a length nobody writes."""
    return [
        ("a million digits", b"length: " + b"9" * 10**6 + b" mm"),
        ("a million digits of litres", b"volume: " + b"9" * 10**6 + b" L"),
        ("a long fraction", b"length: 1/" + b"9" * 10**5 + b" in"),
        ("many digits after the point", b"length: 0." + b"0" * 10**6 + b"1 mm"),
        ("a million blanks", b"length: 1" + b" " * 10**6 + b"mm"),
        ("many dashes", b"length: 1" + b"-1 " * 10**5 + b"mm"),
        ("many units", b"length: " + b"1 ft " * 10**5),
        ("many x", b"size: " + b"1 m x " * 10**5),
        ("many commas", b"length: " + b"1," * 10**5 + b" mm"),
    ]
