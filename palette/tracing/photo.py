"""A photo in memory, and a panel cut out of it and squared."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array

__all__ = ["Photo", "SquaredPhoto"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Photo:
    """A photo at working size.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (H, W, 3)
        sRGB, upright.
    width_px, height_px : int
        Of the upright photo as it was taken; corners and outlines are given in its pixels, whose
        origin is the picture's top left corner and whose centres lie at .5.
    source : str
        The file's name, for messages.
    """

    pixels: NDArray[np.uint8]
    width_px: int
    height_px: int
    source: str

    @property
    def shrink(self) -> float:
        """Working pixels per pixel of the photo, 1 or less."""
        return float(self.pixels.shape[1] / self.width_px)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SquaredPhoto:
    """A panel as seen square on.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (H, W, 3)
        sRGB; the panel fills it.
    width_mm, height_mm : float
        The panel's size.
    size_known : bool
        False where the size was not given and only the proportions are meant.
    corners : ndarray, shape (4, 2)
        From top left clockwise, in pixels of the upright photo.
    to_photo : ndarray, shape (3, 3)
        Homography from mm on the panel to pixels of the upright photo.
    """

    pixels: NDArray[np.uint8]
    width_mm: float
    height_mm: float
    size_known: bool
    corners: Array
    to_photo: Array

    @property
    def mm_per_px(self) -> Array:
        """Millimetres a pixel of `pixels`, across and down, shape (2,)."""
        height, width = self.pixels.shape[:2]
        return np.array([self.width_mm / width, self.height_mm / height])
