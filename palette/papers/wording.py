"""Times, durations, places and volumes as people say them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from palette.lamps import DAY_S, Exposure, Lamp
from palette.units import US_GALLON_L

__all__ = [
    "clock_words", "duration_words", "exposure_words", "figure_words", "letter_words", "place_words",
    "violet_words", "volume_words",
]  # fmt: skip

UVA_ENDS_NM = 400.0
"""UV-A is 315 to 400 nm in ICNIRP 2004; beyond it is light."""

VIOLET_SHARE = 0.01
"""Of a lamp's line: more than this beyond 400 nm is worth a word. Judgement."""


def clock_words(hour: float) -> str:
    """Return an hour of the timetable as a time of day to five minutes, 14:05."""
    minutes = round(hour * 12) * 5 % (24 * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def duration_words(seconds: float) -> str:
    """Return a duration: 8 h, 2 h 47 min, 17 min, 40 s; rounded down, so that nobody stays longer."""
    if seconds < 120:
        return f"{int(seconds)} s"
    hours, minutes = divmod(int(seconds // 60), 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def place_words(x_mm: float, y_mm: float, height_mm: float) -> str:
    """Return a place on or off a wall of this height as one measures it."""
    across = f"{x_mm / 10:.0f} cm from the left"
    if y_mm < 0:
        return f"{across}, {-y_mm / 10:.0f} cm above the top"
    if y_mm > height_mm:
        return f"{across}, {(y_mm - height_mm) / 10:.0f} cm below the foot"
    return f"{across}, {y_mm / 10:.0f} cm down"


def volume_words(litres: float | None) -> str:
    """Return litres with US gallons on a second line, or that it is not known."""
    return "not known" if litres is None else f"{litres:.2f} L\n{litres / US_GALLON_L:.2f} gal"


def exposure_words(exposure: Exposure) -> str:
    """Return what the UV at a place means for eyes and skin, in one sentence.

    Parameters
    ----------
    exposure : Exposure

    Returns
    -------
    str
    """
    level = f"{figure_words(exposure.uva_w_m2 * 100)} µW/cm² of UV-A facing the lamps"
    if exposure.within_day:
        limit = "no limit reached within 8 h"
    elif exposure.skin_s >= DAY_S:
        limit = f"limit for eyes after {duration_words(exposure.eye_s)}, none for skin within 8 h"
    else:
        eye, skin = duration_words(exposure.eye_s), duration_words(exposure.skin_s)
        limit = f"limit for eyes after {eye}, for skin after {skin}"
    return f"At the {exposure.place}'s place: {level}; {limit}."


def violet_words(lamps: Sequence[Lamp]) -> str:
    """Return a sentence about light that is no UV-A and not counted, nothing where there is little.

    Parameters
    ----------
    lamps : sequence of Lamp

    Returns
    -------
    str
    """
    if all(_violet_share(lamp) <= VIOLET_SHARE for lamp in lamps):
        return ""
    return "Violet light beyond 400 nm is not counted here: ask for the lamp's blue-light group too."


def _violet_share(lamp: Lamp) -> float:
    # The tail of a Gaussian line, 0 to 1; its standard deviation is its width over 2 sqrt(2 ln 2).
    sigma = lamp.width_nm / math.sqrt(8 * math.log(2))
    return math.erfc((UVA_ENDS_NM - lamp.peak_nm) / (sigma * math.sqrt(2))) / 2


def figure_words(value: float) -> str:
    """Return a figure with two or three digits that count."""
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"


def letter_words(place: int) -> str:
    """Return a, b, … z, aa, ab, … for places counted from 0."""
    letters = ""
    rest = place + 1
    while rest:
        rest, letter = divmod(rest - 1, 26)
        letters = chr(ord("a") + letter) + letters
    return letters
