"""Spectra on one grid, and what an eye makes of them.

The grid is 10 nm. Bispectral instruments measure in 10 nm bands, the observer is tabulated at
10 nm in colormath, and the fluorescence of paints is 50 nm wide: a finer grid would interpolate
what nobody measured. Light that excites counts from 300 nm, because the ultraviolet of daylight
feeds brighteners; light that is seen counts from 380 nm. Values are power per band, so a sum
over the grid is a total.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

import numpy as np

from palette.colour import Array
from palette.errors import InputError

__all__ = [
    "EMISSION_NM",
    "EXCITATION_NM",
    "SEEN",
    "STEP_NM",
    "gaussian_band",
    "line_band",
    "observer",
    "on_grid",
    "package_table",
    "skewed_band",
    "xyz_of_radiance",
]

STEP_NM = 10  # as bispectral data are measured
EXCITATION_NM: Array = np.arange(300.0, 781.0, STEP_NM)
EMISSION_NM: Array = np.arange(380.0, 781.0, STEP_NM)
SEEN = slice(len(EXCITATION_NM) - len(EMISSION_NM), len(EXCITATION_NM))
"""The part of the excitation grid that is also emission grid: 380 nm and up."""

# Sampled every 10 nm, the power of a band 8 nm wide wavers by a fifth with the place of its peak (of one
# 12 nm wide by a hundredth); a narrower one is a line.
_NARROWEST_SAMPLED_NM = 8.0


@lru_cache(maxsize=1)
def observer() -> Array:
    """Return x̄, ȳ, z̄ of the CIE 1931 2° observer on the emission grid, shape (41, 3).

    Source: colormath's table, which begins at 340 nm.
    """
    from colormath import spectral_constants as tables

    curves = [tables.STDOBSERV_X2, tables.STDOBSERV_Y2, tables.STDOBSERV_Z2]
    first = (int(EMISSION_NM[0]) - 340) // STEP_NM
    found = np.stack([curve[first : first + len(EMISSION_NM)] for curve in curves], axis=-1)
    found.setflags(write=False)
    return found


def xyz_of_radiance(radiance: Array) -> Array:
    """Return XYZ sums, shape (..., 3), of spectra on the emission grid, shape (..., 41)."""
    xyz: Array = np.asarray(radiance, float) @ observer()
    return xyz


def gaussian_band(peak_nm: float, width_nm: float) -> Array:
    """Return a Gaussian band on the excitation grid, 1 at its peak.

    `width_nm` is the full width at half maximum. Sampled at the grid's points, as bispectral
    practice does; a band narrower than 8 nm is treated as a line.
    """
    if width_nm < _NARROWEST_SAMPLED_NM:
        area = width_nm * np.sqrt(np.pi / (4 * np.log(2))) / STEP_NM
        line: Array = area * line_band(peak_nm)
        return line
    band: Array = np.exp(-4 * np.log(2) * ((EXCITATION_NM - peak_nm) / width_nm) ** 2)
    return band


def line_band(nm: float) -> Array:
    """Return one unit of power at a wavelength, shared between the two nearest grid points.

    The shares keep power and mean wavelength.
    """
    return np.clip(1 - np.abs(EXCITATION_NM - nm) / STEP_NM, 0.0, None)


def skewed_band(peak_nm: float, width_nm: float, skew: float) -> Array:
    """Return a log-normal band on the emission grid, with the sum 1.

    Parameters
    ----------
    peak_nm, width_nm : float
        Position and full width at half maximum.
    skew : float
        Long-wave half width over short-wave half width; 1 is a Gaussian. Emission of dyes
        falls off more slowly toward the red.

    Notes
    -----
    Source of the form: D. B. Siano and D. E. Metzler, J. Chem. Phys. 51, 1856 (1969), there
    for absorption bands (from memory).
    """
    if abs(skew - 1) < 1e-3:
        band = np.exp(-4 * np.log(2) * ((EMISSION_NM - peak_nm) / width_nm) ** 2)
    else:
        reach = 1 + (EMISSION_NM - peak_nm) * (skew**2 - 1) / (skew * width_nm)
        log = np.log(np.where(reach > 0, reach, 1.0)) / np.log(skew)
        band = np.where(reach > 0, np.exp(-np.log(2) * log**2), 0.0)
    total = float(band.sum())
    return np.asarray(band / total, float) if total > 0 else np.zeros_like(EMISSION_NM)


def on_grid(nm: Array, power: Array, *, where: str) -> Array:
    """Return a spectrum on the excitation grid from samples at any wavelengths.

    Samples 10 nm apart or more are joined by straight lines and read at the grid's points.
    Finer ones are first joined, then every nanometre's power is shared between its two
    neighbouring grid points, so that a narrow lamp keeps its power wherever its peak falls.
    Outside the samples there is nothing.

    Raises
    ------
    InputError
        Wavelengths do not rise, lie outside 200 to 2500 nm, miss the grid, or a value is not
        a number or negative.
    """
    nm, power = np.asarray(nm, float), np.asarray(power, float)
    _check_samples(nm, power, where)
    if np.min(np.diff(nm)) >= STEP_NM - 1e-6:
        found: Array = np.interp(EXCITATION_NM, nm, power, left=0.0, right=0.0)
        return found
    fine = np.arange(EXCITATION_NM[0], EXCITATION_NM[-1] + 1)
    joined = np.interp(fine, nm, power, left=0.0, right=0.0)
    shares = np.clip(1 - np.abs(EXCITATION_NM[:, None] - fine[None, :]) / STEP_NM, 0.0, None)
    shared: Array = shares @ joined / STEP_NM
    # At both ends of the grid only one side feeds the band: it stands for the other too.
    shared[0] = shared[0] / shares[0].sum() * STEP_NM
    shared[-1] = shared[-1] / shares[-1].sum() * STEP_NM
    return shared


def _check_samples(nm: Array, power: Array, where: str) -> None:
    if len(nm) < 2:
        raise InputError(where, "it has fewer than two wavelengths", "give at least two")
    if not np.all(np.isfinite(nm)) or not np.all(np.isfinite(power)):
        raise InputError(where, "a value is missing or not a number", "fill every row")
    if np.any(np.diff(nm) <= 0):
        at = float(nm[1:][np.diff(nm) <= 0][0])
        raise InputError(where, f"the wavelengths do not rise at {at:g} nm", "sort them and keep each once")
    if nm[0] < 200 or nm[-1] > 2500:
        bad = nm[0] if nm[0] < 200 else nm[-1]
        raise InputError(where, f"the wavelength {bad:g} is out of range", "write nanometres, 200 to 2500")
    if nm[-1] < EXCITATION_NM[0] or nm[0] > EXCITATION_NM[-1]:
        what = f"its wavelengths, {nm[0]:g} to {nm[-1]:g} nm, miss 300 to 780 nm"
        raise InputError(where, what, "give a spectrum that reaches into that range")
    if np.any(power < 0):
        at = float(nm[power < 0][0])
        raise InputError(
            where, f"the power at {at:g} nm is negative", "set measuring noise below zero to 0"
        )


def package_table(name: str) -> dict[str, Array]:
    """Return the columns of a CSV file that ships with palette, by their headings."""
    text = (files("palette") / "data" / name).read_text("utf-8")
    rows = [line.split(",") for line in text.splitlines() if line and not line.startswith("#")]
    return {
        heading: np.array([float(row[column]) for row in rows[1:]])
        for column, heading in enumerate(rows[0])
    }
