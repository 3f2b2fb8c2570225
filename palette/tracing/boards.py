"""Trim boards round sections: which patches they are, and what they tell of the sections inside."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.tracing.joining import seen_difference
from palette.tracing.patches import Labels, Measures

__all__ = ["close_hairlines", "fill_hairlines", "find_trim", "one_per_frame", "take_in_shadows"]


def close_hairlines(labels: Labels) -> Labels:
    """Return labels grown by a pixel into the dark: where a camera draws a hairline between a
    board and its section they touch all the same."""
    import cv2

    grown = cv2.dilate(labels.astype(np.uint16), np.ones((3, 3), np.uint8)).astype(np.int32)
    return np.where(labels == 0, grown, labels).astype(np.int32)


def find_trim(labels: Labels, figures: Measures) -> NDArray[np.bool_]:
    """Return which patches are trim, bool, shape (N + 1,).

    A board is known by what it does, not by its colour: it runs round a section and touches it
    all along, with no dark line between. White paint between dark gaps is therefore a section.
    """
    count = len(figures.area)
    trim = np.zeros(count, bool)
    wrapped = figures.contact / np.maximum(figures.edge, 1)[:, None]
    for board in range(1, count):
        inside = [
            k
            for k in range(1, count)
            if k != board and wrapped[k, board] > 0.55 and figures.area[k] > 0.0006 * labels.size
        ]
        content = sum(int(figures.area[k]) for k in inside)
        # A board is narrower than what it frames; what lies round a spot or a knot is broader.
        narrow = inside and figures.reach[board] < 1.2 * max(figures.reach[k] for k in inside)
        if narrow and content > 0.15 * figures.area[board]:
            trim[board] = True
    if not trim.any():
        return trim
    width = 1.3 * float(np.median(figures.reach[trim]))
    colour = figures.colour
    known = colour[trim]
    for k in range(1, count):
        if trim[k] or figures.area[k] == 0:
            continue
        framed = figures.contact[k][trim].sum() > 0.55 * figures.edge[k]
        alike = min(seen_difference(colour[k], board)[0] for board in known) < 0.1
        # Pieces of board that a shadow or the picture's edge cut off.
        if figures.reach[k] < width and (alike or not framed):
            trim[k] = True
    return trim


def fill_hairlines(sections: Labels, trim: NDArray[np.bool_]) -> Labels:
    """Return labels that take in the dark hairline a camera may draw where a board ends."""
    import cv2

    close = np.ones((9, 9), np.uint8)
    grown = cv2.dilate(sections.astype(np.uint16), close).astype(np.int32)
    hairline = (sections == 0) & ~trim & (cv2.dilate(trim.astype(np.uint8), close) > 0)
    return np.where(hairline, grown, sections).astype(np.int32)


def take_in_shadows(sections: Labels, trim: NDArray[np.bool_]) -> Labels:
    """Return labels that take in dark corners shut in between one section and its boards.

    Gaps lie outside the boards, so what is dark inside them is paint in a deep shadow.
    """
    import cv2

    dark = ((sections == 0) & ~trim).astype(np.uint8)
    count, found, figures, _ = cv2.connectedComponentsWithStats(dark, connectivity=8)
    taken = sections.copy()
    for k in range(1, count):
        left, top, width, height, area = figures[k]
        if area < 6 or area > 0.02 * sections.size:
            continue
        window = np.s_[max(0, top - 2) : top + height + 2, max(0, left - 2) : left + width + 2]
        own = found[window] == k
        rim = (cv2.dilate(own.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0) & ~own
        beside = sections[window][rim]
        if np.unique(beside[beside > 0]).size == 1 and np.mean(beside > 0) > 0.2:
            taken[window][own] = beside.max()
    return taken


def one_per_frame(sections: Labels) -> Labels:
    """Return labels in which everything inside one frame is one section.

    With trim round every section, two patches that touch can only be one section of which a part
    lies in shadow.
    """
    import cv2

    painted = (sections > 0).astype(np.uint8)
    radius = max(2, round(0.005 * max(sections.shape)))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1))
    # A drip over a board joins two sections by a neck: only what is broad counts, the rest goes to
    # the nearest broad part.
    broad = cv2.erode(painted, disc)
    _, nearest = cv2.distanceTransformWithLabels(1 - broad, cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_CCOMP)
    return np.where(painted > 0, nearest, 0).astype(np.int32)
