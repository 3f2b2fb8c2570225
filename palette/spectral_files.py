"""Lamps and measured matrices from files.

A lamp is TOML with peaks and widths, or CSV with wavelength and power; the layouts of a matrix
are those of `matrix_from_text`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from palette.errors import InputError
from palette.formats import FORMATS
from palette.light import Light, LightKind, light_of_spectrum
from palette.light_words import peaks_spectrum
from palette.optics.matrix import Measured, matrix_from_text
from palette.reading import (
    MAX_TABLE_BYTES,
    read_bytes,
    read_text,
    read_toml,
    refuse_unknown_keys,
    take_number,
    take_tables,
    take_text,
)
from palette.spectrum import on_grid

__all__ = ["LAMP_SUFFIXES", "MATRIX_SUFFIXES", "read_lamp", "read_matrix"]

LAMP_SUFFIXES = (".toml", ".csv")
MATRIX_SUFFIXES = (".bfc", ".csv", ".txt")

_MOST_LAMP_BYTES = 2**20
"""A spectrum from 200 to 2500 nm in tenths of a nanometre takes a third of it."""

_KINDS: tuple[LightKind, ...] = ("daylight", "blacklight")


def read_lamp(path: Path) -> Light:
    """Return the light of a lamp file, named after the file.

    TOML: ``peaks``, a list of ``{ nm, width, power }`` with full widths at half maximum in nm
    and each peak's whole power on any scale; ``kind`` (``"daylight"`` or ``"blacklight"``)
    where it should not be judged from the spectrum; ``name`` for people. CSV: two columns,
    wavelength in nm and power, rising wavelengths, with or without headings; ``#`` comments.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Light

    Raises
    ------
    InputError
        The file is neither, a value cannot be used, or the lamp has no power.
    """
    suffix = path.suffix.lower()
    if suffix == ".toml":
        return _from_toml(path)
    if suffix == ".csv":
        return _from_csv(path)
    mend = "save it as .toml with peaks, or as .csv with wavelength and power"
    raise InputError(str(path), f'"{path.suffix}" is no lamp file', mend)


def read_matrix(path: Path) -> Measured:
    """Return the clean matrix of a file: see `matrix_from_text`.

    Parameters
    ----------
    path : Path
        BFC or CSV.

    Returns
    -------
    Measured
        The matrix, shape (41, 49): row for emission, column for excitation; and what was changed
        in reading it.

    Raises
    ------
    InputError
        The file cannot be read, or holds no matrix that can be used.
    """
    # Instruments write comments in whatever code page they have; only the numbers count.
    text = read_bytes(path, most=MAX_TABLE_BYTES).decode("utf-8-sig", errors="replace")
    return matrix_from_text(text, where=str(path))


def _from_toml(path: Path) -> Light:
    where = str(path)
    document = FORMATS["lamp"].newest(read_toml(path), where=where)
    refuse_unknown_keys(document, ("name", "kind", "peaks"), where=where)
    peaks = take_tables(document, "peaks", where=where)
    if not peaks:
        raise InputError(where, "it has no peaks", "write peaks = [{ nm = 365, width = 12, power = 1 }]")
    faults = []
    rows: list[dict[str, Any]] = []
    for number, peak in enumerate(peaks, 1):
        here = f"{where}, peak {number}"
        try:
            refuse_unknown_keys(peak, ("nm", "width", "power"), where=here)
            for key in ("nm", "width"):
                if key not in peak:
                    raise InputError(here, f'the key "{key}" is missing', f"add {key} = a number of nm")
            rows.append(
                {
                    "nm": take_number(peak, "nm", where=here, least=300, most=780),
                    "width": take_number(peak, "width", where=here, least=1, most=300),
                    "power": take_number({"power": 1.0, **peak}, "power", where=here, least=0, most=1e9),
                }
            )
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    kind: LightKind | None = None
    if "kind" in document:
        word = take_text(document, "kind", where=where)
        if word not in _KINDS:
            raise InputError(where, f'the kind is "{word}"', 'write kind = "daylight" or "blacklight"')
        kind = _KINDS[_KINDS.index(word)]
    return light_of_spectrum(path.stem, peaks_spectrum(rows, where=where), where=where, kind=kind)


def _from_csv(path: Path) -> Light:
    where = str(path)
    nm: list[float] = []
    power: list[float] = []
    for number, line in enumerate(read_text(path, most=_MOST_LAMP_BYTES).splitlines(), 1):
        cells = [cell.strip() for cell in line.replace(";", ",").replace("\t", ",").split(",", 2)]
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if len(cells) < 2:
            raise InputError(f"{where}, line {number}", "it has one column", "write wavelength,power")
        try:
            values = [float(cell) for cell in cells[:2]]
        except ValueError:
            if not nm:
                continue  # headings
            what = f'"{line.strip()[:40]}" is not a wavelength and a power'
            raise InputError(f"{where}, line {number}", what, "write two numbers") from None
        nm.append(values[0])
        power.append(values[1])
    spectrum = on_grid(np.array(nm), np.array(power), where=where)
    return light_of_spectrum(path.stem, spectrum, where=where)
