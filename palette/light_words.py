"""Lights as people write them: names, LEDs, mixtures, peaks."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.illuminant import daylight, incandescent_a, table_d50, table_d65
from palette.light import BLACKLIGHT, DAYLIGHT, Light, light_of_spectrum, mix_lights
from palette.reading import nearest
from palette.spectrum import EXCITATION_NM, gaussian_band, package_table

__all__ = ["LIGHT_NAMES", "named_light", "parse_light", "peaks_spectrum"]

_LAMPS = ("led-365", "led-385", "led-395", "led-405", "tube-368")
LIGHT_NAMES = ("daylight", "blacklight", "D65", "D50", "overcast", "A", "led-white", *_LAMPS)
"""The lights that have a name of their own; LEDs, mixtures and lamp files have none."""

# A cloudy sky is bluer than D65; 7000 K is a usual figure (from memory).
_OVERCAST_K = 7000.0


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


_LONGEST = 300
_MOST_PARTS = 12
"""A hall hardly mixes more kinds of lamp."""

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
    if len(text) > _LONGEST or len(terms) > _MOST_PARTS:
        what = f'"{text[:40]}…" has more than {_MOST_PARTS} parts or {_LONGEST} letters'
        raise InputError(where, what, "write like 365/12 + 0.02*led-white, or make a lamp file of it")
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
