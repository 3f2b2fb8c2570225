"""Relief: boards stand out of their joints, and light shows it along their edges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.preview.blur import blur_plane

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Relief", "relief_field"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """How the edges of boards are drawn; the amounts are set by eye.

    Parameters
    ----------
    edge_mm : float
        How far in from its outline a board is rounded; beyond three times that its colour is exact.
    slant : float
        How much an edge that faces up is brighter, and one that faces down darker: light from above.
    hollow : float
        How much of the light an edge loses to the joint beside it.
    """

    edge_mm: float = 9.0
    slant: float = 0.9
    hollow: float = 0.5


def relief_field(relief: Relief, boards: NDArray[np.float32], mm_per_px: float) -> NDArray[np.float32]:
    """Return factors, 1 inside boards, to multiply a picture with.

    Parameters
    ----------
    boards : ndarray, shape (H, W)
        1 where a board is, 0 in joints and openings.
    """
    sigma = max(relief.edge_mm / mm_per_px, 0.6)
    # The wall goes on beyond the picture.
    height = blur_plane(boards, sigma, edge="nearest")
    slope = np.gradient(height, axis=0).astype(np.float32) * np.float32(sigma)
    factors = 1 + np.float32(relief.slant) * slope - np.float32(relief.hollow) * (1 - height)
    return np.where(boards > 0, np.maximum(factors, 0), 1).astype(np.float32)
