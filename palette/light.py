"""A light a panel is seen under: its spectrum and the white the eye takes in it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Literal

import numpy as np

from palette.colour import D65_WHITE, Array
from palette.errors import InputError
from palette.illuminant import daylight, incandescent_a, table_d50, table_d65
from palette.reading import nearest
from palette.spectrum import (
    EXCITATION_NM,
    SEEN,
    gaussian_band,
    package_table,
    xyz_of_radiance,
)

__all__ = [
    "BLACKLIGHT",
    "DAYLIGHT",
    "LIGHT_NAMES",
    "Light",
    "LightKind",
    "light_of_spectrum",
    "light_unit",
    "mix_lights",
    "named_light",
    "parse_light",
    "peaks_spectrum",
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

_USUAL: dict[LightKind, str] = {"daylight": "D65", "blacklight": "365/12"}

_LAMPS = ("led-365", "led-385", "led-395", "led-405", "tube-368")
LIGHT_NAMES = ("daylight", "blacklight", "D65", "D50", "overcast", "A", "led-white", *_LAMPS)

# A cloudy sky is bluer than D65; 7000 K is a usual figure (from memory).
_OVERCAST_K = 7000.0

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
    spectrum = spectrum_of(parse_light(_USUAL[kind], where="light"))
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


def named_light(name: str, *, where: str) -> Light:
    """Return a light palette knows by name.

    Raises
    ------
    InputError
        No light has that name.
    """
    if name in ("daylight", "blacklight"):
        return DAYLIGHT if name == "daylight" else BLACKLIGHT
    if name in _LAMPS:
        return Light(id=name, kind="blacklight", spectrum=_lamp_spectrum(name))
    spectra = {
        "D65": table_d65,
        "D50": table_d50,
        "A": incandescent_a,
        "overcast": lambda: daylight(_OVERCAST_K),
        "led-white": lambda: package_table("lights/led-white.csv")["power"],
    }
    if name not in spectra:
        mend = f"{nearest(name, LIGHT_NAMES)}, or name an LED by peak and width in nm, like 365/12"
        raise InputError(where, f'there is no light "{name}"', mend)
    return Light(id=name, kind="daylight", spectrum=spectra[name]())


def _lamp_spectrum(name: str) -> Array:
    import tomllib
    from importlib.resources import files

    text = (files("palette") / "data" / "lights" / f"{name}.toml").read_text("utf-8")
    return peaks_spectrum(tomllib.loads(text)["peaks"], where=name)


def peaks_spectrum(peaks: Sequence[Mapping[str, Any]], *, where: str) -> Array:
    """Return the sum of Gaussian bands ``{ nm, width, power }``, shape (49,).

    `power` is each band's whole power, not its height, on any common scale.

    Raises
    ------
    InputError
        A band is out of range, too narrow or too wide, or none has power.
    """
    total = np.zeros_like(EXCITATION_NM)
    faults = []
    for number, peak in enumerate(peaks, 1):
        here = f"{where}, peak {number}"
        nm, width, power = (float(peak[key]) for key in ("nm", "width", "power"))
        if not EXCITATION_NM[0] <= nm <= EXCITATION_NM[-1]:
            faults.append(InputError(here, f"its peak at {nm:g} nm is out of range", "write 300 to 780 nm"))
        elif not 1 <= width <= 300:
            faults.append(InputError(here, f"its width is {width:g} nm", "write 1 to 300 nm"))
        elif not 0 <= power < np.inf:
            faults.append(InputError(here, f"its power is {power:g}", "write 0 or more"))
        else:
            band = gaussian_band(nm, width)
            total += power * band / band.sum()
    InputError.gather(faults)
    if total.sum() <= 0:
        raise InputError(where, "the lamp has no power", "give at least one peak a power above 0")
    return total


_LED = re.compile(r"(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)")


def parse_light(text: str, *, where: str) -> Light:
    """Return the light of a word: a name, an LED, or a mixture.

    ``D65``; ``365/12``, an LED by peak and full width at half maximum in nm; ``365/12 +
    0.02*led-white``, a blacklight with some hall light, where the factors are shares of
    radiant power.

    Raises
    ------
    InputError
        The word is none of these, or a figure is out of range.
    """
    terms = [term.strip() for term in text.split("+")]
    if len(terms) > 1:
        parts, shares = [], []
        for term in terms:
            found = re.fullmatch(r"(?:(\d+(?:\.\d+)?|\.\d+)\s*\*\s*)?(.+)", term)
            if found is None:
                raise InputError(where, f'"{text}" has an empty part', "write like 365/12 + 0.02*led-white")
            parts.append(parse_light(found.group(2), where=where))
            shares.append(float(found.group(1) or 1))
        return mix_lights(parts, shares, name=text, where=where)
    word = terms[0]
    led = _LED.fullmatch(word)
    if led:
        peak, width = float(led.group(1)), float(led.group(2))
        here = f'{where}, light "{text}"'
        spectrum = _led_spectrum(peak, width, here)
        return light_of_spectrum(text, spectrum, where=here)
    if f"led-{word}" in _LAMPS:
        word = f"led-{word}"
    return named_light(word, where=where)


def _led_spectrum(peak: float, width: float, where: str) -> Array:
    if not EXCITATION_NM[0] <= peak <= EXCITATION_NM[-1]:
        raise InputError(where, f"the peak {peak:g} nm is out of range", "write a peak from 300 to 780 nm")
    if not 1 <= width <= 300:
        raise InputError(where, f"the width {width:g} nm is out of range", "write a width from 1 to 300 nm")
    return gaussian_band(peak, width)


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
    if not spectrum.sum() > 0:
        raise InputError(where, "the lamp has no power", "give a spectrum that is not all zero")
    if kind is None:
        seen = float(xyz_of_radiance(spectrum[SEEN])[1])
        kind = "daylight" if seen >= _reference_y(spectrum) else "blacklight"
    return Light(id=name, kind=kind, spectrum=spectrum)


def mix_lights(lights: Sequence[Light], shares: Sequence[float], *, name: str, where: str) -> Light:
    """Return several lights burning together, each with its share of radiant power.

    Raises
    ------
    InputError
        No share is above 0.
    """
    if not any(share > 0 for share in shares):
        raise InputError(where, f'the mixture "{name}" has no power', "give one part a share above 0")
    total = np.zeros_like(EXCITATION_NM)
    for light, share in zip(lights, shares, strict=True):
        spectrum = spectrum_of(light)
        total += share * spectrum / spectrum.sum()
    return light_of_spectrum(name, total, where=where)
