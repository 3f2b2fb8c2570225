"""Looser versions of a rule, least change first."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from palette.demands import Rule

__all__ = ["Ladder", "falling_below", "rising_above"]

Ladder = Sequence[tuple[str, Rule]]
"""The change in words, and the rule after it; whatever keeps a rung keeps the rungs after it."""


def falling_below(limit: float, seen: NDArray[np.float64]) -> list[float]:
    """Return thresholds below a limit at which something seen just passes, greatest first.

    Rounded down to tenths: a person writes 17.2, not 17.248.
    """
    steps = {math.floor(value * 10) / 10 for value in np.ravel(seen).tolist() if value < limit}
    return sorted((step for step in steps if step > 0), reverse=True)


def rising_above(limit: float, seen: NDArray[np.float64]) -> list[float]:
    """Return thresholds above a limit at which something seen just passes, least first."""
    steps = {math.ceil(value * 10) / 10 for value in np.ravel(seen).tolist() if value > limit}
    return sorted(steps)
