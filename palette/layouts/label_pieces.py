"""From flat colours to connected pieces, and what is too small to be one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.layouts.outlines import Face

__all__ = ["find_pieces"]

_FEWEST_PIXELS = 25  # fewer are a speck
_MOST_COLOURS = 2_000  # more are a photo


def find_pieces(values: NDArray[np.uint32], face: Face) -> tuple[NDArray[np.int32], NDArray[np.uint32]]:
    """Return labels 1..n of connected pieces in reading order, and the value of each.

    Parameters
    ----------
    values : ndarray, shape (H, W)
        One number a colour, 0 the gap; pixels that join a sharp tip to its piece are painted in it.
    face : Face
        Size of the whole picture, and the file for messages.

    Raises
    ------
    InputError
        There are too many colours, or specks: a picture with smoothed edges, or a photo.
    """
    mend = "save it without smoothing (anti-aliasing), each section in one flat colour"
    labels, value_of = _label(values)
    colours = len(np.unique(value_of))
    if colours > _MOST_COLOURS:
        raise InputError(face.source, f"it holds {colours:,} different colours", mend)
    specks = _find_specks(labels, len(value_of))
    if len(specks) and _join_tips(values, labels, specks):
        labels, value_of = _label(values)
        specks = _find_specks(labels, len(value_of))
    if len(specks):
        row, column = np.argwhere(labels == specks[0])[0]
        height_px, width_px = values.shape
        spot = face.place(
            (column + 0.5) * face.width_mm / width_px, (row + 0.5) * face.height_mm / height_px
        )
        number = f"{len(specks):,} specks or fringes" if len(specks) > 1 else "1 speck or fringe"
        what = f"it has {number} less than 3 pixels wide or {_FEWEST_PIXELS} pixels large, the first {spot}"
        raise InputError(face.source, what, mend)
    return labels, value_of


def _label(values: NDArray[np.uint32]) -> tuple[NDArray[np.int32], NDArray[np.uint32]]:
    from skimage.measure import label

    labels, count = label(values.astype(np.int64), background=0, connectivity=1, return_num=True)
    value_of = np.zeros(count + 1, np.uint32)
    value_of[labels] = values
    return labels.astype(np.int32), value_of[1:]


def _find_specks(labels: NDArray[np.int32], count: int) -> NDArray[np.intp]:
    """Return the pieces that are nowhere 3 pixels wide: the fringe of a smoothed edge, or a speck."""
    from scipy.ndimage import maximum_filter, minimum_filter

    solid = maximum_filter(labels, 3, mode="nearest") == minimum_filter(labels, 3, mode="nearest")
    wide = np.bincount(labels[solid], minlength=count + 1) > 0
    large = np.bincount(labels.ravel(), minlength=count + 1) >= _FEWEST_PIXELS
    return 1 + np.flatnonzero(~(wide & large)[1:])


def _join_tips(values: NDArray[np.uint32], labels: NDArray[np.int32], specks: NDArray[np.intp]) -> bool:
    """Join specks to the piece of their own colour that they touch at a pixel's corner.

    A sharp tip that is not smoothed falls apart so. The pixel beside both is painted in `values`;
    two pieces that are no specks are never joined. Returns whether any pixel was painted.
    """
    is_speck = np.zeros(int(labels.max()) + 1, np.bool_)
    is_speck[specks] = True
    joined = np.arange(len(is_speck))  # which piece each one belongs to by now
    whole = ~is_speck  # whether that piece holds one that is no speck
    painted = False
    for left, right in ((0, 1), (1, 0)):  # from upper left to lower right, and the other way
        upper, lower = (slice(0, -1), slice(1, None))
        one = values[upper, left : values.shape[1] - right]
        two = values[lower, right : values.shape[1] - left]
        first = labels[upper, left : values.shape[1] - right]
        second = labels[lower, right : values.shape[1] - left]
        touch = (one == two) & (first != second) & (is_speck[first] | is_speck[second])
        for row, column in np.argwhere(touch):
            a, b = (_root(joined, int(piece[row, column])) for piece in (first, second))
            if a != b and not (whole[a] and whole[b]):
                joined[b], whole[a] = a, whole[a] | whole[b]
                beside = ((row, column + right), (row + 1, column + left))
                # Rather the gap than a pixel of another section.
                values[min(beside, key=lambda spot: int(values[spot] != 0))] = one[row, column]
                painted = True
    return painted


def _root(joined: NDArray[np.intp], piece: int) -> int:
    while joined[piece] != piece:
        piece = int(joined[piece])
    return piece
