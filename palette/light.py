"""A light a panel is seen under: its spectrum and the white the eye takes in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

import numpy as np

from palette.colour import D65_WHITE, Array
from palette.errors import InputError
from palette.illuminant import table_d65
from palette.spectrum import (
    EXCITATION_NM,
    SEEN,
    gaussian_band,
    xyz_of_radiance,
)

__all__ = [
    "BLACKLIGHT",
    "DAYLIGHT",
    "Light",
    "LightKind",
    "light_of_spectrum",
    "light_unit",
    "mix_lights",
    "spectrum_of",
    "white_of",
]

LightKind = Literal["daylight", "blacklight"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """A light by its name.

    Parameters
    ----------
    id : str
    kind : "daylight" or "blacklight"
        Which of a paint's two swatches stands for its look when nothing better is known of
        the paint, and which white colours are seen against (see `white_of`).
    spectrum : ndarray of float, shape (49,), or None
        Power in each band of the excitation grid, on any scale. None stands for the usual
        light of its kind: D65, or a 365 nm LED.
    """

    id: str
    kind: LightKind
    spectrum: Array | None = field(default=None, compare=False, repr=False)


DAYLIGHT = Light(id="daylight", kind="daylight")
BLACKLIGHT = Light(id="blacklight", kind="blacklight")

# How strongly the reference glow answers each band: radiated over received power of the
# strongest yellow-green of an open bispectral data set (RIT, 1999, sample TEXTYELL), smoothed
# between its noisy bins. Knots: nm, efficiency.
_REFERENCE_GLOW = np.array(
    [(300, 0.15), (340, 0.09), (350, 0.09), (360, 0.156), (370, 0.270), (380, 0.404), (390, 0.425),
     (400, 0.461), (410, 0.466), (430, 0.490), (440, 0.560), (460, 0.527), (470, 0.482), (480, 0.424),
     (490, 0.320), (500, 0.149), (510, 0.052), (520, 0.0)]
)  # fmt: skip
# Luminous weight (Y) of one unit of that sample's radiation, and a margin that keeps the
# brightest sample measured (yellow at 365 nm, Y = 0.153 per unit received) below white.
_REFERENCE_Y = 0.60
_REFERENCE_MARGIN = 1.2


def spectrum_of(light: Light) -> Array:
    """Return the power of a light in each excitation band, shape (49,)."""
    if light.spectrum is not None:
        return light.spectrum
    return _usual_spectrum(light.kind)


@lru_cache(maxsize=2)
def _usual_spectrum(kind: LightKind) -> Array:
    spectrum = table_d65() if kind == "daylight" else gaussian_band(365.0, 12.0)
    spectrum.setflags(write=False)
    return spectrum


def light_unit(light: Light) -> float:
    """Return the radiance sum whose Y is 1 under a light.

    Under daylight that is what a perfect white returns. Under a blacklight it is the Y of the
    reference glow: a fixed, very bright yellow-green paint under the same lamp.
    """
    spectrum = spectrum_of(light)
    if light.kind == "daylight":
        return float(xyz_of_radiance(spectrum[SEEN])[1])
    return _reference_y(spectrum)


def _reference_y(spectrum: Array) -> float:
    answer = np.interp(EXCITATION_NM, _REFERENCE_GLOW[:, 0], _REFERENCE_GLOW[:, 1])
    # A lamp outside the band where anything glows still needs a white; a thousandth of its
    # power keeps the scale finite and everything dark.
    return float(_REFERENCE_MARGIN * _REFERENCE_Y * max(spectrum @ answer, 1e-3 * spectrum.sum()))


def white_of(light: Light) -> Array:
    """Return the white colours are seen against, XYZ with Y = 1.

    Notes
    -----
    By day it is a perfect white surface under the light. Under a blacklight no surface shows
    the lamp's own colour: dividing by it would make nonsense. An eye in a dark hall anchors
    its scale on the brightest thing in view, so white is the luminance of a very bright paint
    under the same lamp, with the chromaticity of D65, to which a dark-adapted eye is close
    (A. Gilchrist et al., Psychological Review 106(4), 795-834, 1999, for the anchor, from
    memory; D65 is our convention, and the screen's). The anchor is one fixed paint, not the
    brightest on the shelf, so that one paint's looks never depend on another's.
    """
    if light.kind == "blacklight":
        return D65_WHITE.copy()
    xyz = xyz_of_radiance(spectrum_of(light)[SEEN])
    white: Array = xyz / xyz[1]
    return white


_POWER_RANGE = (1e-30, 1e30)
"""On whatever scale: beyond it, ratios of sums lose their digits."""

_LEAST_SEEN = 1e-9
"""Y for each unit of power below which a lamp's own white is rounding noise."""


def light_of_spectrum(name: str, spectrum: Array, *, where: str, kind: LightKind | None = None) -> Light:
    """Return a light, judging its kind by its spectrum where nobody says it.

    It is daylight when a white wall lit by it outshines the brightest glow it can excite,
    and a blacklight otherwise.

    Raises
    ------
    InputError
        The lamp has no power.
    """
    spectrum = np.asarray(spectrum, float)
    with np.errstate(over="ignore"):
        power = float(spectrum.sum())
    if not power > 0:
        raise InputError(where, "the lamp has no power", "give a spectrum that is not all zero")
    least, most = _POWER_RANGE
    if not least <= power <= most:
        raise InputError(where, f"its power is {power:.3g} in all", f"scale it to {least:g} to {most:g}")
    if kind is None:
        seen = float(xyz_of_radiance(spectrum[SEEN])[1])
        kind = "daylight" if seen >= _reference_y(spectrum) else "blacklight"
    if kind == "daylight" and not float(xyz_of_radiance(spectrum[SEEN])[1]) > _LEAST_SEEN * power:
        what = "it is called daylight and gives no light to see by"
        raise InputError(where, what, 'write kind = "blacklight"')
    return Light(id=name, kind=kind, spectrum=spectrum)


_MOST_SHARE = 1e6


def mix_lights(lights: Sequence[Light], shares: Sequence[float], *, name: str, where: str) -> Light:
    """Return several lights burning together, each with its share of radiant power.

    Raises
    ------
    InputError
        No share is above 0.
    """
    if not any(share > 0 for share in shares):
        raise InputError(where, f'the mixture "{name}" has no power', "give one part a share above 0")
    if max(shares) > _MOST_SHARE:
        what = f'the mixture "{name}" has a share of {max(shares):.3g}'
        raise InputError(where, what, "write shares of radiant power, like 0.02")
    total = np.zeros_like(EXCITATION_NM)
    for light, share in zip(lights, shares, strict=True):
        spectrum = spectrum_of(light)
        total += share * spectrum / spectrum.sum()
    return light_of_spectrum(name, total, where=where)
