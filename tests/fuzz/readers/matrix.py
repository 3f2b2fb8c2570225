"""Measured bispectral matrices, in both layouts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuzz.desk import lay
from palette import read_matrix

WORDS = (
    "EOD",
    "380 780 10 49 300 10",
    "#",
    ",",
    ";",
    "nan",
    "1e-3",
    "-0.1",
    "emission",
    "300",
    "780",
    "10",
    "\t",
)


def _values() -> list[list[float]]:
    """Return a made-up surface: some reflectance, one glow near 520 nm."""
    emission, excitation = range(380, 781, 10), range(300, 781, 10)
    return [
        [0.3 if m == x else max(0.0, 0.02 - 0.0004 * abs(m - 520)) if m > x else 0.0 for x in excitation]
        for m in emission
    ]


def _csv() -> bytes:
    rows = [
        f"{380 + 10 * k}," + ",".join(f"{value:.4g}" for value in row) for k, row in enumerate(_values())
    ]
    head = "emission," + ",".join(str(nm) for nm in range(300, 781, 10))
    return ("# made up\n" + "\n".join([head, *rows]) + "\n").encode()


def _bfc() -> bytes:
    rows = [
        f"{380 + 10 * k} " + " ".join(f"{value:.4g}" for value in row) for k, row in enumerate(_values())
    ]
    head = "made up\n" * 10 + "380 780 10 49 300 10\nnm " + " ".join(str(nm) for nm in range(300, 781, 10))
    return (head + "\n" + "\n".join(rows) + "\nEOD\n").encode()


CARD = _csv()


def target(data: bytes) -> object:
    """Read a matrix."""
    found = read_matrix(lay("card.bfc", data))
    assert found.matrix.shape == (41, 49)
    assert np.isfinite(found.matrix).all()
    # No light leaves at a shorter wavelength than it came with, and none is taken away by glowing.
    emission, excitation = np.arange(380, 781, 10)[:, None], np.arange(300, 781, 10)[None, :]
    assert (found.matrix[emission < excitation] == 0).all()
    assert (found.matrix[emission > excitation] >= 0).all()
    assert all(len(note.splitlines()) == 1 for note in found.notes)
    return found


def seeds() -> list[bytes]:
    """Return one matrix in each layout."""
    return [_csv(), _bfc()]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield matrices that are too much in one way each."""
    head = b"h\n" * 10
    yield "a promise of 1e9 bands", head + b"380 780 10 1e9 300 10\nx\nEOD\n"
    yield "a promise of 1e300 rows", head + b"-1e300 1e300 1e-300 49 300 10\nx\nEOD\n"
    yield "steps of nothing", head + b"380 780 5e-324 49 300 5e-324\nx\nEOD\n"
    yield "rows of 1e308", head + b"1e308 1e308 1e308 2 1e308 1e308\nx\n1e308 1 1\nEOD\n"
    yield (
        "2,000 bands in both directions",
        (
            head
            + b"380 2379 1 1999 300 1\nx\n"
            + b"".join(b"%d " % (380 + k) + b"0 " * 1999 + b"\n" for k in range(2000))
            + b"EOD\n"
        ),
    )
    yield "a row of 4,000,000 columns", b"a," + b"1," * 4_000_000 + b"\n"
    yield "1,000,000 rows", b"a,300,310\n" + b"380,0,0\n" * 1_000_000
    yield "5,000,000 empty lines", b"\n" * 5_000_000
    yield "one comma", b","
    yield "a number of 1,000,000 digits", b"a," + b"9" * 1_000_000 + b"\n"
