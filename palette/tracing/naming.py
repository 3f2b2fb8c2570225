"""Which paint each section is, judged over the whole panel at once.

A camera's exposure and white balance are unknown, but they are the same for every section. So
three gains, one a channel, are sought together with the names: those under which the colours of
the list, seen in the light that falls on each section and clipped as a camera clips, fit best.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array, lab_of_xyz
from palette.tracing.evening import SectionColours
from palette.tracing.pixels import XYZ_OF_LINEAR

__all__ = ["Naming", "name_sections"]

_VEIL = 0.02
"""Stray light in lens and room, as a part of white: added to both sides, so that a channel near
zero, which is mostly noise, decides nothing."""

_LIGHTNESS_WEIGHT = 0.45
"""Of a step in L* against one in chroma: the light on a section is known less well than its hue."""

_FAR = 45.0
"""Difference at which a section stops pulling at the gains: it may be none of the paints."""

_NONE = 34.0
"""Difference above which a section is none of the paints."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Naming:
    """Names for K sections from P paints.

    `paint` int, shape (K,): row in the list, -1 for none of these; `confidence` shape (K,), 0 to
    1; `distance` shape (K, P); `gains` shape (3,): camera value per list value in light 1.
    """

    paint: NDArray[np.int64]
    confidence: Array
    distance: Array
    gains: Array


def name_sections(
    colours: SectionColours,
    listed: Array,
    *,
    white: Array | None = None,
) -> Naming:
    """Return the names that fit best.

    Parameters
    ----------
    colours : SectionColours
    listed : ndarray, shape (P, 3)
        Linear sRGB of the paints, not clipped where that is known.
    white : ndarray, shape (3,), or None
        Camera values, in light 1, of something white with reflectance about 0.85.
    """
    count = len(colours.seen)
    if count == 0:
        return Naming(
            paint=np.zeros(0, np.int64), confidence=np.zeros(0), distance=np.zeros((0, len(listed))),
            gains=np.ones(3),
        )  # fmt: skip
    centre, spread = _expected_gains(colours, listed, white)
    best: tuple[float, Array] | None = None
    exposures = np.arange(-2.2, 2.21, 0.1) if white is None else np.arange(-0.4, 0.41, 0.1)
    tints = np.array([-0.24, 0.0, 0.24]) if white is None else np.array([-0.08, 0.0, 0.08])
    trials = np.array([centre + e + np.array([r, 0.0, b]) for e in exposures for r in tints for b in tints])
    costs = _costs(colours, listed, trials, centre, spread)
    starts = np.argsort(costs, kind="stable")[:6]
    for start in starts:
        cost, gains = _refine(colours, listed, trials[start], float(costs[start]), centre, spread)
        if best is None or cost < best[0] - 1e-9:
            best = (cost, gains)
    assert best is not None
    gains = best[1]
    distance = _distance(colours, listed, gains[None])[0]
    return _decide(distance, np.exp(gains))


def _expected_gains(colours: SectionColours, listed: Array, white: Array | None) -> tuple[Array, Array]:
    """Return the logarithm of the gains one would guess, and how far they may be off."""
    if white is not None:
        return np.log(np.maximum(white, 1e-3) / 0.85), np.array([0.12, 0.2, 0.12])
    seen = np.median(colours.seen.max(axis=1) / colours.light)
    typical = np.median(np.clip(listed, 0, None).max(axis=1))
    return np.full(3, np.log(max(seen, 1e-4) / max(typical, 1e-4))), np.array([0.2, 1.2, 0.2])


def _distance(colours: SectionColours, listed: Array, gains: Array) -> Array:
    """Return differences for T trials of log gains, shape (T, K, P)."""
    light = colours.light[None, :, None, None]
    gain = np.exp(gains)[:, None, None, :]
    shown = np.clip(gain * listed[None, None] * light, 0.0, 1.0)
    seen = colours.seen[None, :, None, :]
    # A list written as hex stops at 255: there the paint may be brighter than it says.
    open_ended = (listed >= 0.999) & (listed <= 1.001)
    shown = np.where(open_ended[None, None] & (seen > shown), np.minimum(seen, 2.2 * shown), shown)
    # Beyond the camera's shoulder two values are one.
    both_high = (shown > 0.9) & (seen > 0.9)
    shown = np.where(both_high, seen, shown)
    scale = np.exp(gains[:, 1])[:, None, None, None] * light
    # The balance is taken out of both sides, so that the difference is one between paints.
    balance = gain / np.exp(gains[:, 1])[:, None, None, None]
    shown_lab = lab_of_xyz((shown / scale / balance + _VEIL) @ XYZ_OF_LINEAR.T)
    seen_lab = lab_of_xyz((np.broadcast_to(seen, shown.shape) / scale / balance + _VEIL) @ XYZ_OF_LINEAR.T)
    step = shown_lab - seen_lab
    step[..., 0] *= _LIGHTNESS_WEIGHT
    # Chroma is compressed for strong colours, as in every modern difference formula (CIE94's
    # S_C = 1 + 0.045 C): their chroma varies most with camera and film thickness.
    chroma = np.hypot(shown_lab[..., 1], shown_lab[..., 2])
    other = np.hypot(seen_lab[..., 1], seen_lab[..., 2])
    along = other - chroma
    across = np.sqrt(np.maximum(step[..., 1] ** 2 + step[..., 2] ** 2 - along**2, 0.0))
    mean = np.sqrt(chroma * other)
    found: Array = np.sqrt(
        step[..., 0] ** 2 + (along / (1 + 0.02 * mean)) ** 2 + (across / (1 + 0.006 * mean)) ** 2
    )
    return found


def _costs(colours: SectionColours, listed: Array, trials: Array, centre: Array, spread: Array) -> Array:
    found = np.concatenate(
        [_distance(colours, listed, part) for part in np.array_split(trials, max(1, len(trials) // 40))]
    )
    nearest = np.minimum(found.min(axis=2), _FAR)
    fit = (nearest**2).mean(axis=1) / 60.0
    # Exposure in the green channel; red and blue as the balance against it.
    green = (trials[:, 1] - centre[1]) / spread[1]
    red = (trials[:, 0] - trials[:, 1] - (centre[0] - centre[1])) / spread[0]
    blue = (trials[:, 2] - trials[:, 1] - (centre[2] - centre[1])) / spread[2]
    total: Array = fit + 0.25 * (green**2 + red**2 + blue**2)
    return total


def _refine(
    colours: SectionColours, listed: Array, start: Array, cost: float, centre: Array, spread: Array
) -> tuple[float, Array]:
    """Return the least cost near a start and its log gains, by a shrinking pattern search."""
    gains, step = start, 0.06
    moves = np.array([[1, 1, 1], [-1, -1, -1], [1, 0, 0], [-1, 0, 0], [0, 0, 1], [0, 0, -1]], float)
    while step > 0.008:
        trials = gains + step * moves
        costs = _costs(colours, listed, trials, centre, spread)
        k = int(np.argmin(costs))
        if costs[k] < cost - 1e-9:
            cost, gains = float(costs[k]), trials[k]
        else:
            step /= 2
    return cost, gains


def _decide(distance: Array, gains: Array) -> Naming:
    order = np.argsort(distance, axis=1, kind="stable")
    rows = np.arange(len(distance))
    nearest = distance[rows, order[:, 0]]
    alone = distance.shape[1] == 1
    second = np.full(len(nearest), _NONE) if alone else distance[rows, order[:, 1]]
    margin = np.clip((second - nearest) / np.maximum(second + nearest, 6.0), 0.0, 1.0)
    fit = np.clip(1.2 - nearest / _NONE, 0.0, 1.0)
    confidence = np.clip(fit * (0.35 + 1.1 * margin), 0.0, 1.0)
    paint = np.where(nearest > _NONE, -1, order[:, 0])
    confidence = np.where(paint < 0, np.clip(nearest / _NONE - 0.5, 0.0, 0.9), confidence)
    return Naming(paint=paint, confidence=confidence, distance=distance, gains=gains)
