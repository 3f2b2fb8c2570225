"""Which sections are neighbours, how long they face each other and across what gap."""

from __future__ import annotations

import math

from palette.adjacency.contact import (
    DEFAULT_MIN_BORDER_MM,
    DEFAULT_REACH_MM,
    Adjacency,
    Contact,
)
from palette.adjacency.raster import find_neighbours_by_pixels
from palette.adjacency.vector import find_neighbours_by_outline
from palette.errors import InputError
from palette.panel import Panel

__all__ = [
    "DEFAULT_MIN_BORDER_MM",
    "DEFAULT_REACH_MM",
    "Adjacency",
    "Contact",
    "find_neighbours",
    "find_neighbours_by_outline",
    "find_neighbours_by_pixels",
]


def find_neighbours(
    panel: Panel,
    *,
    reach_mm: float = DEFAULT_REACH_MM,
    min_border_mm: float = DEFAULT_MIN_BORDER_MM,
) -> Adjacency:
    """Return who is whose neighbour on a panel.

    Each point of the free space (on the panel, outside the sections) within reach belongs to its
    nearest section. Two sections are neighbours when their zones share a border of at least
    `min_border_mm` along which they stand no farther apart than `reach_mm`; where the border runs
    on into the open, with no paint opposite paint, it does not count. Sections whose zones meet
    for less, or at a point, are kept as corner contacts; at a crossing of gaps that holds for a
    diagonal of up to `reach_mm` times the square root of 2.

    Parameters
    ----------
    panel : Panel
        One with a label image is judged by its pixels, any other by its outlines.
    reach_mm : float
        The widest gap across which two sections are still neighbours, 0 or more; at 0 only those
        that touch.
    min_border_mm : float
        The shortest border that counts, 0 or more; at 0 every border longer than a point.

    Returns
    -------
    Adjacency
        Contacts in the panel's order. A contact's border is the length of the line halfway between
        the two, as far as it counts; its gap is the mean over the border.

    Raises
    ------
    InputError
        A length is negative or not a number.

    Notes
    -----
    Where a border runs into the open, and why it ends there, stands in `palette.adjacency.borders`.

    Examples
    --------
    >>> wall = palette.read_layout("examples/canyon/wall.svg")
    >>> near = palette.find_neighbours(wall, reach_mm=160)
    >>> len(near.neighbours)
    38
    """
    for name, length in (("reach", reach_mm), ("least border", min_border_mm)):
        if not math.isfinite(length) or length < 0:
            raise InputError(name, f"{length:g} mm is no length", "give 0 or more millimetres")
    find = find_neighbours_by_outline if panel.label_image is None else find_neighbours_by_pixels
    return find(panel, reach_mm=reach_mm, min_border_mm=min_border_mm)
