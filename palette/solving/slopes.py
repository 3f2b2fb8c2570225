"""Slopes held by masks, for searches that change several sections at once."""

from __future__ import annotations

import numpy as np

from palette.solving.formula import Ints
from palette.solving.model import Model, Slope

__all__ = ["slope_masks"]


def slope_masks(model: Model, scheme: Ints) -> np.ndarray:
    """Return the paints each section may have while every slope keeps its present steps.

    The least value at or before each place is kept as a floor for its own sections and, with the
    tolerance, as a ceiling for those far enough after it; any choice within both keeps the slope.
    """
    masks = np.ones(model.shape, bool)
    for slope in model.must.slopes:
        masks[slope.sections] &= _steps(slope, scheme)
    return masks


def _steps(slope: Slope, scheme: Ints) -> np.ndarray:
    places, place = np.unique(slope.position, return_inverse=True)
    shade = slope.value[scheme[slope.sections]]
    least = np.full(len(places), np.inf)
    np.minimum.at(least, place, shade)
    running = np.minimum.accumulate(least)
    far = (places[:, None] - places[None, :] >= slope.apart) & (places[:, None] > places[None, :])
    before = far.sum(axis=1) - 1
    ceiling = np.where(before >= 0, running[np.maximum(before, 0)], np.inf)
    value = slope.value[None, :]
    # Written as the demand is, so that rounding cannot part them.
    below_ceiling = ~(value - ceiling[place][:, None] > slope.tolerance)
    allowed: np.ndarray = below_ceiling & (value >= running[place][:, None])
    return allowed
