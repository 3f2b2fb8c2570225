"""Even patches of colour on a squared photo, and the dark lines between them.

The steps: calm the noise without blurring edges; find what is dark, both thin dips and whole
areas; flood the rest from its flattest parts (OpenCV's marker watershed, forty times quicker here
than scikit-image's at the same result); join patches that touch without a dark line between them
and look like one surface, evenly lit or partly in shadow.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.tracing.pixels import LINEAR_OF_CODE

__all__ = ["Patches", "calm_noise", "find_patches", "join_patches", "measure_patches", "seen_difference"]

Image = NDArray[np.uint8]
Labels = NDArray[np.int32]

_DIP = 0.6
"""How far, in natural logarithm of light, a thin line falls below both its sides to count as a
gap: to 55 %. Painted grain stays above that over much of its length."""

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

_FLAT = 20
"""Steps of 8-bit sRGB over three pixels: less is the inside of a patch."""

_SAME = 0.055
"""RMS of encoded sRGB, 0 to 1: less is one surface whatever the light."""

_NECK = 0.35
"""Of the smaller patch's breadth: patches that touch along less are joined by a drip or a slip."""

_SCRAP = 0.0006
"""Of the panel: a smaller patch is a spot on another one."""

_SPOT = 0.01
"""Of the panel: a smaller patch inside a much broader one is a reflection or a stain."""

_SHADED = 0.13
"""The same, for two patches of which one is clearly darker: one surface, partly in shadow."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Patches:
    """Numbered patches and what is between them.

    Parameters
    ----------
    labels : ndarray of int32, shape (H, W)
        1 to N, 0 where it is dark.
    calm : ndarray of uint8, shape (H, W, 3)
        The photo without its noise, sRGB.
    dark : ndarray of bool, shape (H, W)
        Gaps, openings and hand-painted lines.
    gap_level : float
        Linear brightness of the gaps, 0 to 1.
    dim : ndarray of bool, shape (H, W)
        Little brighter than the gaps and grey like them.
    """

    labels: Labels
    calm: Image
    dark: NDArray[np.bool_]
    gap_level: float
    dim: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measures:
    """Figures of N patches; row k is patch k, row 0 the dark.

    `area` in px; `colour` the median sRGB, 8 bit; `reach` the radius of the largest disc inside,
    px; `edge` the outline's length in pixel sides; `contact` the pixel sides shared by two
    patches, shape (N + 1, N + 1), symmetric.
    """

    area: NDArray[np.int64]
    histogram: NDArray[np.int32]
    reach: NDArray[np.float32]
    edge: NDArray[np.int64]
    contact: NDArray[np.int64]

    @property
    def colour(self) -> NDArray[np.float64]:
        return median_colour(self.histogram)


def find_patches(photo: Image) -> Patches:
    """Return the even patches of a squared photo, uint8 sRGB of shape (H, W, 3)."""
    import cv2

    calm = calm_noise(photo)
    dark, dim, gap_level = _find_dark(calm)
    rise = cv2.morphologyEx(calm, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)).max(axis=2)
    markers = _find_cores((rise < _FLAT) & ~dark)
    markers[dark] = 1
    flooded = cv2.watershed(calm, markers)
    flooded[dark] = 1
    # The watershed leaves a line one pixel wide between basins; give it to a patch beside it.
    lines = flooded == -1
    basins = np.where(lines, 0, flooded).astype(np.uint16)
    flooded = np.where(lines, cv2.dilate(basins, np.ones((3, 3), np.uint8)), basins).astype(np.int32)
    labels = np.maximum(flooded - 1, 0).astype(np.int32)
    return Patches(labels=labels, calm=calm, dark=dark, gap_level=gap_level, dim=dim)


def calm_noise(photo: Image) -> Image:
    """Return a photo evenly bright and without noise, its edges sharp."""
    import cv2

    calm = cv2.bilateralFilter(lift_shades(photo), 5, 30, 2)
    return np.asarray(cv2.bilateralFilter(calm, 5, 22, 2), np.uint8)


def _find_cores(flat: NDArray[np.bool_]) -> Labels:
    """Return the parts to flood from, numbered from 2; 0 elsewhere.

    Broad parts first; then the narrow ones left over, each for itself. A drip or a slip of the
    brush across a gap is narrow, so it never makes one part of two sections.
    """
    import cv2

    least = max(12.0, 0.00008 * flat.size)
    radius = max(2, round(0.0036 * max(flat.shape)))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1))
    small = np.ones((3, 3), np.uint8)
    core = cv2.erode(flat.astype(np.uint8), small)
    broad = cv2.erode(core, disc)
    narrow = core & (1 - cv2.dilate(cv2.dilate(broad, disc), small))
    markers = np.zeros(flat.shape, np.int32)
    last = 1
    for part, smallest in ((broad, 4.0), (narrow, least)):
        count, found, figures, _ = cv2.connectedComponentsWithStats(part, connectivity=4)
        kept = figures[:, cv2.CC_STAT_AREA] >= smallest
        kept[0] = False
        number = np.zeros(count, np.int32)
        number[kept] = np.arange(last + 1, last + 1 + int(kept.sum()))
        markers = np.maximum(markers, number[found])
        last += int(kept.sum())
    return markers


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
    level = cv2.dilate(level, np.ones((5, 5), np.uint8))
    level = cv2.GaussianBlur(level, (0, 0), 1.6, borderType=cv2.BORDER_REPLICATE)
    gain = np.clip(_LIFTED / np.maximum(level, 1.0), 1.0, _MOST_LIFT).astype(np.float32)
    gain = cv2.resize(gain, (width, height), interpolation=cv2.INTER_LINEAR)
    lifted: Image = np.minimum(photo * gain[..., None], 255.0).astype(np.uint8)
    return lifted


def _find_dark(calm: Image) -> tuple[NDArray[np.bool_], NDArray[np.bool_], float]:
    """Return what is gap or opening, what is little brighter than that, and how bright the gaps are."""
    import cv2

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
    thin = (closed - logarithm) > _DIP
    if np.count_nonzero(thin) < 0.0005 * light.size:
        return thin | (light < 0.004), np.zeros_like(thin), 0.0
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
    return thin | dark, dim, overall


def measure_patches(labels: Labels, calm: Image) -> Measures:
    """Return the figures of every patch."""
    import cv2

    count = int(labels.max()) + 1
    flat = labels.ravel()
    area = np.bincount(flat, minlength=count)
    histogram = np.stack(
        [
            np.bincount(flat * 256 + calm[..., channel].ravel(), minlength=count * 256).reshape(count, 256)
            for channel in range(3)
        ],
        axis=1,
    ).astype(np.int32)
    contact = np.zeros((count, count), np.int64)
    for a, b in ((labels[:, 1:], labels[:, :-1]), (labels[1:], labels[:-1])):
        apart = a != b
        code = a[apart].astype(np.int64) * count + b[apart]
        contact += np.bincount(code, minlength=count * count).reshape(count, count)
    contact += contact.T
    border = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    edge = contact.sum(axis=1) + np.bincount(border, minlength=count)
    inside = np.zeros(labels.shape, np.uint8)
    inside[1:-1, 1:-1] = (
        (labels[1:-1, 1:-1] == labels[:-2, 1:-1])
        & (labels[1:-1, 1:-1] == labels[2:, 1:-1])
        & (labels[1:-1, 1:-1] == labels[1:-1, :-2])
        & (labels[1:-1, 1:-1] == labels[1:-1, 2:])
    )
    distance = cv2.distanceTransform(inside, cv2.DIST_L2, 5)
    order = np.argsort(flat, kind="stable")
    starts = np.concatenate([[0], np.cumsum(area)[:-1]])
    filled = area > 0
    reach = np.zeros(count, np.float32)
    reach[filled] = np.maximum.reduceat(distance.ravel()[order], starts[filled])
    return Measures(area=area, histogram=histogram, reach=reach, edge=edge, contact=contact)


def median_colour(histogram: NDArray[np.int32]) -> NDArray[np.float64]:
    """Return medians from histograms, shape (N, 3, 256) to (N, 3)."""
    rising = np.cumsum(histogram, axis=2)
    half = rising[..., -1:] / 2
    found: NDArray[np.float64] = np.argmax(rising >= np.maximum(half, 1), axis=2).astype(np.float64)
    return found


def seen_difference(a: NDArray[np.float64], b: NDArray[np.float64]) -> tuple[float, float]:
    """Return how far two surfaces are from being one under two strengths of light.

    Parameters
    ----------
    a, b : ndarray, shape (3,)
        sRGB, 8 bit.

    Returns
    -------
    difference : float
        RMS of encoded sRGB, 0 to 1, between the brighter one and the darker one seen in as much
        more light as fits best, clipped as a camera clips.
    ratio : float
        That much more light, 1 or more.
    """
    first, second = (np.asarray(v, float) for v in (a, b))
    if (
        LINEAR_OF_CODE[np.round(first).astype(int)].sum()
        < LINEAR_OF_CODE[np.round(second).astype(int)].sum()
    ):
        first, second = second, first
    linear = LINEAR_OF_CODE[np.round(second).astype(int)].astype(float)
    clipped = first > 249
    if clipped.all():
        # Burnt out white could be anything in more light.
        clipped[:] = False
    steps = np.geomspace(1.0, 5.0, 34)
    shown = steps[:, None] * linear
    coded = np.where(shown <= 0.0031308, 12.92 * shown, 1.055 * shown ** (1 / 2.4) - 0.055)
    coded[:, clipped] = np.minimum(coded[:, clipped], first[clipped] / 255)
    errors = np.sqrt(np.mean((coded - first / 255) ** 2, axis=1))
    best = int(np.argmin(errors))
    return float(errors[best]), float(steps[best])


def join_patches(patches: Patches) -> Labels:
    """Return labels in which patches of one surface are one; numbered 1 to N without gaps.

    Two patches are one surface when they touch along a good part of the smaller one's breadth,
    with no dark line there, and differ only in how much light falls on them. Scraps too small to
    be anything join whatever they touch most.
    """
    labels = patches.labels
    figures = measure_patches(labels, patches.calm)
    count = len(figures.area)
    root = np.arange(count)
    area = figures.area.astype(float)
    histogram = figures.histogram.copy()
    contact = figures.contact.copy()
    contact[0, :] = contact[:, 0] = 0
    np.fill_diagonal(contact, 0)
    reach = figures.reach.copy()
    edge = figures.edge.copy()
    colour = figures.colour
    scores: dict[tuple[int, int], float] = {}

    def weigh(a: int) -> None:
        for b in np.flatnonzero(contact[a]).tolist():
            pair = (min(a, b), max(a, b))
            scores.pop(pair, None)
            if contact[a, b] >= _NECK * max(1.0, 2 * min(reach[a], reach[b])):
                difference, ratio = seen_difference(colour[a], colour[b])
                score = difference / (_SHADED if ratio > 1.35 else _SAME)
                if score < 1:
                    scores[pair] = score

    def join(a: int, b: int) -> None:
        for other in np.flatnonzero(contact[b]).tolist():
            scores.pop((min(b, other), max(b, other)), None)
        root[root == b] = a
        edge[a] += edge[b] - 2 * contact[a, b]
        area[a] += area[b]
        histogram[a] += histogram[b]
        contact[a] += contact[b]
        contact[:, a] += contact[:, b]
        contact[b] = contact[:, b] = 0
        contact[a, a] = 0
        reach[a] = max(reach[a], reach[b])
        colour[a] = median_colour(histogram[a : a + 1])[0]

    for k in range(1, count):
        weigh(k)
    # Likest first, so that a shadow's soft edge is taken up by its own side.
    while scores:
        a, b = min(scores, key=lambda pair: (scores[pair], pair))
        if area[a] < area[b]:
            a, b = b, a
        join(a, b)
        weigh(a)
    scrap = _SCRAP * labels.size
    for k in np.argsort(area, kind="stable").tolist():
        if k and root[k] == k and 0 < area[k] < scrap and contact[k].max() > 0.3 * np.sqrt(area[k]):
            join(int(np.argmax(contact[k])), k)
    for k in np.argsort(area, kind="stable").tolist():
        if k and root[k] == k and 0 < area[k] < _SPOT * labels.size:
            around = int(np.argmax(contact[k]))
            # A board is narrower than what it frames; what lies round a spot is broader than it.
            if contact[k, around] > 0.7 * edge[k] and reach[around] > 2 * reach[k]:
                join(around, k)
    dim = np.bincount(root[labels].ravel(), weights=patches.dim.ravel(), minlength=count)
    used = np.unique(root[np.unique(labels)])
    used = used[(used > 0) & (dim[used] < 0.5 * area[used])]
    number = np.zeros(count, np.int32)
    number[used] = np.arange(1, len(used) + 1)
    joined: Labels = number[root][labels]
    return joined
