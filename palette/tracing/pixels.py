"""Pixels as numbers of light."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["LINEAR_OF_CODE", "XYZ_OF_LINEAR"]


def _decode() -> NDArray[np.float32]:
    value = np.arange(256) / 255
    linear = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return linear.astype(np.float32)


LINEAR_OF_CODE: NDArray[np.float32] = _decode()
"""Linear light of every 8-bit sRGB code, shape (256,): IEC 61966-2-1."""

XYZ_OF_LINEAR: NDArray[np.float64] = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""XYZ, white at Y = 1, of linear sRGB: IEC 61966-2-1:1999."""
