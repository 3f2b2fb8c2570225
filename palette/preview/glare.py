"""Glare: light that an eye scatters from bright places over dark ones."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.preview.blur import blur_plane, resize_plane

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Glare", "add_glare", "glare_rings"]

# Rings of the scatter function, degrees from the source; each is stood in for by a Gaussian whose
# median radius is the ring's geometric middle.
_RINGS_DEG = ((0.1, 0.3), (0.3, 1.0), (1.0, 3.0), (3.0, 10.0))
_MEDIAN = 1.1774  # of a round Gaussian, in units of its sigma


@dataclass(frozen=True, slots=True, kw_only=True)
class Glare:
    """How glare is drawn.

    Parameters
    ----------
    distance_mm : float
        From the eye to the wall.
    age : float
        Of the eye, years; an older lens scatters more.
    strength : float
        Share of the eye's glare that is drawn, 0 to 1. Whoever looks at the picture adds a little
        of their own, since a screen is weaker than a lit hall; the default is set by eye.
    """

    distance_mm: float = 3000.0
    age: float = 30.0
    strength: float = 0.9


def glare_rings(glare: Glare) -> list[tuple[float, float]]:
    """Return the sigma in mm on the wall and the share of light of each ring.

    Source: J. J. Vos, T. J. T. P. van den Berg, CIE 135/1 (1999), "Disability glare", the general
    equation without its pigment terms: L / E = 10/θ³ + 5/θ² (1 + (age/62.5)⁴), θ in degrees
    (from memory).
    """
    aged = 1 + (glare.age / 62.5) ** 4
    solid = 2 * np.pi * (np.pi / 180) ** 2
    rings = []
    for near, far in _RINGS_DEG:
        share = solid * (10 * (1 / near - 1 / far) + 5 * aged * np.log(far / near))
        radius = np.tan(np.radians(np.sqrt(near * far))) * glare.distance_mm
        rings.append((float(radius / _MEDIAN), float(share * glare.strength)))
    return rings


def add_glare(linear: NDArray[np.float32], mm_per_px: float, glare: Glare) -> NDArray[np.float32]:
    """Return a picture, linear, shape (H, W, 3), with its light scattered; the sum of light stays.

    Rings are blurred on a picture just coarse enough for the narrowest, the wider ones on a
    coarser one still: quick, and not seen.
    """
    height, width = linear.shape[:2]
    rings = [(sigma / mm_per_px, share) for sigma, share in glare_rings(glare)]
    coarse = max(1, int(rings[0][0] / 2.5))
    base = (max(1, width // coarse), max(1, height // coarse))
    found = linear * np.float32(1 - sum(share for _, share in rings))
    for channel in range(3):
        plane = resize_plane(np.ascontiguousarray(linear[..., channel]), base)
        veil = np.zeros_like(plane)
        for sigma, share in rings:
            veil += np.float32(share) * blur_plane(plane, sigma / coarse)
        found[..., channel] += resize_plane(veil, (width, height))
    return found
