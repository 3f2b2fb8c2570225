"""The dark between sections: thin gaps, however faint, and whole openings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.tracing.pixels import LINEAR_OF_CODE

__all__ = ["Darkness", "calm_noise", "find_dark", "lift_shades"]

Image = NDArray[np.uint8]

_DIP = 0.6
"""How far, in natural logarithm of light, a thin line falls below both its sides to count as a
gap: to 55 %. Painted grain stays above that over much of its length."""

_LINE = 0.3
"""The same for the mean along a short line."""

_FAINT_LINE = 0.17
"""The same where the line goes on from a plainer part."""

_LINE_PX = 5
"""Half that line's length."""

_BESIDE_PX = 4
"""How far beside the line its two sides are read: beyond the edge of a gap up to 6 px wide."""

_DARK = 2.2
"""What is at most this many times as bright as the gaps is gap or opening, not paint, unless it has
a strong colour of its own: then it is paint in a hard shadow down to `_DARKER` times."""

_DARKER = 1.15

_DIM = 1.3
"""Patches that are mostly this little above `_DARK` end where the threshold ends, not at an edge."""

_LIFTED = 232.0
"""8-bit code to which the brightest things of each part of the panel are lifted."""

_MOST_LIFT = 4.0
"""Beyond it noise would be lifted into patches of its own."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Darkness:
    """What is dark on a squared photo.

    Parameters
    ----------
    dark : ndarray of bool, shape (H, W)
        Gaps, openings and hand-painted lines.
    dim : ndarray of bool, shape (H, W)
        Little brighter than the gaps and grey like them.
    gap_level : float
        Linear brightness of the gaps, 0 to 1.
    fill : ndarray of float, shape (H, W)
        How much of what a place would be without a line is taken by the gaps' black: 1 in the
        middle of a broad gap, less in one the lens does not resolve, 0 in paint.
    """

    dark: NDArray[np.bool_]
    dim: NDArray[np.bool_]
    gap_level: float
    fill: NDArray[np.float32]


def calm_noise(photo: Image) -> Image:
    """Return a photo evenly bright and without noise, its edges sharp."""
    import cv2

    calm = cv2.bilateralFilter(lift_shades(photo), 5, 30, 2)
    return np.asarray(cv2.bilateralFilter(calm, 5, 22, 2), np.uint8)


def lift_shades(photo: Image) -> Image:
    """Return a photo whose dim parts are as bright as its bright ones, so that one step of colour
    means the same everywhere."""
    import cv2

    height, width = photo.shape[:2]
    tiles = 12
    top = photo.max(axis=2)
    level = np.empty((tiles, tiles), np.float32)
    for row in range(tiles):
        for column in range(tiles):
            tile = top[
                row * height // tiles : (row + 1) * height // tiles,
                column * width // tiles : (column + 1) * width // tiles,
            ]
            level[row, column] = np.percentile(tile, 98)
    # An opening is dark and stays dark: its neighbours say how bright the light is there.
    around = cv2.dilate(level, np.ones((5, 5), np.uint8))
    smooth = cv2.GaussianBlur(around, (0, 0), 1.6, borderType=cv2.BORDER_REPLICATE)
    gain = np.clip(_LIFTED / np.maximum(smooth, 1.0), 1.0, _MOST_LIFT).astype(np.float32)
    everywhere = np.asarray(cv2.resize(gain, (width, height), interpolation=cv2.INTER_LINEAR), np.float32)
    lifted: Image = np.minimum(photo * everywhere[..., None], 255.0).astype(np.uint8)
    return lifted


def _line_depth(lifted: Image) -> NDArray[np.float32]:
    """Return how far each pixel's surroundings, along the best of eight directions, lie below both
    sides: natural logarithm of light.

    Averaged along a line, a gap two pixels wide between dim paints stands out of noise that would
    hide each of its pixels.
    """
    import cv2

    top = cv2.GaussianBlur(lifted.max(axis=2), (0, 0), 0.6)
    logarithm = np.log(LINEAR_OF_CODE[top] + np.float32(0.006))
    rows, columns = logarithm.shape
    rim = _LINE_PX + _BESIDE_PX
    # Hundredths in 16 bits: the sums below move half as much memory as in floating point.
    hundredths = np.round(100.0 * (logarithm - logarithm.min())).astype(np.uint16)
    wide = np.asarray(cv2.copyMakeBorder(hundredths, rim, rim, rim, rim, cv2.BORDER_REFLECT), np.uint16)
    inner = (rows + 2 * _BESIDE_PX, columns + 2 * _BESIDE_PX)
    deepest = np.full(logarithm.shape, -32768, np.int16)
    level = np.empty(inner, np.uint16)
    for angle in np.arange(8) * np.pi / 8:
        along = np.array([np.cos(angle), np.sin(angle)])
        steps = np.round(np.arange(-_LINE_PX, _LINE_PX + 1)[:, None] * along).astype(int) + _LINE_PX
        level[:] = 0
        # A line is eleven pixels of the square round it: adding them is quicker than any filter.
        for x, y in steps:
            level += wide[y : y + inner[0], x : x + inner[1]]
        across, down = np.round(_BESIDE_PX * np.array([-along[1], along[0]])).astype(int)
        first, second = (
            level[_BESIDE_PX + k * down :, _BESIDE_PX + k * across :][:rows, :columns] for k in (1, -1)
        )
        own = level[_BESIDE_PX : _BESIDE_PX + rows, _BESIDE_PX : _BESIDE_PX + columns]
        # The sums stay below 2 to the 13th, so their differences fit into signed 16 bits.
        np.maximum(deepest, (np.minimum(first, second) - own).view(np.int16), out=deepest)
    return deepest.astype(np.float32) / np.float32(100 * (2 * _LINE_PX + 1))


def find_dark(calm: Image, lifted: Image) -> Darkness:
    """Return what is dark on a photo: `calm` without its noise, `lifted` with it, both evenly bright."""
    import cv2
    from skimage.filters import apply_hysteresis_threshold

    highest, lowest = calm.max(axis=2), calm.min(axis=2)
    light = LINEAR_OF_CODE[highest]
    height, width = light.shape
    size = max(height, width)
    logarithm = np.log(light + np.float32(0.004))
    breadth = max(9, int(0.02 * size) | 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (breadth, breadth))
    # Beyond the panel's edge there is nothing to compare with: mirror it, lest the rim count as a dip.
    wide = cv2.copyMakeBorder(logarithm, breadth, breadth, breadth, breadth, cv2.BORDER_REFLECT)
    closed = cv2.morphologyEx(wide, cv2.MORPH_CLOSE, disc)[breadth:-breadth, breadth:-breadth]
    line = _line_depth(lifted)
    thin = ((closed - logarithm) > _DIP) | apply_hysteresis_threshold(line, _FAINT_LINE, _LINE)
    if np.count_nonzero(thin) < 0.0005 * light.size:
        none = np.zeros_like(thin)
        fill = none.astype(np.float32)
        return Darkness(dark=thin | (light < 0.004), dim=none, gap_level=0.0, fill=fill)
    overall = float(np.percentile(light[thin], 20))
    # The gaps' own brightness from place to place. A line thinner than the lens resolves is
    # brighter than the paint in it, so the darkest places weigh most.
    weight = (thin / (light + 0.004) ** 2).astype(np.float32)
    blur = 0.12 * size
    small = (max(2, width // 8), max(2, height // 8))
    top = cv2.resize(weight * light, small, interpolation=cv2.INTER_AREA)
    bottom = cv2.resize(weight, small, interpolation=cv2.INTER_AREA)
    top = cv2.GaussianBlur(top, (0, 0), blur / 8, borderType=cv2.BORDER_REFLECT)
    bottom = cv2.GaussianBlur(bottom, (0, 0), blur / 8, borderType=cv2.BORDER_REFLECT)
    local = cv2.resize(top / np.maximum(bottom, 1e-12), (width, height), interpolation=cv2.INTER_LINEAR)
    local = np.clip(local, 0.6 * overall, 2.0 * overall)
    strong = (highest > 26) & (lowest < 0.45 * highest)
    dark = np.where(strong, light < _DARKER * local, light < _DARK * local)
    dim = ~strong & (light < _DIM * _DARK * local)
    without = np.exp(closed) - np.float32(0.004)
    # From the noisy photo: calming takes most from the faintest lines.
    sharp = LINEAR_OF_CODE[cv2.GaussianBlur(lifted.max(axis=2), (0, 0), 0.6)]
    fill = np.clip((without - sharp) / np.maximum(without - local, 1e-4), 0.0, 1.0)
    return Darkness(dark=thin | dark, dim=dim, gap_level=overall, fill=fill.astype(np.float32))
