"""Painted grain: the small unevenness of a film laid by brush and roller."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Grain", "grain_field"]

# Standard deviation of brightness at each grain size, mm across; set by eye.
_SIZES_MM = ((2.5, 0.020), (9.0, 0.022), (60.0, 0.028))


@dataclass(frozen=True, slots=True, kw_only=True)
class Grain:
    """Brushwork of a given seed: the same seed gives the same picture.

    Parameters
    ----------
    seed : int
    amount : float
        A ratio: 1 is usual brushwork, 0 none.
    """

    seed: int = 0
    amount: float = 1.0


def grain_field(grain: Grain, height: int, width: int, mm_per_px: float) -> NDArray[np.float32]:
    """Return factors around 1, shape (height, width), to multiply a picture with.

    Brush strokes run across: each grain is three times as long as it is high.
    """
    from PIL import Image
    from scipy.ndimage import gaussian_filter

    rng = np.random.default_rng(grain.seed)
    field = np.ones((height, width), np.float32)
    for size_mm, spread in _SIZES_MM:
        # The noise is laid on cells of the wall, not on pixels, so that every picture width
        # shows the same brushwork.
        cell = size_mm / 2
        rows = max(2, round(height * mm_per_px / cell))
        columns = max(2, round(width * mm_per_px / cell / 1.5))
        noise = gaussian_filter(rng.standard_normal((rows, columns)).astype(np.float32), (0.8, 1.6))
        noise *= grain.amount * spread / max(float(noise.std()), 1e-9)
        full = Image.fromarray(noise).resize((width, height), Image.Resampling.BICUBIC)
        field *= 1 + np.asarray(full)
    return field
