"""A person's corrections: shapes and clicks over the photo, or a known layout, win over what was found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.tracing.fields import Fields, tidy_sections
from palette.tracing.gaps import calm_noise
from palette.tracing.patches import Labels

__all__ = ["Correction", "Snapped", "correct_fields", "snap_to_layout"]

_RELATED = 0.35
"""Overlap over union from which a found section stands for a drawn one."""

_SNAPS = 0.75
"""The same, from which its edges are better than the drawing's."""

_LEAKED = 0.3
"""Of the panel: a click that grows to more has found no edges."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Correction:
    """One section as a person marks it: a mask on the squared photo, or a click, and a name or "".

    `place` is the click's row and column; `where` names it for messages.
    """

    name: str
    where: str
    mask: NDArray[np.bool_] | None = None
    place: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Snapped:
    """Fields under the names of a layout; `missed` were not found and are taken as drawn,
    `unknown` is how many found ones the layout does not have."""

    fields: Fields
    names: tuple[str, ...]
    missed: tuple[str, ...]
    unknown: int


def correct_fields(
    photo: NDArray[np.uint8], fields: Fields, corrections: Sequence[Correction]
) -> tuple[Fields, tuple[str, ...]]:
    """Return fields in which every correction is a section, and all sections' names ("" if none).

    A mask replaces the sections it covers by more than half and cuts what it needs from others. A
    click inside a found section confirms it; several clicks in one section split it; a click
    outside every section grows to the edges round it.

    Raises
    ------
    InputError
        A mask lies off the panel, or a click has no edges round it.
    """
    labels = fields.labels.copy()
    names = [""] * int(labels.max(initial=0))
    clicks = [c for c in corrections if c.mask is None]
    for correction in corrections:
        if correction.mask is not None:
            names = _put_mask(labels, names, correction)
    hits: dict[int, list[Correction]] = {}
    for click in clicks:
        hits.setdefault(int(labels[_on_panel(click, labels)]), []).append(click)
    for number in sorted(hits):
        if number == 0:
            for click in hits[0]:
                names = _grow(photo, labels, names, click)
        elif len(hits[number]) == 1:
            names[number - 1] = hits[number][0].name or names[number - 1]
        else:
            names = _split(photo, labels, names, number, hits[number])
    kept = [k for k in range(1, len(names) + 1) if np.any(labels == k)]
    order = np.zeros(len(names) + 1, np.int32)
    order[kept] = np.arange(1, len(kept) + 1)
    labels = order[labels]
    corrected = replace(
        fields, labels=labels, trim=fields.trim & (labels == 0), dark=fields.dark & (labels == 0)
    )
    return corrected, tuple(names[k - 1] for k in kept)


def _on_panel(click: Correction, labels: Labels) -> tuple[int, int]:
    assert click.place is not None
    row, column = click.place
    if not (0 <= row < labels.shape[0] and 0 <= column < labels.shape[1]):
        raise InputError(click.where, "it lies off the panel", "move it onto the section it stands for")
    return row, column


def _put_mask(labels: Labels, names: list[str], correction: Correction) -> list[str]:
    mask = correction.mask
    assert mask is not None
    if np.count_nonzero(mask) < 20:
        what = "it covers nothing of the panel"
        raise InputError(correction.where, what, "draw it over the section, in the photo's own pixels")
    sizes = np.bincount(labels.ravel(), minlength=len(names) + 1)
    covered = np.bincount(labels[mask], minlength=len(names) + 1)
    for number in range(1, len(names) + 1):
        if sizes[number] and covered[number] > 0.5 * sizes[number]:
            labels[labels == number] = 0
    labels[mask] = len(names) + 1
    return [*names, correction.name]


def _grow(photo: NDArray[np.uint8], labels: Labels, names: list[str], click: Correction) -> list[str]:
    """Return names with one more; the labels gain the even patch under a click."""
    import cv2

    row, column = _on_panel(click, labels)
    # Edges may be faint, a dark paint on a black gap: stretch what lies around the click's own value.
    calm = cv2.GaussianBlur(cv2.medianBlur(photo, 5), (0, 0), 2.0)
    disc = np.zeros(labels.shape, np.uint8)
    radius = max(3, round(0.006 * max(labels.shape)))
    cv2.circle(disc, (column, row), radius, 1, -1)
    own = np.median(calm[disc > 0], axis=0)
    stretched = np.clip(128 + 5.0 * (calm.astype(np.float32) - own), 0, 255).astype(np.uint8)
    markers = np.zeros(labels.shape, np.int32)
    around = max(3, round(0.004 * max(labels.shape)))
    ring = np.ones((2 * around + 1, 2 * around + 1), np.uint8)
    markers[cv2.dilate((labels > 0).astype(np.uint8), ring) > 0] = 1
    markers[: around + 1] = markers[-around - 1 :] = 1
    markers[:, : around + 1] = markers[:, -around - 1 :] = 1
    markers[disc > 0] = 2
    grown = tidy_sections((cv2.watershed(stretched, markers) == 2).astype(np.int32)) == 1
    grown = _straightened(grown)
    beyond = (cv2.dilate(grown.astype(np.uint8), ring) > 0) & ~grown
    step = np.abs(np.median(calm[beyond], axis=0) - own).max() if beyond.any() else 0.0
    share = np.count_nonzero(grown) / labels.size
    if step < 2 or not 0.0003 < share < _LEAKED:
        what = "no edges are found round this click"
        raise InputError(click.where, what, "draw the section as a polygon instead")
    labels[grown & (labels == 0)] = len(names) + 1
    return [*names, click.name]


def _straightened(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the convex hull of a mask that nearly fills it: along faint edges a flood frays."""
    import cv2

    outlines, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not outlines:
        return mask
    hull = cv2.convexHull(max(outlines, key=cv2.contourArea))
    full = cv2.fillConvexPoly(np.zeros(mask.shape, np.uint8), hull, 1) > 0
    return full if np.count_nonzero(mask) > 0.85 * np.count_nonzero(full) else mask


def _split(
    photo: NDArray[np.uint8], labels: Labels, names: list[str], number: int, clicks: list[Correction]
) -> list[str]:
    """Return names with one per click; the section is shared out along the edges between them."""
    import cv2

    own = labels == number
    markers = np.where(own, 0, 1).astype(np.int32)
    for k, click in enumerate(clicks):
        row, column = _on_panel(click, labels)
        cv2.circle(markers, (column, row), 4, k + 2, -1)
    markers[~own] = 1
    parts = cv2.watershed(calm_noise(photo), markers)
    labels[own] = 0
    for k, click in enumerate(clicks):
        if k:
            names = [*names, click.name]
        else:
            names[number - 1] = click.name
        labels[own & (parts == k + 2)] = len(names) if k else number
    return names


def snap_to_layout(fields: Fields, masks: Sequence[NDArray[np.bool_]], names: Sequence[str]) -> Snapped:
    """Return the sections of a known layout at the edges found in the photo.

    Parameters
    ----------
    fields : Fields
    masks : sequence of ndarray of bool, shape (H, W)
        The layout laid over the squared photo.
    names : sequence of str

    Notes
    -----
    Found and drawn sections are matched one to one so that their overlap is greatest. A drawn
    section nobody found, or found only in part, is moved as the found ones are, on average, and
    then taken as drawn.
    """
    from scipy.optimize import linear_sum_assignment

    found = int(fields.labels.max(initial=0))
    sizes = np.bincount(fields.labels.ravel(), minlength=found + 1)
    overlap = np.zeros((len(masks), found))
    for row, mask in enumerate(masks):
        common = np.bincount(fields.labels[mask], minlength=found + 1)[1:]
        overlap[row] = common / np.maximum(sizes[1:] + np.count_nonzero(mask) - common, 1)
    rows, columns = linear_sum_assignment(-overlap)
    match = {int(r): int(c) for r, c in zip(rows, columns, strict=True) if overlap[r, c] > _RELATED}
    shifts = [_middle(fields.labels == c + 1) - _middle(masks[r]) for r, c in match.items()]
    shift = np.round(np.median(shifts, axis=0)).astype(int) if shifts else np.zeros(2, int)
    labels = np.zeros_like(fields.labels)
    missed = []
    for row, (mask, name) in enumerate(zip(masks, names, strict=True)):
        if row in match and overlap[row, match[row]] > _SNAPS:
            labels[fields.labels == match[row] + 1] = row + 1
        else:
            moved = np.roll(mask, tuple(shift), axis=(0, 1))
            labels[moved & (labels == 0)] = row + 1
            if row not in match:
                missed.append(name)
    snapped = replace(
        fields, labels=labels, trim=fields.trim & (labels == 0), dark=fields.dark & (labels == 0)
    )
    return Snapped(fields=snapped, names=tuple(names), missed=tuple(missed), unknown=found - len(match))


def _middle(mask: NDArray[np.bool_]) -> NDArray[np.float64]:
    rows, columns = np.nonzero(mask)
    return np.array([rows.mean(), columns.mean()]) if rows.size else np.zeros(2)
