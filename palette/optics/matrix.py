"""Measured bispectral matrices: read from text, cleaned, checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.errors import InputError
from palette.spectrum import EMISSION_NM, EXCITATION_NM, STEP_NM

__all__ = ["Measured", "clean_matrix", "matrix_from_text"]

# An instrument's noise scatters around zero. In eight measured matrices (RIT open bispectral data,
# 1999) none is farther off than 0.07; beyond these a value is a slip of the file.
_WORST_NOISE = 0.25
_WORST_REFLECTANCE = -0.05

_MOST_RETURNED = 1.10
"""Photons sent back for each received, with a margin for noise; the same data have at most 0.96."""

_MOST_BANDS = 2000  # of a file; more than any instrument gives

_MEND = "write one row per emission wavelength: the wavelength, then one value per excitation wavelength"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """A clean matrix, shape (41, 49), and sentences about what was changed to make it so."""

    matrix: Array
    notes: tuple[str, ...] = ()


def matrix_from_text(text: str, *, where: str) -> Measured:
    """Return a measured matrix on palette's grids, cleaned.

    Two layouts are known. *BFC*: ten lines of header; then ``out_start out_end out_step n_in
    in_start in_step`` in nm; a row of headings; a row per emission wavelength; ``EOD``.
    *CSV*: a first row with the excitation wavelengths after one cell of heading, then rows
    that begin with the emission wavelength; lines that begin with ``#`` are comments. In both
    a value is the radiance factor which a 10 nm band of excitation contributes to a 10 nm
    band of emission; the diagonal is reflectance.

    Raises
    ------
    InputError
        The matrix has holes, a wrong size, wavelengths out of range or a value that no
        surface can have; with the row and column.
    """
    lines = text.splitlines()
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    if "," in first or ";" in first.lstrip("#"):
        emission, excitation, values = _from_csv(lines, where)
    else:
        emission, excitation, values = _from_bfc(lines, where)
    return clean_matrix(_placed(emission, excitation, values, where), where=where)


def clean_matrix(measured: Array, *, where: str) -> Measured:
    """Return a matrix without noise: nothing leaves at a shorter wavelength, no glow is negative.

    The diagonal stays as measured, below it negative noise becomes 0, above it all becomes 0.

    Raises
    ------
    InputError
        A value is too far from zero to be noise, or more photons leave than arrive.
    """
    rows, columns = EMISSION_NM[:, None], EXCITATION_NM[None, :]
    glow, reflected, uphill = rows > columns, rows == columns, rows < columns
    _refuse(glow & (measured < -_WORST_NOISE), measured, "is too far below zero to be noise", where)
    _refuse(reflected & (measured < _WORST_REFLECTANCE), measured, "is no reflectance", where)
    told = "is too much to be noise, for light never leaves at a shorter wavelength"
    _refuse(uphill & (np.abs(measured) > _WORST_NOISE), measured, told, where)
    clean = np.where(glow, np.maximum(measured, 0.0), np.where(reflected, measured, 0.0))
    photons = (EMISSION_NM @ clean) / EXCITATION_NM
    if photons.max() > _MOST_RETURNED:
        at = int(np.argmax(photons))
        what = (
            f"{photons[at]:.2f} photons are sent back for each that arrives at {EXCITATION_NM[at]:.0f} nm"
        )
        raise InputError(where, what, "no surface has a yield above 1, so check the scale of the file")
    return Measured(matrix=clean, notes=tuple(_noise_told(measured, glow, uphill, where)))


def _refuse(wrong: NDArray[np.bool_], measured: Array, told: str, where: str) -> None:
    if wrong.any():
        row, column = np.unravel_index(np.argmax(np.where(wrong, np.abs(measured), 0.0)), measured.shape)
        what = (
            f"the value {measured[row, column]:.3g} at emission {EMISSION_NM[row]:.0f} nm, excitation "
            f"{EXCITATION_NM[column]:.0f} nm {told}"
        )
        raise InputError(where, what, "check the file, or measure again")


def _noise_told(
    measured: Array, glow: NDArray[np.bool_], uphill: NDArray[np.bool_], where: str
) -> Iterator[str]:
    """Yield one sentence where anything was taken as noise."""
    below, beyond = glow & (measured < 0), uphill & (measured != 0)
    parts = []
    if below.any():
        parts.append(f"{int(below.sum())} below zero, down to {measured[below].min():.2g}")
    if beyond.any():
        most = np.abs(measured[beyond]).max()
        parts.append(f"{int(beyond.sum())} at wavelengths shorter than the exciting one, up to {most:.2g}")
    if parts:
        yield f"{where}: values were taken as measuring noise and set to 0: {'; '.join(parts)}."


def _from_bfc(lines: list[str], where: str) -> tuple[Array, Array, Array]:
    if len(lines) < 13:
        raise InputError(where, "this is no matrix: the file ends before line 13", _MEND)
    head = _numbers(lines[10].split(), f"{where}, line 11")
    if len(head) != 6 or head[2] <= 0 or head[5] <= 0 or head[1] < head[0] or head[3] < 1:
        what = "line 11 does not hold out_start out_end out_step n_in in_start in_step"
        raise InputError(where, what, "write six numbers there, like 380 780 10 49 300 10")
    out_start, out_end, out_step, count, in_start, in_step = head
    rows_promised = (out_end - out_start) / out_step + 1
    if max(count, rows_promised) > _MOST_BANDS or count != int(count):
        what = f"line 11 promises {count:g} excitation and {rows_promised:g} emission bands"
        raise InputError(where, what, f"write whole numbers of bands there, at most {_MOST_BANDS}")
    excitation = np.asarray(in_start + in_step * np.arange(int(count)), np.float64)
    emission: Array = np.asarray(np.arange(out_start, out_end + out_step / 2, out_step), np.float64)
    rows = []
    for number, line in enumerate(lines[12:], 13):
        if line.strip() == "EOD":
            break
        if line.strip():
            rows.append(_row(line.split(), len(excitation), f"{where}, line {number}"))
    if len(rows) != len(emission):
        what = f"it has {len(rows)} rows of values, and its header promises {len(emission)}"
        raise InputError(where, what, _MEND)
    table: Array = np.array(rows, float)
    if not np.allclose(table[:, 0], emission):
        at = int(np.argmax(np.abs(table[:, 0] - emission)))
        what = f"row {at + 1} begins with {table[at, 0]:g} nm instead of {emission[at]:g} nm"
        raise InputError(where, what, "put the rows in the order the header promises")
    return emission, excitation, table[:, 1:]


def _from_csv(lines: list[str], where: str) -> tuple[Array, Array, Array]:
    rows: list[tuple[int, list[str]]] = [
        (number, [cell.strip() for cell in line.replace(";", ",").split(",")])
        for number, line in enumerate(lines, 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    excitation: Array = np.array(_numbers(rows[0][1][1:], f"{where}, line {rows[0][0]}"))
    table: Array = np.array(
        [_row(cells, len(excitation), f"{where}, line {number}") for number, cells in rows[1:]]
    )
    if len(table) < 2:
        raise InputError(where, "it has fewer than two rows of values", _MEND)
    for what, nm in (("emission", table[:, 0]), ("excitation", excitation)):
        if len(nm) < 2 or np.any(np.diff(nm) <= 0):
            raise InputError(where, f"its {what} wavelengths do not rise", "sort them and keep each once")
    return table[:, 0], excitation, table[:, 1:]


def _row(cells: list[str], count: int, where: str) -> list[float]:
    values = _numbers(cells, where)
    if len(values) != count + 1:
        what = f"it has {len(values) - 1} values and there are {count} excitation wavelengths"
        raise InputError(where, what, _MEND)
    return values


def _numbers(cells: list[str], where: str) -> list[float]:
    found = []
    for column, cell in enumerate(cells, 1):
        try:
            value = float(cell)
        except ValueError:
            value = float("nan")
        if not np.isfinite(value):
            shown = cell or "empty"
            what = f"the value in column {column} is {shown}: the matrix has a hole"
            raise InputError(where, what, "fill it with a measured number")
        found.append(value)
    return found


def _placed(emission: Array, excitation: Array, values: Array, where: str) -> Array:
    """Return the values on palette's grids: cut where the file has more, refused where it has less."""
    for what, nm in (("emission", emission), ("excitation", excitation)):
        if np.any(np.abs(np.diff(nm) - STEP_NM) > 1e-6) or abs(nm[0] % STEP_NM) > 1e-6:
            mend = f"resample it to steps of {STEP_NM} nm that begin at a multiple of {STEP_NM}"
            raise InputError(where, f"its {what} wavelengths are not on a 10 nm grid", mend)
        if nm[0] < 200 or nm[-1] > 1200:
            bad = nm[0] if nm[0] < 200 else nm[-1]
            raise InputError(
                where, f"the {what} wavelength {bad:g} nm is out of range", "write 200 to 1200 nm"
            )
    if emission[0] > EMISSION_NM[0] or emission[-1] < EMISSION_NM[-1]:
        what = f"its emission, {emission[0]:g} to {emission[-1]:g} nm, does not cover 380 to 780 nm"
        raise InputError(where, what, "measure that range")
    if excitation[0] > EXCITATION_NM[0] or excitation[-1] < EXCITATION_NM[-1]:
        what = f"its excitation, {excitation[0]:g} to {excitation[-1]:g} nm, does not cover 300 to 780 nm"
        turned = emission[0] <= EXCITATION_NM[0]
        mend = "swap rows and columns: rows are for emission" if turned else "measure that range"
        raise InputError(where, what, mend)
    top = round((EMISSION_NM[0] - emission[0]) / STEP_NM)
    left = round((EXCITATION_NM[0] - excitation[0]) / STEP_NM)
    return values[top : top + len(EMISSION_NM), left : left + len(EXCITATION_NM)]
