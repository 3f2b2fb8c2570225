"""Blurring and resizing of one plane of light, quickly."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["blur_plane", "resize_plane"]


def blur_plane(plane: NDArray[np.float32], sigma: float, *, edge: str = "constant") -> NDArray[np.float32]:
    """Return a plane, shape (H, W), blurred by a Gaussian of `sigma` pixels.

    A wide one is blurred on a picture just coarse enough for it: quick, and not seen. `edge`
    is scipy's word for what lies beyond the picture.
    """
    from scipy.ndimage import gaussian_filter

    height, width = plane.shape
    coarser = max(1, int(sigma / 2.5))
    small = resize_plane(plane, (max(1, width // coarser), max(1, height // coarser)))
    blurred = gaussian_filter(small, sigma / coarser, mode=edge, truncate=3.0)
    return resize_plane(blurred, (width, height))


def resize_plane(plane: NDArray[np.float32], size: tuple[int, int]) -> NDArray[np.float32]:
    """Return a plane stretched to (width, height): averaged down, or joined by straight lines."""
    from PIL import Image

    picture = Image.fromarray(plane)
    if size == picture.size:
        return plane
    smaller = size[0] < picture.size[0]
    way = Image.Resampling.BOX if smaller else Image.Resampling.BILINEAR
    return np.asarray(picture.resize(size, way), np.float32)
