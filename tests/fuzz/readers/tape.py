"""Tape-measure layouts in TOML."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fuzz.desk import lay
from fuzz.sanity import assert_sound_panel
from palette import read_layout

_CANYON = Path(__file__).resolve().parents[3] / "examples" / "canyon"

EXAMPLES = 120

WORDS = (
    "name", "size", "section", "trim", "void", "hatch", "[[section]]", "[[trim]]", "[[void]]", "[hatch]", "version = 1",
    "left", "bottom", "width", "height", "corners", "holes", "depth", "8 ft x 6 ft", "2400 mm x 1800 mm", "1/2 in", "2' 6\"",
    "64 mm", "0 mm", "1 m", '[["1 in", "2 in"], ["9 in", "2 in"], ["5 in", "8 in"]]', "[]", "[[]]", "'''", '"""', "\\u0000",
)  # fmt: skip


def target(data: bytes) -> object:
    """Read a layout."""
    panel = read_layout(lay("wall.toml", data))
    assert_sound_panel(panel)
    return panel


def seeds() -> list[bytes]:
    """Return the demo's wall and one with every key."""
    small = """name = "West wall"
size = "8 ft x 6 ft"

[[section]]
name = "sill"
left = "1/2 in"
bottom = "3 1/4 in"
width = "2 ft 6 in"
height = "11 7/8 in"

[[section]]
name = "keystone"
corners = [["40 in", "20 in"], ["55 1/2 in", "21 in"], ["48 in", "33 in"]]
holes = [[["47 in", "23 in"], ["49 in", "23 in"], ["48 in", "25 in"]]]
depth = 2

[[trim]]
left = "0 mm"
bottom = "1 m"
width = "1200 mm"
height = "40 mm"

[[void]]
left = "1.2 m"
bottom = "1.2 m"
width = "10 cm"
height = "10 cm"

[hatch]
left = "2 in"
bottom = "5 in"
width = "20 in"
height = "30 in"
"""
    return [(_CANYON / "wall.toml").read_bytes(), small.encode()]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield layouts that are too much in one way each."""
    head = 'size = "10 m x 6 m"\n'

    def slabs(across: int, down: int) -> bytes:
        return (
            head
            + "".join(
                f'[[section]]\nname = "s{i}-{j}"\nleft = "{i * 10000 / across} mm"\nbottom = "{j * 6000 / down} mm"\n'
                f'width = "{9000 / across} mm"\nheight = "{5000 / down} mm"\n'
                for i in range(across)
                for j in range(down)
            )
        ).encode()

    yield "6,000 sections", slabs(100, 60)
    yield "20,000 sections", slabs(200, 100)
    yield "a million sections without keys", (head + "[[section]]\n" * 1_000_000).encode()
    yield "200,000 sections", slabs(1000, 200)
    yield "a line of 15 MiB", b'name = "' + b"n" * 15 * 2**20 + b'"\n' + head.encode()
    yield "lists in lists, 1,000 deep", (head + "holes = " + "[" * 1000 + "]" * 1000).encode()
    yield "lists in lists, 1,000,000 deep", (head + "holes = " + "[" * 1_000_000).encode()
    yield "tables in tables, 100,000 deep", (head + "a = " + "{a=" * 100_000 + "1" + "}" * 100_000).encode()
    yield "a key of 100,000 dots", (head + "a" + ".a" * 100_000 + " = 1").encode()
    yield (
        "10,000 keys of 100 dots",
        (head + "".join(f"k{n}{'.a' * 100} = 1\n" for n in range(10_000))).encode(),
    )
    yield "a header of 100,000 dots", (head + "[a" + ".a" * 100_000 + "]").encode()
    yield "100,000 unknown keys", (head + "".join(f"k{n} = 1\n" for n in range(100_000))).encode()
    yield "one unknown key of 1 MiB", (head + "k" * 2**20 + " = 1\n").encode()
    yield "an integer of 5,000 digits", (head + "depth = " + "9" * 5000).encode()
    yield (
        "an integer of 1,000,000 bits",
        (head + '[[section]]\nname = "a"\ndepth = 0x' + "f" * 250_000).encode(),
    )
    yield "a length that is a big integer", ("size = 0x" + "f" * 250_000).encode()
    yield "a date of no calendar", (head + "depth = 2026-02-31").encode()
    yield (
        "a polygon of 50,000 corners",
        (
            head
            + '[[section]]\nname = "a"\ncorners = ['
            + ",".join(f'["{k * 0.1:.1f} mm", "{k % 2} mm"]' for k in range(50_000))
            + ', ["5 m", "5 m"]]'
        ).encode(),
    )
    yield (
        "2,000 holes",
        (
            head
            + '[[section]]\nname = "a"\ncorners = [["0 m","0 m"],["10 m","0 m"],["10 m","6 m"],["0 m","6 m"]]\nholes = ['
            + ",".join(
                f'[["{k % 50 * 190 + 50} mm","{k // 50 * 140 + 50} mm"],["{k % 50 * 190 + 150} mm","{k // 50 * 140 + 50} mm"],'
                f'["{k % 50 * 190 + 100} mm","{k // 50 * 140 + 90} mm"]]'
                for k in range(2000)
            )
            + "]"
        ).encode(),
    )
    yield "17 MiB", b"# " + b"x" * 17 * 2**20
