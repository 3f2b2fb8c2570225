"""TOML, JSON and XML within bounds: what stands just inside is read, what lies beyond is told."""

import json

import pytest

from palette.errors import InputError
from palette.markup import parse_xml
from palette.parsing import parse_json, parse_toml


def nested(depth):
    return "[" * depth + "]" * depth


@pytest.mark.parametrize(
    ("text", "value"),
    [
        # TOML 1.0, Integer: all 64-bit signed integers are accepted.
        (f"a = {2**63 - 1}", 2**63 - 1),
        (f"a = -{2**63}", -(2**63)),
        ("a = 0x7fffffffffffffff", 2**63 - 1),
        (f"a = {nested(50)}", json.loads(nested(50))),
        ('a = "' + "x." * 14 + '"', "x." * 14),
        ("a = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7]",
         [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7]),
    ],
)  # fmt: skip
def test_toml_within_bounds_is_read(text, value):
    assert parse_toml(text, where="x")["a"] == value


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (f"a = {2**63}", "x: a number in it has too many digits; write a number people use."),
        ("a = " + "9" * 5000, "x: a number in it has too many digits; write a number people use."),
        ("a = 0x" + "f" * 5000, "x: a number in it has too many digits; write a number people use."),
        (f"a = {nested(60)}", "x: it nests lists or tables deeper than 50; write it flatter."),
        (f"a = {nested(100_000)}", "x: it nests lists or tables deeper than 50; write it flatter."),
        (
            "[a" + ".a" * 5000 + "]",
            "x: a key in it has 16 dots, or the whole file has more than 400,000; write it flatter.",
        ),
    ],
)
def test_toml_beyond_bounds_is_told(text, sentence):
    with pytest.raises(InputError) as stop:
        parse_toml(text, where="x")
    assert str(stop.value) == sentence


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('{"a": ' + "9" * 5000 + "}", "x: a number in it has too many digits; write a number people use."),
        ('{"a": ' + "9" * 30 + "}", "x: a number in it has too many digits; write a number people use."),
        ('{"a": ' + nested(60) + "}", "x: it nests lists or tables deeper than 50; write it flatter."),
        ('{"a": ' + "[" * 100_000, "x: it nests lists or tables deeper than 50; write it flatter."),
        # RFC 8259, 6: Infinity and NaN are not permitted.
        ('{"a": NaN}', "x: this is not JSON in line 1; correct it or write the file anew."),
        ('{"a": -Infinity}', "x: this is not JSON in line 1; correct it or write the file anew."),
        # RFC 8259, 8.2: an escaped lone surrogate is no Unicode text.
        ('{"a": "\\ud83d"}', "x: it holds half a character, like \\ud800; write the character itself."),
    ],
)
def test_json_beyond_bounds_is_told(text, sentence):
    with pytest.raises(InputError) as stop:
        parse_json(text, where="x")
    assert str(stop.value) == sentence


def test_a_character_escaped_in_two_halves_is_read():
    assert parse_json('{"a": "\\ud83d\\udca1"}', where="x") == {"a": "💡"}


def test_xml_nests_two_hundred_deep_and_no_deeper():
    assert parse_xml(b"<a>" * 200 + b"</a>" * 200, where="x").tag == "a"
    with pytest.raises(InputError, match="nests them deeper than 200; simplify the drawing"):
        parse_xml(b"<a>" * 201 + b"</a>" * 201, where="x")
