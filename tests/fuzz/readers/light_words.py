"""Lights in words, eyes in words, corners in words: what a command line is given."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuzz.desk import desk
from fuzz.sanity import assert_sound_light
from palette import light_by_name, parse_corners, parse_eye

WORDS = (
    "daylight", "blacklight", "D65", "D50", "overcast", "A", "led-white", "led-365", "led-405", "tube-368", "365/12", "+",
    "*", "/", "0.02*", "1*", ".5 *", " + ", "lamp.toml", "lamp.csv", "eye: ", "corners: ", "deutan", "protan", "tritan", "0.6",
    "10,20", "395/15",
)  # fmt: skip


def target(data: bytes) -> object:
    """Read the words as a light, or as an eye or corners where they say so."""
    text = data.decode("utf-8", errors="replace")
    if text.startswith("eye: "):
        eye = parse_eye(text.removeprefix("eye: "))
        assert 0 <= eye.severity <= 1
        return eye
    if text.startswith("corners: "):
        corners = parse_corners(text.removeprefix("corners: "))
        assert corners.shape == (4, 2)
        assert np.isfinite(corners).all()
        return corners
    light = light_by_name(text, folder=desk())
    assert_sound_light(light)
    return light


def seeds() -> list[bytes]:
    """Return one of each kind of word."""
    texts = (
        "D65", "daylight", "blacklight", "overcast", "365/12", "395/15", "led-395", "365/12 + 0.02*led-white",
        "0.5*led-365 + 0.5*tube-368 + .01*A", "eye: deutan", "eye: protan/0.6", "corners: 120,80 1010,95 1000,1500 130,1490",
    )  # fmt: skip
    return [text.encode() for text in texts]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield words of a length nobody writes."""
    yield "100,000 parts", b" + ".join([b"365/12"] * 100_000)
    yield "100,000 parts with a table each", b" + ".join([b"led-white"] * 100_000)
    yield "a million plus signs", b"+" * 1_000_000
    yield "a million digits", b"9" * 1_000_000 + b"/12"
    yield "a share of a million digits", b"9" * 1_000_000 + b"*D65 + D65"
    yield "a million blanks", b"1" + b" " * 1_000_000 + b"*D65 + D65"
    yield "a million slashes", b"/" * 1_000_000
    yield "shares beyond all measure", b"9" * 308 + b"*D65 + " + b"9" * 308 + b"*D65"
    yield "a million corners", b"corners: " + b"1,2 " * 500_000
    yield "a name of 1 MiB", b"n" * 2**20
    yield "a lamp file of a long name", b"n" * 5000 + b".toml"
