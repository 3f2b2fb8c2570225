"""Which patches are painted sections, which are trim boards, and what is neither."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.tracing.boards import (
    close_hairlines,
    fill_hairlines,
    find_trim,
    one_per_frame,
    take_in_shadows,
)
from palette.tracing.joining import join_patches
from palette.tracing.patches import Labels, find_patches, measure_patches

__all__ = ["Fields", "find_fields", "keep_whole", "tidy_sections"]

_LEAST_AREA = 0.0012
"""Of the panel: a smaller patch is a spot, not a section (58 mm square on a 4 ft x 8 ft panel)."""

_SPOT = 0.008
"""Of the panel: a smaller patch that lies on others is a reflection."""

_LEAST_REACH = 0.007
"""Radius of the largest disc inside, as a part of the panel's longer side: thinner is a strip."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fields:
    """What a squared photo shows.

    Parameters
    ----------
    labels : ndarray of int32, shape (H, W)
        Section numbers in reading order, 1 to N; 0 elsewhere.
    trim : ndarray of bool, shape (H, W)
        Boards round the sections.
    dark : ndarray of bool, shape (H, W)
        Gaps and openings.
    gap_level : float
        Linear brightness of the gaps, 0 to 1.
    """

    labels: Labels
    trim: NDArray[np.bool_]
    dark: NDArray[np.bool_]
    gap_level: float


def find_fields(photo: NDArray[np.uint8]) -> Fields:
    """Return the painted sections of a squared photo, uint8 sRGB of shape (H, W, 3).

    Floods and filters break ties by the order of pixels. So that a photo lying on its side gives
    the same sections, all is done with the panel's brightest quarter at the top left.
    """
    turns = _turns_to_stand(photo)
    found = _find_fields(np.ascontiguousarray(np.rot90(photo, turns)))
    back = -turns
    return Fields(
        labels=_in_reading_order(np.ascontiguousarray(np.rot90(found.labels, back))),
        trim=np.ascontiguousarray(np.rot90(found.trim, back)),
        dark=np.ascontiguousarray(np.rot90(found.dark, back)),
        gap_level=found.gap_level,
    )


def _turns_to_stand(photo: NDArray[np.uint8]) -> int:
    """Return how many quarter turns bring the brightest quarter to the top left."""
    import cv2

    four = cv2.resize(photo, (2, 2), interpolation=cv2.INTER_AREA).sum(axis=2)
    clockwise = [four[0, 0], four[0, 1], four[1, 1], four[1, 0]]
    return int(np.argmax(clockwise))


def _find_fields(photo: NDArray[np.uint8]) -> Fields:
    patches = find_patches(photo)
    labels = join_patches(patches)
    figures = measure_patches(close_hairlines(labels), patches.calm)
    boards = find_trim(labels, figures)
    trim = boards[labels]
    sections = np.where(trim, 0, labels).astype(np.int32)
    if boards.any():
        sections = one_per_frame(fill_hairlines(sections, trim))
    sections = tidy_sections(sections)
    if boards.any():
        sections = tidy_sections(take_in_shadows(sections, trim))
    sections = _drop_scraps(sections, framed=bool(boards.any()), trim=trim)
    return Fields(
        labels=sections,
        trim=trim & (sections == 0),
        dark=(labels == 0) & (sections == 0),
        gap_level=patches.darkness.gap_level,
    )


def tidy_sections(sections: Labels) -> Labels:
    """Return labels without painted grain, knots, spots and burrs."""
    import cv2

    size = max(sections.shape)
    close = max(3, int(0.005 * size) | 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (close, close))
    burr = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (max(3, int(0.003 * size) | 1),) * 2)
    tidy = np.zeros_like(sections)
    for number in range(1, int(sections.max()) + 1):
        rows, columns = np.nonzero(sections == number)
        if rows.size == 0:
            continue
        margin = close + 2
        top, left = max(0, rows.min() - margin), max(0, columns.min() - margin)
        window = np.s_[top : rows.max() + margin + 1, left : columns.max() + margin + 1]
        own = (sections[window] == number).astype(np.uint8)
        own = cv2.copyMakeBorder(own, close, close, close, close, cv2.BORDER_CONSTANT, value=0)
        own = cv2.morphologyEx(own, cv2.MORPH_CLOSE, disc)
        own = cv2.morphologyEx(own, cv2.MORPH_OPEN, burr)[close:-close, close:-close]
        own = _largest_filled(np.asarray(own, np.uint8))
        # Nubs where two lines of the gap finder met: an outline bends no more sharply than a brush.
        own = np.asarray(cv2.GaussianBlur(own * np.uint8(255), (0, 0), 0.002 * size) > 127, np.uint8)
        free = (sections[window] == 0) | (sections[window] == number)
        tidy[window][(own > 0) & free] = number
    return tidy


def _largest_filled(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the largest piece of a mask, its small holes filled."""
    import cv2

    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled = np.zeros_like(mask)
    if outlines:
        areas = [cv2.contourArea(outline) for outline in outlines]
        cv2.drawContours(filled, outlines, int(np.argmax(areas)), 1, thickness=cv2.FILLED)
    return filled


def keep_whole(labels: Labels) -> tuple[Labels, tuple[int, ...]]:
    """Return labels of which each is one connected piece, the largest, numbered without gaps.

    The second value says which numbers are left, in order.
    """
    from skimage.measure import label

    pieces = label(labels, connectivity=1, background=0)
    sizes = np.bincount(pieces.ravel())
    _, first = np.unique(pieces, return_index=True)
    owner = labels.ravel()[first]
    place = np.zeros(len(sizes), np.int32)
    kept: list[int] = []
    for number in range(1, int(labels.max(initial=0)) + 1):
        own = np.flatnonzero(owner == number)
        if own.size:
            kept.append(number)
            place[own[np.argmax(sizes[own])]] = len(kept)
    whole = place[pieces]
    return whole, tuple(kept)


def _drop_scraps(sections: Labels, *, framed: bool, trim: NDArray[np.bool_]) -> Labels:
    """Return labels without patches too small or too thin to be a section.

    Beside trim boards a patch counts only where a board runs along it; what else is light there is
    the edge of the wall, a reflection or a shadow's edge.
    """
    import cv2

    least_area = _LEAST_AREA * sections.size
    least_reach = _LEAST_REACH * max(sections.shape)
    kept = np.zeros_like(sections)
    near = cv2.dilate(trim.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    for number in range(1, int(sections.max()) + 1):
        own = sections == number
        area = int(np.count_nonzero(own))
        if area < least_area:
            continue
        rows, columns = np.nonzero(own)
        window = np.s_[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
        patch = np.pad(own[window].astype(np.uint8), 1)
        reach = float(cv2.distanceTransform(patch, cv2.DIST_L2, 5).max())
        if reach < least_reach or (reach < 3 * least_reach and _runs_along_frame(sections, number)):
            continue
        if framed:
            rim = (patch[1:-1, 1:-1] > 0) & (cv2.erode(patch, np.ones((3, 3), np.uint8))[1:-1, 1:-1] == 0)
            if np.count_nonzero(rim & near[window]) < 0.35 * np.count_nonzero(rim):
                continue
        elif area < _SPOT * sections.size and _lies_on_others(sections, number, window):
            continue
        kept[own] = number
    return kept


def _runs_along_frame(sections: Labels, number: int) -> bool:
    """Return whether a narrow patch lies along the picture's edge: wall seen past the panel's."""
    frame = np.concatenate([sections[0], sections[-1], sections[:, 0], sections[:, -1]]) == number
    return bool(np.count_nonzero(frame) > 0.12 * frame.size)


def _lies_on_others(sections: Labels, number: int, window: tuple[slice, slice]) -> bool:
    """Return whether a patch touches other sections along most of its rim, as a reflection does."""
    import cv2

    rows, columns = window
    wide = np.s_[max(0, rows.start - 3) : rows.stop + 3, max(0, columns.start - 3) : columns.stop + 3]
    own = sections[wide] == number
    rim = (cv2.dilate(own.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0) & ~own
    return float(np.mean(sections[wide][rim] > 0)) > 0.6


def _in_reading_order(sections: Labels) -> Labels:
    """Return labels 1 to N, row by row from the top, each row from the left."""
    numbers = np.unique(sections)
    numbers = numbers[numbers > 0]
    if numbers.size == 0:
        return sections
    rows = np.arange(sections.shape[0])[:, None]
    columns = np.arange(sections.shape[1])[None, :]
    flat = sections.ravel()
    area = np.bincount(flat).astype(float)
    area[area == 0] = 1
    middle_y = np.bincount(flat, weights=np.broadcast_to(rows, sections.shape).ravel()) / area
    middle_x = np.bincount(flat, weights=np.broadcast_to(columns, sections.shape).ravel()) / area
    # Rows of stones are not level: those whose middles lie within a fifteenth of the height of the
    # first one are read together.
    rank: list[int] = []
    waiting = sorted(numbers.tolist(), key=lambda k: middle_y[k])
    step = sections.shape[0] / 15
    while waiting:
        first = middle_y[waiting[0]]
        row = [k for k in waiting if middle_y[k] <= first + step]
        rank.extend(sorted(row, key=lambda k: middle_x[k]))
        waiting = waiting[len(row) :]
    order = np.zeros(int(numbers.max()) + 1, np.int32)
    order[rank] = np.arange(1, len(rank) + 1)
    ordered: Labels = order[sections]
    return ordered
