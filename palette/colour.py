"""Colour arithmetic: XYZ, CIELAB, sRGB and how different two colours look.

XYZ is CIE 1931 2°, on the scale where the stated white has Y = 1. Single colours go through
colormath; whole tables and pictures go through the same equations in numpy, because colormath
converts one colour object at a time. The tests hold the two, and colour-science, together.
"""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError

__all__ = [
    "D65_WHITE",
    "Array",
    "adapt_white",
    "chroma_and_hue",
    "difference",
    "encode_srgb",
    "hex_of_xyz",
    "hue_distance",
    "lab_of_xyz",
    "linear_srgb_of_xyz",
    "xyz_of_lab",
    "xyz_of_linear_srgb",
    "xyz_of_swatch",
]

Array = NDArray[np.float64]

D65_WHITE: Array = np.array([0.95047, 1.0, 1.08883])
"""D65, 2°, as ASTM E308 prints it; the white colormath uses for sRGB."""

# Linear sRGB from XYZ: IEC 61966-2-1:1999 with 7 digits, as in the ICC's interpretation sheet.
_SRGB_OF_XYZ: Array = np.array(
    [
        [3.2406255, -1.5372080, -0.4986286],
        [-0.9689307, 1.8757561, 0.0415175],
        [0.0557101, -0.2040211, 1.0569959],
    ]
)

# CIE 15:2004, 8.2.1: the exact rationals behind 0.008856 and 903.3.
_EPSILON = (6 / 29) ** 3
_KAPPA = (29 / 3) ** 3


def lab_of_xyz(xyz: Array, white: Array = D65_WHITE) -> Array:
    """Return CIELAB of colours seen against a white.

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
        Tristimulus values on the same scale as `white`; values beyond the white are kept.
    white : ndarray, shape (3,) or broadcastable
        The adapted white.

    Returns
    -------
    ndarray, shape (..., 3)
        L*, a*, b*. Source: CIE 15:2004, equations 8.3 to 8.8.
    """
    ratio = np.asarray(xyz, float) / np.asarray(white, float)
    f = np.where(ratio > _EPSILON, np.cbrt(ratio), (_KAPPA * ratio + 16) / 116)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    )


def xyz_of_lab(lab: Array, white: Array = D65_WHITE) -> Array:
    """Return XYZ of CIELAB colours, shape (..., 3): the inverse of `lab_of_xyz`."""
    lab = np.asarray(lab, float)
    fy = (lab[..., 0] + 16) / 116
    f = np.stack([fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200], axis=-1)
    ratio: Array = np.where(f > 6 / 29, f**3, (116 * f - 16) / _KAPPA)
    xyz: Array = ratio * np.asarray(white, float)
    return xyz


def linear_srgb_of_xyz(xyz: Array) -> Array:
    """Return linear sRGB, shape (..., 3), not clipped; XYZ with D65 white at Y = 1."""
    linear: Array = np.asarray(xyz, float) @ _SRGB_OF_XYZ.T
    return linear


def xyz_of_linear_srgb(linear: Array) -> Array:
    """Return XYZ of linear sRGB, shape (..., 3): the inverse of `linear_srgb_of_xyz`."""
    xyz: Array = np.asarray(linear, float) @ np.linalg.inv(_SRGB_OF_XYZ).T
    return xyz


def adapt_white(xyz: Array, white: Array, to: Array = D65_WHITE) -> Array:
    """Return the colours that look, against the white `to`, as `xyz` do against `white`.

    Bradford's matrix, as colormath has it; shapes (..., 3).
    """
    from colormath.color_constants import ADAPTATION_MATRICES

    cone = np.asarray(ADAPTATION_MATRICES["bradford"], float)
    gain = (cone @ np.asarray(to, float)) / (cone @ np.asarray(white, float))
    change: Array = np.linalg.inv(cone) @ np.diag(gain) @ cone
    adapted: Array = np.asarray(xyz, float) @ change.T
    return adapted


def encode_srgb(linear: Array) -> NDArray[np.uint8]:
    """Return 8-bit sRGB of linear values, clipped to the screen (IEC 61966-2-1)."""
    value = np.clip(linear, 0.0, 1.0)
    coded = np.where(value <= 0.0031308, 12.92 * value, 1.055 * value ** (1 / 2.4) - 0.055)
    return np.round(coded * 255).astype(np.uint8)


def hex_of_xyz(xyz: Array) -> str:
    """Return ``#rrggbb`` of one colour, clipped to what a screen can show."""
    red, green, blue = encode_srgb(linear_srgb_of_xyz(xyz))
    return f"#{red:02x}{green:02x}{blue:02x}"


def xyz_of_swatch(swatch: str | list[float], *, where: str) -> Array:
    """Return XYZ (white Y = 1) of a swatch: ``#rrggbb`` in sRGB, or ``[L, a, b]`` against D65.

    Raises
    ------
    InputError
        The text is not a hex colour, or a Lab value is out of range.
    """
    from colormath.color_conversions import convert_color
    from colormath.color_objects import LabColor, XYZColor, sRGBColor

    mend = 'write "#rrggbb" or [L, a, b] with L from 0 to 200 and a, b from -200 to 200'
    if isinstance(swatch, str):
        digits = swatch.strip().removeprefix("#")
        if len(digits) == 3:
            digits = "".join(2 * digit for digit in digits)
        if not re.fullmatch(r"[0-9a-fA-F]{6}", digits):
            raise InputError(where, f'"{swatch}" is not a colour', mend)
        colour = sRGBColor.new_from_rgb_hex(digits)
    else:
        numbers = isinstance(swatch, (list, tuple)) and all(
            isinstance(v, (int, float)) and not isinstance(v, bool) for v in swatch
        )
        if not numbers or len(swatch) != 3:
            raise InputError(where, f"{swatch!r} is not a colour", mend)
        lightness, a, b = (float(v) for v in swatch)
        # A fluorescent paint may be lighter than white, so L* is not stopped at 100.
        if not (0 <= lightness <= 200 and abs(a) <= 200 and abs(b) <= 200):
            raise InputError(where, f"the colour {list(swatch)} is out of range", mend)
        colour = LabColor(lightness, a, b, illuminant="d65")
    xyz = convert_color(colour, XYZColor, target_illuminant="d65")
    return np.array(xyz.get_value_tuple(), float)


def difference(lab_a: Array, lab_b: Array) -> Array:
    """Return how different two sets of colours look, CIEDE2000 (kL = kC = kH = 1).

    Parameters
    ----------
    lab_a, lab_b : ndarray, shape (..., 3)
        Both relative to the same white; shapes broadcast.

    Returns
    -------
    ndarray, shape (...)
        0 or more, no unit.

    Notes
    -----
    Established for object colours in daylight; under blacklight read it as an ordering.
    Source: Sharma, Wu & Dalal, Color Res. Appl. 30(1), 21-30 (2005); scikit-image computes it.
    """
    from skimage.color import deltaE_ciede2000

    a, b = np.broadcast_arrays(np.asarray(lab_a, float), np.asarray(lab_b, float))
    found: Array = np.asarray(deltaE_ciede2000(a, b), np.float64)
    return found


def chroma_and_hue(lab: Array) -> tuple[Array, Array]:
    """Return CIELAB chroma and hue angle in degrees, 0 to 360, each of shape (...)."""
    a, b = np.asarray(lab, float)[..., 1], np.asarray(lab, float)[..., 2]
    return np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360.0


def hue_distance(hue_a: Array, hue_b: Array) -> Array:
    """Return the angle between two hues in degrees, 0 to 180."""
    return np.abs((np.asarray(hue_a) - np.asarray(hue_b) + 180.0) % 360.0 - 180.0)
