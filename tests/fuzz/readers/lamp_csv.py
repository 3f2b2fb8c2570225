"""Lamp files in CSV: wavelength and power."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fuzz.desk import lay
from fuzz.sanity import assert_sound_light
from palette import read_lamp

_LIGHTS = Path(__file__).resolve().parents[3] / "palette" / "data" / "lights"

WORDS = (
    "nm",
    "power",
    "wavelength",
    "#",
    ";",
    "\t",
    ",",
    "1e-300",
    "1e300",
    "200",
    "2500",
    "300",
    "780",
    "365.0",
)


def target(data: bytes) -> object:
    """Read a lamp."""
    light = read_lamp(lay("lamp.csv", data))
    assert_sound_light(light)
    return light


def seeds() -> list[bytes]:
    """Return the white lamp that ships with palette, and a fine spectrum without headings."""
    fine = "\n".join(f"{nm};{max(0.0, 1 - abs(nm - 365) / 9):.3f}" for nm in range(340, 391))
    return [(_LIGHTS / "led-white.csv").read_bytes(), fine.encode(), b"nm\tpower\n400\t1\n700\t2\n"]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield spectra that are too much in one way each."""
    yield "1,000,000 samples", "".join(f"{200 + k / 1000:.3f},1\n" for k in range(1_000_000)).encode()
    yield "10,000,000 commas", b"," * 10_000_000
    yield "5,000,000 headings", b"a,b\n" * 4_000_000
    yield (
        "powers that sum beyond all measure",
        "".join(f"{nm},1.7e308\n" for nm in range(300, 781)).encode(),
    )
    yield "powers next to nothing", "".join(f"{nm},5e-324\n" for nm in range(300, 781)).encode()
    yield "one sample near, one far", b"200,1\n2500,1e308\n"
    yield "two samples a hair apart", b"365.0000000000001,1e308\n365.0000000000002,1e308\n"
