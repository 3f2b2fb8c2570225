"""From measured colour to the screen: hue kept, brightness fitted, nothing cut off by channel.

A fluorescent paint is brighter and purer than any screen's colour. Cutting each channel at the
screen's limit would turn red to orange and green to yellow. Here a colour keeps its Oklab hue:
luminance above a knee is bent toward white, a colour purer than the screen's purest of that hue is
lowered toward the lightness of that one, and chroma is then taken back to the edge of the gamut.
Sources: B. Ottosson, "A perceptual color space for image processing" (2020), matrices, and "sRGB
gamut clipping" (2021), the part the cusp plays (from memory); the amounts are set by eye.
"""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array, adapt_white, encode_srgb, linear_srgb_of_xyz

__all__ = ["linear_of_oklab", "oklab_of_linear", "screen_colours", "screen_linear", "soften_highlights"]

_CONES: Array = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_LAB: Array = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)

# Above this luminance brightness is compressed, so that the brightest glows still differ.
_KNEE = 0.90
_BISECTIONS = 28  # of chroma: far below an 8-bit step

# A channel this far below 0 or above 1 counts as fully out of the screen's reach.
_FULLY_OUT = 0.06

# A colour out of reach is lowered toward the lightness of its hue's purest, but never by more than
# this in Oklab lightness: a blue far brighter than the screen's, like a brightened white under
# ultraviolet, should pale as it does to the eye, not darken.
_MOST_LOWERED = 0.22


def oklab_of_linear(linear: Array) -> Array:
    """Return Oklab of linear sRGB, shape (..., 3); colours outside the screen's gamut too."""
    lab: Array = np.cbrt(np.asarray(linear, float) @ _CONES.T) @ _LAB.T
    return lab


def linear_of_oklab(lab: Array) -> Array:
    """Return linear sRGB of Oklab, shape (..., 3), unclipped."""
    linear: Array = (np.asarray(lab, float) @ np.linalg.inv(_LAB).T) ** 3 @ np.linalg.inv(_CONES).T
    return linear


def soften_highlights(xyz: Array) -> Array:
    """Return colours with luminance above 0.9 bent toward 1, chromaticity kept, shape (..., 3).

    The curve leaves 0.9 with slope 1 and nears 1 for ever: y = 1 - 0.1² / (y + 0.1 - 0.9).
    """
    xyz = np.asarray(xyz, float)
    y = xyz[..., 1:2]
    room = 1 - _KNEE
    bent = np.where(y > _KNEE, 1 - room**2 / (np.maximum(y, _KNEE) - _KNEE + room), y)
    softened: Array = xyz * np.divide(bent, y, out=np.ones_like(y), where=y > 0)
    return softened


def screen_linear(xyz: Array, *, white: Array, exposure: float = 1.0) -> Array:
    """Return linear sRGB a screen can show, every value 0 to 1.

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
        Colours with the light's white at Y = 1, unclipped.
    white : ndarray, shape (3,)
        That white; it becomes the screen's.
    exposure : float
        Brightness is multiplied by it first.
    """
    seen = exposure * adapt_white(xyz, white)
    linear = linear_srgb_of_xyz(seen)
    # A colour the screen can show is left alone; the farther out, the more of what follows.
    out = np.clip(np.maximum(linear.max(axis=-1) - 1, -linear.min(axis=-1)) / _FULLY_OUT, 0.0, 1.0)
    seen = seen + out[..., None] * (soften_highlights(seen) - seen)
    lab = oklab_of_linear(linear_srgb_of_xyz(seen)).reshape(-1, 3)
    lab = _toward_purest(lab, out.reshape(-1))
    # Then chroma is taken back, at that lightness and hue, as far as the screen demands.
    low, high = np.zeros(len(lab)), np.ones(len(lab))
    inside = _inside(linear_of_oklab(lab))
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        fits = _inside(linear_of_oklab(_with_chroma(lab, middle)))
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    shown = linear_of_oklab(_with_chroma(lab, np.where(inside, 1.0, low)))
    return np.clip(shown, 0.0, 1.0).reshape(seen.shape)


def _with_chroma(lab: Array, part: Array) -> Array:
    return lab * np.stack([np.ones_like(part), part, part], axis=-1)


def _toward_purest(lab: Array, out: Array) -> Array:
    """Return colours purer than the screen can show lowered toward the lightness of its purest.

    Kept at their own lightness they would turn to pastel, the opposite of what they look like.
    """
    lightness = np.minimum(lab[:, 0], 1.0)
    cusp_lightness, cusp_chroma = _cusp(lab)
    # A tint is no pure colour, even where it is just beyond the screen's white.
    purity = np.clip(np.hypot(lab[:, 1], lab[:, 2]) / cusp_chroma / 0.5 - 1, 0.0, 1.0)
    excess = np.maximum(lightness - cusp_lightness, 0.0)
    lowered = lightness - out * purity * np.minimum(excess, _MOST_LOWERED)
    return np.column_stack([lowered, lab[:, 1:]])


def screen_colours(xyz: Array, *, white: Array, exposure: float = 1.0) -> NDArray[np.uint8]:
    """Return 8-bit sRGB of colours, as `screen_linear` fits them to the screen.

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
        Colours with the light's white at Y = 1, unclipped.
    white : ndarray, shape (3,)
        That white, XYZ.
    exposure : float
        Brightness is multiplied by it first; a ratio.

    Returns
    -------
    ndarray of uint8, shape (..., 3)
    """
    return encode_srgb(screen_linear(xyz, white=white, exposure=exposure))


def _inside(linear: Array) -> NDArray[np.bool_]:
    return np.asarray(((linear > -1e-4) & (linear < 1 + 1e-4)).all(axis=-1))


def _cusp(lab: Array) -> tuple[Array, Array]:
    """Return lightness and chroma of the purest screen colour of each colour's hue, shape (N,)."""
    # The purest colours of the screen are the edges of its cube between the six corner hues.
    corners = np.array([[1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 1, 1], [0, 0, 1], [1, 0, 1], [1, 0, 0]], float)
    steps = np.linspace(0, 1, 33)[:-1, None]
    edge = np.concatenate([a + steps * (b - a) for a, b in itertools.pairwise(corners)])
    known = oklab_of_linear(edge**2.2)
    hue = np.arctan2(known[:, 2], known[:, 1])
    order = np.argsort(hue)
    sought = np.arctan2(lab[:, 2], lab[:, 1])
    lightness = np.interp(sought, hue[order], known[order, 0], period=2 * np.pi)
    chroma = np.interp(sought, hue[order], np.hypot(known[order, 1], known[order, 2]), period=2 * np.pi)
    return lightness, chroma
