"""What a paint lies on."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.reading import nearest
from palette.spectrum import EXCITATION_NM, SEEN, package_table, skewed_band

__all__ = ["GROUND_NAMES", "WHITE_GROUND", "ground_matrix"]

WHITE_GROUND = "white"
"""Opaque, matt, titanium white: what fluorescent paint is meant to lie on."""

GROUND_NAMES = ("white", "uv-white", "grey", "wood", "stained", "black")
"""What a paint may lie on, and joints and trim be made of; white stands for opaque wall white."""

# A white with brightener. Its main emission band is that of a brightened white plastic (RIT open
# bispectral data, 1999, sample CIBA12: peak 435 nm, width 56 nm, excited from 338 to 417 nm, half
# of what it received at 365 nm given back), which glows a purer blue than wall paint; the broad
# second band, which makes it the blue-white of a painted trim, is assumed. Bands: peak, width, share.
_BRIGHTENED_BANDS = ((435.0, 56.0, 0.85), (520.0, 90.0, 0.15))
_BRIGHTENED_EFFICIENCY, _BRIGHTENED_SKEW = 0.50, 1.6
_BRIGHTENER_TAKES = np.array(
    [(300, 0.2), (320, 0.5), (340, 0.9), (380, 1.0), (400, 0.9), (410, 0.6), (430, 0)]
)


@lru_cache(maxsize=8)
def ground_matrix(name: str) -> Array:
    """Return a ground's matrix as measured in air, shape (49, 49), by its name.

    Raises
    ------
    InputError
        No ground has that name.
    """
    if name not in GROUND_NAMES:
        raise InputError("ground", f'there is no ground "{name}"', nearest(name, GROUND_NAMES))
    table = package_table("grounds.csv")
    column = "white" if name == "uv-white" else name
    matrix = np.diag(np.interp(EXCITATION_NM, table["nm"], table[column]))
    if name == "uv-white":
        takes = np.interp(EXCITATION_NM, _BRIGHTENER_TAKES[:, 0], _BRIGHTENER_TAKES[:, 1])
        emission = np.zeros(len(EXCITATION_NM))
        for peak, width, share in _BRIGHTENED_BANDS:
            emission[SEEN] += share * skewed_band(peak, width, _BRIGHTENED_SKEW)
        glow = _BRIGHTENED_EFFICIENCY * emission[:, None] * takes[None, :]
        matrix = matrix + np.tril(glow, -1)
    matrix.setflags(write=False)
    return matrix
