"""Sections in as many groups as there are paints, when nobody says which paints there are."""

from __future__ import annotations

import numpy as np

from palette.colour import Array, lab_of_xyz
from palette.tracing.evening import SectionColours
from palette.tracing.naming import Naming
from palette.tracing.pixels import XYZ_OF_LINEAR

__all__ = ["even_lab", "group_colours"]

_APART = 10.0
"""Difference of two groups, L* counted half: what uneven light leaves within one paint is less."""


def even_lab(colours: SectionColours, white: Array | None) -> Array:
    """Return CIELAB of sections in even light, shape (K, 3).

    The white is the trim where there is one; without it a grey as bright as the brightest section.
    """
    even = colours.seen / colours.light[:, None]
    scale = white / 0.85 if white is not None else np.full(3, max(float(np.percentile(even, 98)), 1e-4))
    return lab_of_xyz((even / scale) @ XYZ_OF_LINEAR.T)


def group_colours(colours: SectionColours, white: Array | None) -> Naming:
    """Return groups numbered by their first section.

    Clusters are joined by the mean difference of their members (average linkage) until the nearest
    two lie `_APART`. Confidence is how far the nearest other group is, 1 from twice that on.
    """
    from scipy.cluster.hierarchy import fcluster, linkage

    count = len(colours.seen)
    points = even_lab(colours, white) * [0.5, 1.0, 1.0]
    chroma = np.hypot(points[:, 1], points[:, 2])
    # Strong colours scatter along their chroma most; compress it as CIE94 does.
    points[:, 1:] /= (1 + 0.01 * chroma)[:, None]
    if count < 2:
        group = np.zeros(count, np.int64)
    else:
        found = fcluster(linkage(points, "average"), _APART, "distance")
        _, first, inverse = np.unique(found, return_index=True, return_inverse=True)
        order = np.argsort(np.argsort(first, kind="stable"), kind="stable")
        group = order[inverse].astype(np.int64)
    groups = int(group.max(initial=-1)) + 1
    centres = np.array([points[group == k].mean(axis=0) for k in range(groups)]).reshape(groups, 3)
    distance = np.linalg.norm(points[:, None] - centres[None], axis=2)
    confidence = np.ones(count)
    if groups > 1:
        others = np.where(group[:, None] == np.arange(groups), np.inf, distance)
        confidence = np.clip(others.min(axis=1) / (2 * _APART), 0.0, 1.0)
    return Naming(paint=group, confidence=confidence, distance=distance, gains=np.ones(3))
