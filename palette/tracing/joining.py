"""Patches that are one surface, joined: parted by a shadow, by painted grain, or by nothing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.tracing.patches import Labels, Patches, measure_patches, median_colour
from palette.tracing.pixels import LINEAR_OF_CODE

__all__ = ["join_patches", "seen_difference"]

_SAME = 0.055
"""RMS of encoded sRGB, 0 to 1: less is one surface whatever the light."""

_DEEPEST = 4.0
"""Light beside a hard shadow over light in it, at most: the sky, or the other lamps, fill it."""

_NECK = 0.35
"""Of the smaller patch's breadth: patches that touch along less are joined by a drip or a slip."""

_SCRAP = 0.0006
"""Of the panel: a smaller patch is a spot on another one."""

_SPOT = 0.01
"""Of the panel: a smaller patch inside a much broader one is a reflection or a stain."""

_THIN_PX = 5.0
"""Half the breadth of the broadest dark line that may be painted grain."""

_BROAD_PX = 20.0
"""Half the breadth of the broadest gap whose black is looked at."""

_GRAIN = 0.62
"""Of the black that the panel's gaps have: a line with less of it is painted grain."""

_SHADED = 0.13
"""The same, for two patches of which one is clearly darker: one surface, partly in shadow."""


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
    steps = np.geomspace(1.0, _DEEPEST, 29)
    shown = steps[:, None] * linear
    coded = np.where(shown <= 0.0031308, 12.92 * shown, 1.055 * shown ** (1 / 2.4) - 0.055)
    coded[:, clipped] = np.minimum(coded[:, clipped], first[clipped] / 255)
    errors = np.sqrt(np.mean((coded - first / 255) ** 2, axis=1))
    best = int(np.argmin(errors))
    return float(errors[best]), float(steps[best])


def _is_same_in_same_light(a: NDArray[np.float64], b: NDArray[np.float64]) -> bool:
    difference, ratio = seen_difference(a, b)
    return difference < 1.6 * _SAME and ratio < 1.25


def _undo_grain(patches: Patches, labels: Labels) -> Labels:
    """Return labels in which patches parted only by a painted line are one.

    A gap is as broad and as black as the panel's other gaps; a line of painted grain is finer, so
    less of its light is missing. What is usual is read between patches of unlike colours, which
    nothing but a gap parts.
    """
    import cv2

    figures = measure_patches(labels, patches.calm)
    count = len(figures.area)
    _, nearest = cv2.distanceTransformWithLabels(
        (labels == 0).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    painted = labels > 0
    owner = np.zeros(int(nearest.max()) + 1, np.int32)
    owner[nearest[painted]] = labels[painted]
    zones = owner[nearest]
    distance = cv2.distanceTransform((labels == 0).astype(np.uint8), cv2.DIST_L2, 5)
    fill = cv2.dilate(patches.darkness.fill, np.ones((3, 3), np.uint8))
    codes, fills, reaches = [], [], []
    for first, second in (
        (np.s_[:, 1:], np.s_[:, :-1]),
        (np.s_[1:], np.s_[:-1]),
    ):
        a, b = zones[first], zones[second]
        border = (a != b) & (distance[first] < _BROAD_PX)
        low, high = np.minimum(a, b)[border], np.maximum(a, b)[border]
        codes.append(low.astype(np.int64) * count + high)
        fills.append(fill[first][border])
        reaches.append(distance[first][border])
    code, taken, away = (np.concatenate(found) for found in (codes, fills, reaches))
    if not code.size:
        return labels
    pairs, place, length = np.unique(code, return_inverse=True, return_counts=True)
    typical = np.array([np.median(taken[place == k]) for k in range(len(pairs))])
    colour = figures.colour
    alike = np.array(
        [_is_same_in_same_light(colour[p // count], colour[p % count]) for p in pairs.tolist()]
    )
    half = np.array([np.median(away[place == k]) for k in range(len(pairs))])
    plain = ~alike & (length > 20) & (half > 0.5)
    usual = float(np.median(typical[plain])) if plain.sum() > 2 else float(np.percentile(typical, 75))
    root = np.arange(count)
    for k in np.flatnonzero(alike & (half < _THIN_PX) & (typical < _GRAIN * usual)).tolist():
        first_patch, second_patch = divmod(int(pairs[k]), count)
        least = min(figures.reach[first_patch], figures.reach[second_patch])
        if first_patch and length[k] > 0.6 * 2 * least:
            root[root == root[second_patch]] = root[first_patch]
    joined: Labels = np.unique(root[labels], return_inverse=True)[1].reshape(labels.shape).astype(np.int32)
    return joined if (labels == 0).any() else joined + 1


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
                if score < 1 and ratio < _DEEPEST:
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
    dim = np.bincount(root[labels].ravel(), weights=patches.darkness.dim.ravel(), minlength=count)
    used = np.unique(root[np.unique(labels)])
    used = used[(used > 0) & (dim[used] < 0.5 * area[used])]
    number = np.zeros(count, np.int32)
    number[used] = np.arange(1, len(used) + 1)
    joined: Labels = number[root][labels]
    return _undo_grain(patches, joined)
