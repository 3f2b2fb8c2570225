"""Lengths, volumes and spreading rates as people write them.

Factors are exact by definition: 1 in = 25.4 mm, 1 ft = 12 in, 1 US gal = 231 in³
(NIST Special Publication 811, appendix B; NIST Handbook 44, appendix C).
"""

from __future__ import annotations

import re
from fractions import Fraction

from palette.errors import InputError

__all__ = [
    "INCH_MM",
    "US_GALLON_L",
    "format_length",
    "parse_length",
    "parse_size",
    "parse_spread",
    "parse_volume",
]

INCH_MM = 25.4  # exact
US_GALLON_L = 231 * 2.54**3 / 1000  # 3.785411784 L
SQUARE_FOOT_M2 = (12 * 0.0254) ** 2  # 0.09290304 m²

_MOST_L = 1_000_000
"""More paint than any hall holds: a slip of the unit."""

_USUAL_M2_PER_L = (0.01, 1000.0)
"""From a thick filler to far beyond any stain: outside, the figure is a slip."""

_MM_PER = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
}
_LENGTH_WORDS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "''": "in",
    "ft": "ft", "ft.": "ft", "foot": "ft", "feet": "ft", "'": "ft",
}  # fmt: skip
_L_PER = {
    "l": 1.0, "litre": 1.0, "litres": 1.0, "liter": 1.0, "liters": 1.0,
    "ml": 0.001, "millilitres": 0.001, "milliliters": 0.001,
    "fl oz": US_GALLON_L / 128, "floz": US_GALLON_L / 128, "us fl oz": US_GALLON_L / 128,
    "qt": US_GALLON_L / 4, "quart": US_GALLON_L / 4, "quarts": US_GALLON_L / 4,
    "pt": US_GALLON_L / 8, "pint": US_GALLON_L / 8, "pints": US_GALLON_L / 8,
    "gal": US_GALLON_L, "us gal": US_GALLON_L, "gallon": US_GALLON_L, "gallons": US_GALLON_L,
}  # fmt: skip
_M2_PER_L = {
    "m2/l": 1.0,
    "ft2/gal": SQUARE_FOOT_M2 / US_GALLON_L,
    "sqft/gal": SQUARE_FOOT_M2 / US_GALLON_L,
}

# Typographic marks a word processor puts in: curly quotes, primes, vulgar fractions.
_PLAIN = str.maketrans({"’": "'", "′": "'", "”": '"', "″": '"', "“": '"', "‘": "'",
                        "–": "-", "—": "-", "⁄": "/", "\u00a0": " ", "²": "2"})  # fmt: skip
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_NUMBER = r"(?:\d+\s*[-\s]\s*\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d*\.\d+|\d+\.?)"
_UNIT = r"(?:''|\"|'|[a-z]+\.?)"
_PART = re.compile(rf"\s*({_NUMBER})\s*({_UNIT})\s*", re.IGNORECASE)
# Builders write 1'-4" for one foot four: a dash after feet is no minus.
_DASH = re.compile(r"-\s*(?=[\d.])")
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d{1,2}|\d{4,})(?![\d.,])")


_LONGEST = 100
"""Letters of a measure: more is a slip, and long rows of digits would keep a reader busy for minutes."""


def _measure(text: object, *, where: str, noun: str, mend: str) -> str:
    """Return the text of a measure with plain marks, or raise InputError where there is none."""
    if not isinstance(text, str):
        raise InputError(where, f"the {noun} {text!r} has no unit", mend)
    if len(text) > _LONGEST:
        raise InputError(where, f'"{text[:40]}…" is too long for a {noun}', mend)
    return _plain(text)


def _plain(text: str) -> str:
    plain = text.translate(_PLAIN)
    for mark, fraction in _VULGAR.items():
        plain = plain.replace(mark, f" {fraction}")
    # 1,25 m is a decimal comma; 1,200 mm could be either, so it stays as it is and is refused.
    return _DECIMAL_COMMA.sub(r"\1.\2", plain).strip()


def _number(text: str) -> Fraction:
    whole = Fraction(0)
    body = re.sub(r"\s*/\s*", "/", text.strip())
    parts = re.split(r"[-\s]+", body)
    for part in parts:
        if part:
            whole += Fraction(part)
    return whole


def parse_length(text: str, *, where: str = "length") -> float:
    """Return a length as a person writes it.

    Parameters
    ----------
    text : str
        ``64 mm``, ``1.2 m``, ``2 1/2 in``, ``2-1/2"``, ``1' 4 3/8"``.
    where : str
        The place the text stands in, for the message.

    Returns
    -------
    float
        mm.

    Raises
    ------
    InputError
        The text has no unit, an unknown unit, or is not a length.

    Examples
    --------
    >>> palette.parse_length("2 1/2 in")
    63.5
    >>> palette.parse_length("1 ft 4 3/8 in")
    415.925
    """
    mend = "write it like 64 mm, 1.2 m, 2 1/2 in or 1' 4 3/8\""
    rest = _measure(text, where=where, noun="length", mend=mend)
    if not rest:
        raise InputError(where, "a length is empty", mend)
    total = Fraction(0)
    previous: Fraction | None = None
    position = 0
    while position < len(rest):
        found = _PART.match(rest, position)
        if not found:
            if re.fullmatch(rf"\s*-?{_NUMBER}\s*", rest):
                raise InputError(where, f'the length "{text}" has no unit', mend)
            raise InputError(where, f'"{text}" is not a length', mend)
        unit = _LENGTH_WORDS.get(found.group(2).lower())
        if unit is None:
            raise InputError(where, f'"{found.group(2)}" in "{text}" is not a unit of length', mend)
        if previous is not None and _MM_PER[unit] >= previous:
            raise InputError(where, f'"{text}" is not a length', mend)
        try:
            total += _number(found.group(1)) * _MM_PER[unit]
        except (ValueError, ZeroDivisionError):
            raise InputError(where, f'"{text}" is not a length', mend) from None
        previous = _MM_PER[unit]
        position = found.end()
        if unit == "ft" and (dash := _DASH.match(rest, position)):
            position = dash.end()
    if total > 10**9:
        raise InputError(where, f'"{text}" is longer than 1,000 km', "check the unit")
    return float(total)


def parse_size(text: str, *, where: str = "size") -> tuple[float, float]:
    """Return width and height from ``72 in x 96 in``.

    Parameters
    ----------
    text : str
    where : str
        For messages.

    Returns
    -------
    (float, float)
        Width and height, mm.

    Raises
    ------
    InputError
        The text is not two lengths with an x between them, or one of them is zero.

    Examples
    --------
    >>> palette.parse_size("8 ft x 6 ft")
    (2438.4, 1828.8)
    """
    mend = "write width x height, like 72 in x 96 in or 1830 mm x 2440 mm"
    if not isinstance(text, str):
        raise InputError(where, f"the size {text!r} is not text", mend)
    plain = _measure(text, where=where, noun="size", mend=mend)
    parts = re.split(r"\s*(?:[x×]|\bby\b)\s*", plain, flags=re.IGNORECASE)
    if len(parts) != 2:
        raise InputError(where, f'"{text}" is not a size', mend)
    # 96 x 72 in: the unit at the end stands for both.
    unit = re.fullmatch(rf"{_NUMBER}\s*({_UNIT})", parts[1], re.IGNORECASE)
    if unit and re.fullmatch(_NUMBER, parts[0]):
        parts[0] += f" {unit[1]}"
    width, height = (parse_length(part, where=where) for part in parts)
    if width <= 0 or height <= 0:
        raise InputError(where, f'the size "{text}" has a side of zero', mend)
    return width, height


def _quantity(text: str, factors: dict[str, float], *, where: str, noun: str, mend: str) -> float:
    plain = _measure(text, where=where, noun=noun, mend=mend)
    found = re.fullmatch(rf"({_NUMBER})\s*([a-z/ .0-9]+?)\.?", plain, re.IGNORECASE)
    if not found:
        raise InputError(where, f'"{text}" is not a {noun}', mend)
    unit = re.sub(r"\s*/\s*", "/", re.sub(r"\s+", " ", found.group(2).strip().lower()))
    if unit not in factors:
        raise InputError(where, f'"{found.group(2)}" in "{text}" is not a unit of {noun}', mend)
    try:
        return float(_number(found.group(1))) * factors[unit]
    except (ValueError, ZeroDivisionError, OverflowError):
        raise InputError(where, f'"{text}" is not a {noun}', mend) from None


def parse_volume(text: str, *, where: str) -> float:
    """Return a volume in litres from ``0.75 L``, ``500 ml``, ``16 fl oz``, ``1 qt``, ``1 gal`` (US).

    Raises
    ------
    InputError
        The text has no unit, an unknown unit, or is not a volume.
    """
    mend = "write it like 0.75 L, 500 ml, 16 fl oz or 1 gal"
    litres = _quantity(text, _L_PER, where=where, noun="volume", mend=mend)
    if litres > _MOST_L:
        raise InputError(where, f'"{text}" is more than {_MOST_L:,} L', "check the unit")
    return litres


def parse_spread(text: str, *, where: str) -> float:
    """Return a spreading rate in m² per litre from ``8 m2/L`` or ``320 ft2/gal`` (US).

    Raises
    ------
    InputError
        The text has no unit, an unknown unit, or is zero.
    """
    mend = "write it like 8 m2/L or 320 ft2/gal"
    rate = _quantity(text, _M2_PER_L, where=where, noun="coverage", mend=mend)
    if rate <= 0:
        raise InputError(where, f'the coverage "{text}" is zero', mend)
    least, most = _USUAL_M2_PER_L
    if not least <= rate <= most:
        raise InputError(where, f'the coverage "{text}" is {rate:.3g} m2/L, which no paint has', mend)
    return rate


def format_length(mm: float) -> str:
    """Return a length for people: millimetres without needless digits.

    Parameters
    ----------
    mm : float
        A length, mm.

    Returns
    -------
    str
    """
    return f"{mm:.0f} mm" if mm >= 10 or mm == round(mm) else f"{mm:.1f} mm"
