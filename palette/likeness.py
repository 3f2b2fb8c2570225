"""When two paints pass for one on a wall: the one measure of it.

The clash rule's defaults, the swatch card and its sentences all ask here, so that a card never
calls apart what a rule keeps apart, or the other way round.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array, chroma_and_hue, hue_distance

__all__ = [
    "DEFAULT_MIN_CHROMA",
    "DEFAULT_MIN_DIFFERENCE",
    "DEFAULT_MIN_HUE_ANGLE",
    "likeness_sentence",
    "look_alike",
    "too_near_in_hue",
]

DEFAULT_MIN_DIFFERENCE = 20.0
"""CIEDE2000. Judgement, not a standard: one unit is a just visible step between large samples
side by side, and we ask for twenty of them, which is about where large fields still read apart at
walk-through distance in dim light, across a black gap."""

DEFAULT_MIN_HUE_ANGLE = 15.0
"""Degrees. Judgement: two strong paints closer in hue than this read as one paint in two coats,
however their lightness differs. The hue circle holds 24 such steps."""

DEFAULT_MIN_CHROMA = 25.0
"""Below it a paint reads as grey, white or black, and its hue angle says little. Judgement."""


def too_near_in_hue(
    lab: Array, *, min_hue_angle: float = DEFAULT_MIN_HUE_ANGLE, min_chroma: float = DEFAULT_MIN_CHROMA
) -> NDArray[np.bool_]:
    """Return which two of P colours are both strong and nearer in hue than an angle.

    Parameters
    ----------
    lab : ndarray, shape (P, 3)

    Returns
    -------
    ndarray of bool, shape (P, P)
        True on the diagonal of strong colours.
    """
    chroma, hue = chroma_and_hue(lab)
    strong = chroma > min_chroma
    near = hue_distance(hue[:, None], hue[None, :]) < min_hue_angle
    return np.asarray(strong[:, None] & strong[None, :] & near)


def look_alike(lab: Array, differences: Array) -> NDArray[np.bool_]:
    """Return which two of P colours pass for one by the usual measure, shape (P, P).

    Parameters
    ----------
    lab : ndarray, shape (P, 3)
        Under one light.
    differences : ndarray, shape (P, P)
        CIEDE2000 between them.
    """
    return np.asarray((differences < DEFAULT_MIN_DIFFERENCE) | too_near_in_hue(lab))


def likeness_sentence(a: str, b: str, differences: Mapping[str, float], alike: Mapping[str, bool]) -> str:
    """Return a pair in words, like "moss and fern: far apart under D65, twins under led-395".

    Parameters
    ----------
    differences : mapping of light to CIEDE2000
    alike : mapping of light to bool
        By `look_alike`; a pair that is alike though its difference is large is of one hue.
    """
    words: dict[str, list[str]] = {"far apart": [], "of one hue": [], "twins": []}
    for light, same in alike.items():
        near = differences[light] < DEFAULT_MIN_DIFFERENCE
        words["far apart" if not same else "twins" if near else "of one hue"].append(light)
    told = [f"{word} under {_listed(lights)}" for word, lights in words.items() if lights]
    return f"{a} and {b}: {', '.join(told)}"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
