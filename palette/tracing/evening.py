"""How much light falls where, and the colours of sections as they would be in even light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.tracing.pixels import LINEAR_OF_CODE

__all__ = ["Samples", "SectionColours", "even_out", "sample_sections", "section_colours"]

_BLOCK = 8
"""Pixels on a side of the blocks the light is measured on."""

_CLIPPED = 0.93
"""Linear: above it a camera's highlight shoulder no longer tells light from more light."""

_FAINT = 0.012
"""Linear: below it noise and stray light drown the paint."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Samples:
    """Blocks of one surface each.

    `surface` int, shape (N,): a section's number, or 0 for trim; `place` shape (N, 2): x and y
    from -1 to 1 over the panel; `linear` shape (N, 3): median linear sRGB.
    """

    surface: NDArray[np.int32]
    place: Array
    linear: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SectionColours:
    """Colours of K sections.

    Parameters
    ----------
    seen : ndarray, shape (K, 3)
        Linear sRGB as the camera gave it, the shadowed parts left out.
    light : ndarray, shape (K,)
        How much light falls on each, its geometric mean over the sections 1.
    clipped : ndarray of bool, shape (K,)
        A channel is burnt out over most of the section.
    unevenness : float
        Brightest to darkest place of the panel's light, hard shadows left out.
    trim : ndarray, shape (3,), or None
        Linear sRGB of the trim in light 1.
    """

    seen: Array
    light: Array
    clipped: NDArray[np.bool_]
    unevenness: float
    trim: Array | None


def sample_sections(
    photo: NDArray[np.uint8], labels: NDArray[np.int32], trim: NDArray[np.bool_]
) -> Samples:
    """Return samples of the sections and the trim of a squared photo."""
    import cv2

    height, width = labels.shape
    rows, columns = height // _BLOCK, width // _BLOCK
    crop = np.s_[: rows * _BLOCK, : columns * _BLOCK]
    surface = np.where(trim, np.int32(-1), labels)[crop]
    # Keep off the borders, where blur mixes two colours.
    rim = cv2.morphologyEx(surface.astype(np.float32), cv2.MORPH_GRADIENT, np.ones((5, 5), np.uint8)) > 0
    surface = np.where(rim, 0, surface)

    def blocks(image: NDArray[np.generic]) -> NDArray[np.generic]:
        shaped = image.reshape(rows, _BLOCK, columns, _BLOCK, -1)
        return shaped.transpose(0, 2, 1, 3, 4).reshape(rows * columns, _BLOCK * _BLOCK, -1)

    owner = blocks(surface)[..., 0]
    first = np.where(owner.max(axis=1) > 0, owner.max(axis=1), owner.min(axis=1))
    share = (owner == first[:, None]).mean(axis=1)
    # Trim boards are narrow: a quarter of a block is enough of them.
    usable = (first != 0) & (share > np.where(first < 0, 0.25, 0.7))
    pixels = blocks(photo[crop])[usable].astype(np.float32)
    own = owner[usable] == first[usable][:, None]
    pixels[~own] = np.nan
    codes = np.nanmedian(pixels, axis=1)
    y, x = np.divmod(np.flatnonzero(usable), columns)
    place = np.stack([(x + 0.5) / columns * 2 - 1, (y + 0.5) / rows * 2 - 1], axis=1)
    linear = LINEAR_OF_CODE[np.round(codes).astype(int)].astype(float)
    return Samples(surface=np.maximum(first[usable], 0).astype(np.int32), place=place, linear=linear)


def _terms(place: Array) -> Array:
    """Return smooth fields over the panel, shape (N, 9): all powers to the third, no constant."""
    x, y = place[:, 0], place[:, 1]
    return np.stack([x, y, x * x, x * y, y * y, x**3, x * x * y, x * y * y, y**3], axis=1)


# Lamps and windows make slow fields: a steep cubic needs evidence.
_STIFFNESS = np.array([0.0, 0.0, 0.02, 0.02, 0.02, 0.08, 0.08, 0.08, 0.08])


def even_out(samples: Samples, groups: Sequence[int] | None = None) -> Array:
    """Return the logarithm of the light at each sample, shape (N,), its mean over sections 0.

    The light is a smooth field; each surface adds its own constant, so a section's own shading
    tells the slope and trim, being one surface everywhere, ties the panel together. `groups`
    says, for section numbers 1 to K, which are of one paint: they then share a constant.
    """
    channel = _readable_channel(samples)
    readable = channel >= 0
    value = samples.linear[np.arange(len(channel)), np.maximum(channel, 0)]
    logarithm = np.log(np.maximum(value, 1e-4))
    if np.count_nonzero(readable) < 12:
        return np.zeros(len(logarithm))
    surface = samples.surface.copy()
    if groups is not None:
        surface = np.concatenate([[0], np.asarray(groups, np.int32) + 1])[surface]
    # One paint read in two channels is two unknowns.
    _, own = np.unique(surface.astype(np.int64) * 4 + channel + 1, return_inverse=True)
    terms = _terms(samples.place)
    weight = readable.astype(float)
    field = np.zeros(terms.shape[1])
    count = int(own.max()) + 1
    for _ in range(12):
        total = np.maximum(np.bincount(own, weights=weight, minlength=count).astype(float), 1e-9)

        def less_mean(values: Array, total: Array = total, weight: Array = weight) -> Array:
            return values - (np.bincount(own, weights=weight * values, minlength=count) / total)[own]

        centred = np.stack([less_mean(column) for column in terms.T], axis=1)
        target = less_mean(logarithm)
        scale = weight.sum()
        left = centred.T @ (weight[:, None] * centred) / scale + np.diag(_STIFFNESS) * 0.05
        field = np.linalg.solve(left + 1e-9 * np.eye(len(left)), centred.T @ (weight * target) / scale)
        rest = np.abs(target - centred @ field)
        spread = max(0.02, 1.5 * float(np.median(rest[readable])))
        # Hard shadows, drips and knots are no part of the field.
        weight = np.where(readable, 1.0 / (1.0 + (rest / spread) ** 2), 0.0)
    light: Array = terms @ field
    sections = samples.surface > 0
    middle = float(light[sections].mean() if sections.any() else light.mean())
    even: Array = light - middle
    return even


def _readable_channel(samples: Samples) -> NDArray[np.int64]:
    """Return for each sample the channel its light is read in, -1 where there is none.

    A surface is read in the brightest channel that is burnt out nowhere on it, so that all its
    samples are comparable.
    """
    channel = np.full(len(samples.surface), -1)
    for surface in np.unique(samples.surface):
        own = samples.surface == surface
        high = np.percentile(samples.linear[own], 95, axis=0)
        low = np.percentile(samples.linear[own], 25, axis=0)
        fit = np.where((high < _CLIPPED) & (low > _FAINT), high, -1.0)
        if fit.max() > 0:
            channel[own] = int(np.argmax(fit))
    return channel


def section_colours(samples: Samples, log_light: Array, count: int) -> SectionColours:
    """Return the colours of sections 1 to `count`."""
    seen = np.zeros((count, 3))
    light = np.ones(count)
    clipped = np.zeros(count, bool)
    strength = np.exp(log_light)
    for number in range(1, count + 1):
        own = samples.surface == number
        if not own.any():
            continue
        linear, here = samples.linear[own], strength[own]
        even = linear.sum(axis=1) / here
        # What lies in a hard shadow is left out, unless all of it does.
        lit = even > 0.62 * np.percentile(even, 75)
        seen[number - 1] = np.median(linear[lit], axis=0)
        light[number - 1] = np.median(here[lit])
        clipped[number - 1] = bool((seen[number - 1] > _CLIPPED).any())
    board = samples.surface == 0
    trim = np.median(samples.linear[board] / strength[board][:, None], axis=0) if board.sum() > 20 else None
    spread = np.percentile(strength, [1, 99]) if strength.size else np.ones(2)
    return SectionColours(
        seen=seen,
        light=light,
        clipped=clipped,
        unevenness=float(spread[1] / spread[0]),
        trim=trim,
    )
