"""Lengths, volumes and rates as people write them.

Factors: 1 in = 25.4 mm, 1 ft = 12 in and 1 US gal = 231 in³ are exact by definition (NIST
Special Publication 811, appendix B; NIST Handbook 44, appendix C: cited from memory). The
tables below are that arithmetic done with exact fractions.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from palette.errors import InputError
from palette.units import parse_length, parse_size, parse_spread, parse_volume

MEND = "write it like 64 mm, 1.2 m, 2 1/2 in or 1' 4 3/8\""

INCHES = {
    "1/16": 1.5875, "1/8": 3.175, "3/16": 4.7625, "1/4": 6.35, "5/16": 7.9375, "3/8": 9.525,
    "7/16": 11.1125, "1/2": 12.7, "5/8": 15.875, "3/4": 19.05, "7/8": 22.225, "1 1/4": 31.75,
    "2 3/8": 60.325, "11 7/8": 301.625, "23 5/8": 600.075, "47 1/2": 1206.5, "48": 1219.2,
    "96": 2438.4,
}  # fmt: skip

RATES = {
    "100": 2.454239, "150": 3.681358, "200": 4.908477, "250": 6.135597, "300": 7.362716,
    "350": 8.589835, "400": 9.816955, "450": 11.044074,
}  # fmt: skip


@pytest.mark.parametrize(("inches", "mm"), INCHES.items())
def test_every_fraction_of_a_tape_measure(inches, mm):
    for text in (f"{inches} in", f'{inches}"', f"{inches.replace(' ', '-')} inches", f"{inches}″"):
        assert parse_length(text, where="w") == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("64 mm", 64.0),
        ("64mm", 64.0),
        ("1.2 m", 1200.0),
        (".5 m", 500.0),
        ("1,25 m", 1250.0),
        ("30 cm", 300.0),
        ("1 m 20 cm", 1200.0),
        ("2½ in", 63.5),
        ("⅝ inch", 15.875),
        ("1' 4 3/8\"", 415.925),
        ("1'-4 3/8\"", 415.925),
        ("1' - 4\"", 406.4),
        ("1′ 4″", 406.4),
        ("1’ 4”", 406.4),
        ("1 ft 4 in", 406.4),
        ("1ft. 4in.", 406.4),
        ("2 feet 3 inches", 685.8),
        ("8'6\"", 2590.8),
        ("8'", 2438.4),
        ("10''", 254.0),
    ],
)
def test_common_ways_of_writing_a_length(text, mm):
    assert parse_length(text, where="w") == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("3", 'the length "3" has no unit'),
        ("2 1/2", 'the length "2 1/2" has no unit'),
        ("", "a length is empty"),
        ("3 furlongs", '"furlongs" in "3 furlongs" is not a unit of length'),
        ("-3 in", '"-3 in" is not a length'),
        ("1 2 in", '"1 2 in" is not a length'),
        ("3 in 2 ft", '"3 in 2 ft" is not a length'),
        ("2 m - 3 mm", '"2 m - 3 mm" is not a length'),
        ("1/0 in", '"1/0 in" is not a length'),
        ("1,200 mm", '"1,200 mm" is not a length'),
        ("8'-", '"8\'-" is not a length'),
        ("nan mm", '"nan mm" is not a length'),
        (3, "the length 3 has no unit"),
    ],
)
def test_what_is_no_length_is_said_with_its_place(text, what):
    with pytest.raises(InputError, match=f"^{re.escape(f'wall.toml, left: {what}; {MEND}.')}$"):
        parse_length(text, where="wall.toml, left")


@given(feet=st.integers(0, 40), inches=st.integers(0, 11), part=st.integers(0, 15))
def test_feet_inches_and_sixteenths_add_up(feet, inches, part):
    text = f"{feet}' {inches} {part}/16\""
    expected = (feet * 12 + inches + Fraction(part, 16)) * Fraction(254, 10)
    assert parse_length(text, where="w") == float(expected)


@given(st.text(max_size=30))
def test_no_text_makes_anything_but_a_length_or_a_sentence(text):
    try:
        length = parse_length(text, where="w")
    except InputError as fault:
        length, where = 0.0, fault.where
        assert where == "w"
    assert 0 <= length <= 1e9


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("8 ft x 6 ft", (2438.4, 1828.8)),
        ("96 in × 72 in", (2438.4, 1828.8)),
        ("96 x 72 in", (2438.4, 1828.8)),
        ("8' 1\" x 6' 2\"", (2463.8, 1879.6)),
        ("1830x2440mm", (1830.0, 2440.0)),
        ("1.2 m by 80 cm", (1200.0, 800.0)),
    ],
)
def test_sizes(text, size):
    assert parse_size(text, where="w") == pytest.approx(size)


@pytest.mark.parametrize("text", ["1 m", "96 x 72", "0 in x 3 in", "1 m x", "x", 4])
def test_what_is_no_size_is_refused(text):
    with pytest.raises(InputError, match=r"^w: "):
        parse_size(text, where="w")


@pytest.mark.parametrize(("per_gallon", "rate"), RATES.items())
def test_spreading_rates(per_gallon, rate):
    assert parse_spread(f"{per_gallon} ft2/gal", where="w") == pytest.approx(rate, abs=5e-7)
    assert parse_spread(f"{per_gallon} sqft / gal", where="w") == pytest.approx(rate, abs=5e-7)


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("0.75 L", 0.75),
        ("500 ml", 0.5),
        ("1 gal", 3.785411784),
        ("1 US gal", 3.785411784),
        ("1 qt", 0.946352946),
        ("1 fl oz", 0.0295735295625),
    ],
)
def test_volumes(text, litres):
    assert parse_volume(text, where="w") == pytest.approx(litres, rel=1e-12)


@pytest.mark.parametrize("text", ["3", "3 buckets", "-1 L", "1/0 L"])
def test_what_is_no_volume_is_refused(text):
    with pytest.raises(InputError, match=r"^w: "):
        parse_volume(text, where="w")
