"""Paint files in TOML, with a measured matrix beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from fuzz.desk import lay
from fuzz.readers.matrix import CARD
from palette import appearance_of, coating_notes, light_by_name, read_paints
from palette.paint import Paint

_CANYON = Path(__file__).resolve().parents[3] / "examples" / "canyon"
_GENERIC = Path(__file__).resolve().parents[3] / "palette" / "data" / "paints" / "generic.toml"

EXAMPLES = 40

WORDS = (
    "[[paint]]", "name", "swatch", "daylight", "blacklight", "stock", "coats", "coverage", "ground", "white", "uv-white",
    "grey", "wood", "stained", "black", "matrix", "card.csv", "body", "glow", "peak", "width", "skew", "strength", "excitation",
    "bands", "share", "version = 1", "#38d64e", "#fff", "[50, 20, -120]", "[[400, 0.1], [550, 0.9]]", "7 m2/L", "285 ft2/gal",
    "16 fl oz", "0.75 L", "{ daylight = \"#38d64e\" }", "{ peak = 583, width = 54, strength = 0.5 }",
)  # fmt: skip


def target(data: bytes) -> object:
    """Read the paints and, where they are few, how they look."""
    lay("paints/card.csv", CARD)
    paints = read_paints(lay("paints/paints.toml", data))
    assert paints
    assert len({paint.id for paint in paints}) == len(paints)
    for paint in paints:
        _assert_sound(paint)
    if len(paints) <= 4:
        looks = appearance_of(paints, [light_by_name("daylight"), light_by_name("365/12")])
        assert np.isfinite(looks.xyz).all()
        assert (looks.xyz >= -1e-9).all()
        for paint in paints:
            for note in coating_notes(paint):
                assert len(note.splitlines()) == 1
    return paints


def _assert_sound(paint: Paint) -> None:
    assert paint.id == paint.id.strip() != ""
    assert paint.id.isprintable()
    assert paint.stock_l is None or 0 <= paint.stock_l < math.inf
    assert 1 <= paint.coats <= 10
    assert 0 < paint.spread_m2_per_l < math.inf
    for xyz in paint.swatch.values():
        assert xyz.shape == (3,)
        assert np.isfinite(xyz).all()
    if paint.matrix is not None:
        assert np.isfinite(paint.matrix).all()


def seeds() -> list[bytes]:
    """Return the demo's paints, the generic ones, and one for each way to know a paint."""
    words = """[[paint]]
name = "moss green"
swatch = { daylight = "#38d64e", blacklight = "#12c85a" }
stock = "16 fl oz"
coats = 2
coverage = "7 m2/L"
"""
    figures = """name = "shelf"
[[paint]]
name = "apricot orange"
body = "#c46a3a"
glow = { peak = 583, width = 54, strength = 0.5 }
ground = "uv-white"

[[paint]]
name = "two bands"
body = [[380, 0.05], [500, 0.2], [780, 0.8]]
glow = [{ strength = 0.3, bands = [{ peak = 500, width = 40, share = 0.4 }, { peak = 600, width = 60, skew = 2.0, share = 0.6 }], excitation = [[300, 0.2], [400, 1.0], [520, 0.0]] }]
"""
    measured = '[[paint]]\nname = "measured card"\nmatrix = "card.csv"\n[[paint]]\nname = "lab"\nswatch = { daylight = [60, 20, -40], blacklight = [30, 0, 0] }\n'
    demo = [path.read_bytes() for path in (_CANYON / "paints.toml", _GENERIC)]
    return [words.encode(), figures.encode(), measured.encode(), *demo]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield paint files that are too much in one way each."""
    one = '[[paint]]\nname = "p{n}"\nswatch = {{ daylight = "#38d64e", blacklight = "#12c85a" }}\n'
    glow = (
        '[[paint]]\nname = "p{n}"\nbody = "#c46a3a"\nglow = {{ peak = 583, width = 54, strength = 0.5 }}\n'
    )
    yield "300 paints of swatches", "".join(one.format(n=n) for n in range(300)).encode()
    yield "100,000 paints of swatches", "".join(one.format(n=n) for n in range(100_000)).encode()
    yield "300 paints of parameters", "".join(glow.format(n=n) for n in range(300)).encode()
    yield "10,000 paints of parameters", "".join(glow.format(n=n) for n in range(10_000)).encode()
    yield (
        "2,000 paints of one matrix",
        "".join(f'[[paint]]\nname = "p{n}"\nmatrix = "card.csv"\n' for n in range(2000)).encode(),
    )
    yield "50,000 paints of one name", (one.format(n=1) * 50_000).encode()
    yield "a name of 10 MiB", one.format(n="n" * 10 * 2**20).encode()
    yield (
        "a body of 300,000 pairs",
        ('[[paint]]\nname = "a"\nbody = [' + ",".join(["[400, 0.1]"] * 300_000) + "]\n").encode(),
    )
    yield (
        "10,000 glows",
        (
            '[[paint]]\nname = "a"\nglow = ['
            + ",".join(["{ peak = 583, width = 54, strength = 0.001 }"] * 10_000)
            + "]\n"
        ).encode(),
    )
    yield (
        "10,000 bands",
        (
            '[[paint]]\nname = "a"\nglow = { strength = 0.1, bands = ['
            + ",".join(["{ peak = 583, width = 54 }"] * 10_000)
            + "] }\n"
        ).encode(),
    )
    yield (
        "a swatch of a big integer",
        ('[[paint]]\nname = "a"\nswatch = { daylight = [0x' + "f" * 300_000 + ", 1, 1] }\n").encode(),
    )
    yield "a matrix from a device without end", b'[[paint]]\nname = "a"\nmatrix = "/dev/zero"\n'
    yield "a matrix from a folder", b'[[paint]]\nname = "a"\nmatrix = "."\n'
