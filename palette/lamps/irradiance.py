"""How much a set of lamps puts on the wall: inverse square, cosine, beam."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour import Array
from palette.lamps.lamp import Lamp, lobe_exponent, split_tube

__all__ = ["IrradianceMap", "irradiance_facing", "irradiance_on_wall", "map_irradiance"]

CELLS = 120
"""Cells along the longer side: 20 mm on a 2.4 m panel, finer than any beam edge."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class IrradianceMap:
    """Irradiance over a panel's face.

    Parameters
    ----------
    values : ndarray, shape (H, W)
        W/m², row 0 at the top.
    mm_per_px, mm_per_px_y : float
        Width and height of a cell, mm; the middle of cell (0, 0) lies half of each from the
        panel's top left corner.
    """

    values: Array
    mm_per_px: float
    mm_per_px_y: float

    @property
    def least(self) -> float:
        """The least irradiance, W/m²."""
        return float(self.values.min())

    @property
    def most(self) -> float:
        """The greatest irradiance, W/m²."""
        return float(self.values.max())

    @property
    def mean(self) -> float:
        """The mean irradiance, W/m²."""
        return float(self.values.mean())

    @property
    def evenness(self) -> float:
        """Least over mean, 0 to 1: the uniformity of lighting practice (EN 12464-1, U0)."""
        return self.least / self.mean if self.mean > 0 else 0.0

    def relative(self) -> Array:
        """Return the map over its mean, shape (H, W): what a blacklight picture is multiplied by."""
        found: Array = self.values / self.mean
        return found


def irradiance_on_wall(lamps: Sequence[Lamp], points: Array) -> Array:
    """Return what lamps put on the wall.

    Each part of each lamp gives I cosᵐθ cosφ / d²: θ from the lamp's axis, φ from the wall's
    normal, d the distance. Light thrown back from the room is left out.

    Parameters
    ----------
    lamps : sequence of Lamp
    points : ndarray, shape (..., 2)
        x and y, mm, from the panel's top left corner.

    Returns
    -------
    ndarray, shape (...)
        W/m².

    Examples
    --------
    >>> lamp = palette.Lamp(
    ...     id="flood", x_mm=600, y_mm=900, out_mm=1000, aim_x_mm=600, aim_y_mm=900,
    ...     beam_deg=90, intensity_w_sr=2,
    ... )
    >>> float(palette.irradiance_on_wall([lamp], np.array([600.0, 900.0])))  # 2 W/sr over (1 m)²
    2.0
    """
    x, y = points[..., 0], points[..., 1]
    return _sum_parts(lamps, np.stack([x, y, np.zeros_like(x)], axis=-1), tilted=True)


def irradiance_facing(lamps: Sequence[Lamp], points: Array) -> Array:
    """Return W/m² at points (..., 3), mm, as if every lamp were looked at squarely.

    The worst case for an eye: no cosine is taken off, and all lamps count at once.
    """
    return _sum_parts(lamps, np.asarray(points, float), tilted=False)


def map_irradiance(lamps: Sequence[Lamp], width_mm: float, height_mm: float) -> IrradianceMap:
    """Return the irradiance over a face of this size.

    Parameters
    ----------
    lamps : sequence of Lamp
    width_mm, height_mm : float
        Of the face, mm.

    Returns
    -------
    IrradianceMap
    """
    longer = max(width_mm, height_mm)
    columns, rows = (max(1, round(CELLS * side / longer)) for side in (width_mm, height_mm))
    dx, dy = width_mm / columns, height_mm / rows
    x, y = np.meshgrid((np.arange(columns) + 0.5) * dx, (np.arange(rows) + 0.5) * dy)
    return IrradianceMap(
        values=irradiance_on_wall(lamps, np.stack([x, y], axis=-1)), mm_per_px=dx, mm_per_px_y=dy
    )


def _sum_parts(lamps: Sequence[Lamp], points: Array, *, tilted: bool) -> Array:
    total: Array = np.zeros(points.shape[:-1])
    for lamp in lamps:
        places, axis, intensities = split_tube(lamp)
        exponent = lobe_exponent(lamp.beam_deg)
        for place, intensity in zip(places, intensities, strict=True):
            ray = points - place
            squared = np.sum(ray**2, axis=-1)
            distance = np.sqrt(squared)
            along = np.clip(ray @ axis / distance, 0.0, 1.0)
            # mm² to m²: intensity is per steradian, irradiance per square metre.
            share = intensity * along**exponent / squared * 1e6
            total += share * (place[2] / distance) if tilted else share
    return total
