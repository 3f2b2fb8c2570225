"""Hex swatches at the screen's limit: what the paint may look like beyond it."""

from __future__ import annotations

import numpy as np

from palette.appearance import Appearance
from palette.colour import Array, difference, lab_of_xyz, linear_srgb_of_xyz
from palette.tracing.pixels import XYZ_OF_LINEAR

__all__ = ["differences_beyond_screen"]

# Linear sRGB where a hex channel says 255 or 0. Fluorescent samples of an open bispectral data set
# reach 2.0 to 2.5 in red (an orange, a cerise) and 1.25 in green (a yellow) in daylight, and lie as
# far below zero in red as a saturated green does; these are cautious middles. Judgement.
_BEYOND_FULL = np.array([1.6, 1.2, 1.0])
_BELOW_ZERO = -0.04
_RED_OF_GREEN = -0.3
_EXACT = 6e-4  # two 8-bit steps at the dark end


def differences_beyond_screen(appearance: Appearance, light: str) -> Array:
    """Return CIEDE2000 between every two paints as they may be beyond the screen's limit, (P, P).

    Never less than the list's own figure, and just that where neither swatch is at the limit.
    """
    column = appearance.light_index(light)
    table = appearance.differences(light)
    linear = linear_srgb_of_xyz(appearance.xyz[:, column])
    from_limit = np.minimum(np.abs(linear), np.abs(linear - 1.0)).reshape(-1, 3)
    touched = np.asarray(from_limit.min(axis=1) < _EXACT)
    likely = lab_of_xyz(np.array([_likely(row) for row in linear]).reshape(-1, 3) @ XYZ_OF_LINEAR.T)
    beyond = difference(likely[:, None], likely[None, :])
    either = touched[:, None] | touched[None, :]
    return np.where(either, np.maximum(beyond, table), table)


def _likely(linear: Array) -> Array:
    found = linear.copy()
    top = float(linear.max())
    for channel in range(3):
        if abs(linear[channel]) < _EXACT:
            green = channel == 0 and linear[1] >= max(linear[0], linear[2])
            found[channel] = _RED_OF_GREEN * linear[1] if green else _BELOW_ZERO * top
        elif abs(linear[channel] - 1.0) < _EXACT:
            found[channel] = _BEYOND_FULL[channel]
    return found
