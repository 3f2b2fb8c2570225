"""Lamp files in TOML: peaks and widths."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fuzz.desk import lay
from fuzz.sanity import assert_sound_light
from palette import read_lamp

_LIGHTS = Path(__file__).resolve().parents[3] / "palette" / "data" / "lights"

WORDS = (
    "name", "kind", "peaks", "nm", "width", "power", "daylight", "blacklight", "version = 1", "[[peaks]]", "365", "780",
    "{ nm = 365, width = 12, power = 1 }",
)  # fmt: skip


def target(data: bytes) -> object:
    """Read a lamp."""
    light = read_lamp(lay("lamp.toml", data))
    assert_sound_light(light)
    return light


def seeds() -> list[bytes]:
    """Return the lamps that ship with palette."""
    return [path.read_bytes() for path in sorted(_LIGHTS.glob("*.toml"))]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield lamps that are too much in one way each."""
    peak = "{ nm = 365, width = 12, power = 1 },"
    yield "10,000 peaks", ("peaks = [" + peak * 10_000 + "]").encode()
    yield "100,000 peaks", ("peaks = [" + peak * 100_000 + "]").encode()
    yield "100,000 wrong peaks", ("peaks = [" + "{ nm = 1 }," * 100_000 + "]").encode()
    yield (
        "powers beyond all measure",
        ("peaks = [" + "{ nm = 365, width = 12, power = 1e9 }," * 300 + "]").encode(),
    )
    yield "a big integer", b"peaks = [{ nm = 0x" + b"f" * 300_000 + b", width = 12 }]"
