"""From small pieces of border to contacts: what counts, and how much.

Each point of the free space within reach belongs to its nearest section; where two such zones
meet runs the mid-line, and its length is the length of the border. One part of it is left out. At
the free ends of a joint, and round the corners of a black field, the zones fan out and their
mid-line runs on into the open, although no paint stands opposite paint there. So the mid-line
counts where the two sections *face* each other:

- seen from it, the nearest points of the two (their feet) lie in directions within 40 degrees of
  opposite;
- these points are no farther apart than reach.

Two edges side by side lie in opposite directions, two that meet in a right angle at 90 degrees
from that, and 40 keeps the one from the other. At the free end of a joint of width g the border
runs on by 0.37 g beside an edge that goes on, and by 0.18 g where both edges end. Two corners
alone that stand g apart face each other for g tan 20 degrees: across usual gaps less than the
shortest border that counts, so fields that meet only diagonally stay corner contacts.

The 40 degrees are those of the truth files of the photo sets, where borders are swept along their
normals. They are a choice, not physics.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.adjacency.contact import Adjacency, Contact

if TYPE_CHECKING:
    from shapely import MultiLineString

__all__ = [
    "FACING_DEGREES",
    "Meetings",
    "Pieces",
    "are_opposite",
    "gather_contacts",
]

FACING_DEGREES = 40.0
"""The two feet lie within this of opposite directions."""

CROSSING_MM = 25.0
"""Zones that meet along less than this, in all, meet at a crossing rather than across a field."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Short pieces of mid-line between two sections, as parallel arrays.

    Parameters
    ----------
    pairs : ndarray of int, shape (N, 2)
        Places of the two sections in the panel's order, the smaller first.
    ends : ndarray, shape (N, 2, 2)
        Where the stretch along which the two face each other begins and ends, mm.
    zone_mm : ndarray, shape (N,)
        Length of the whole piece, facing or not.
    border_mm : ndarray, shape (N,)
        Length of the stretch that faces, 0 where none does.
    gap_mm : ndarray, shape (N,)
        How far apart the two stand here.
    """

    pairs: NDArray[np.intp]
    ends: NDArray[np.float64]
    zone_mm: NDArray[np.float64]
    border_mm: NDArray[np.float64]
    gap_mm: NDArray[np.float64]

    @staticmethod
    def join(parts: list[Pieces]) -> Pieces:
        """Return all pieces of several lists in one."""
        return Pieces(
            pairs=np.concatenate([part.pairs for part in parts]),
            ends=np.concatenate([part.ends for part in parts]),
            zone_mm=np.concatenate([part.zone_mm for part in parts]),
            border_mm=np.concatenate([part.border_mm for part in parts]),
            gap_mm=np.concatenate([part.gap_mm for part in parts]),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meetings:
    """Pairs whose zones meet anywhere, if only at a point, each once, in order.

    `pairs` has shape (M, 2) and `least_gap_mm` shape (M,): how far apart the two sections are.
    """

    pairs: NDArray[np.intp]
    least_gap_mm: NDArray[np.float64]


def are_opposite(to_a: NDArray[np.float64], to_b: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return where two directions, shape (N, 2), are opposite enough for facing."""
    sizes = np.hypot(*to_a.T) * np.hypot(*to_b.T)
    cosine = np.einsum("ij,ij->i", to_a, to_b) / np.where(sizes > 0, sizes, 1.0)
    opposite: NDArray[np.bool_] = cosine <= -np.cos(np.radians(FACING_DEGREES))
    return opposite


def gather_contacts(
    ids: tuple[str, ...],
    pieces: Pieces,
    meetings: Meetings,
    *,
    reach_mm: float,
    min_border_mm: float,
    finest_mm: float,
) -> Adjacency:
    """Add the pieces up and return every contact, sorted by the panel's order.

    Parameters
    ----------
    finest_mm : float
        Borders up to this length cannot be told from a point; also the fineness of mid-lines.
    """
    count = len(meetings.pairs)
    place = _places(pieces.pairs, meetings.pairs, len(ids))
    border = np.bincount(place, pieces.border_mm, minlength=count)
    zone = np.bincount(place, pieces.zone_mm, minlength=count)
    spread = np.bincount(place, pieces.border_mm * pieces.gap_mm, minlength=count)

    facing = np.flatnonzero(pieces.border_mm > 0)
    facing = facing[np.argsort(place[facing], kind="stable")]
    first_piece = np.searchsorted(place[facing], np.arange(count + 1))

    contacts = []
    for k in range(count):
        # The tolerance is for sums such as 24.999999999 from a border of exactly 25.
        side = border[k] > finest_mm and border[k] >= min_border_mm - 1e-6
        gap = float(spread[k] / border[k]) if side else float(meetings.least_gap_mm[k])
        if not side and not _meets_at_corner(gap, float(zone[k]), reach_mm):
            continue
        own = facing[first_piece[k] : first_piece[k + 1]]
        contacts.append(
            Contact(
                a=ids[meetings.pairs[k, 0]],
                b=ids[meetings.pairs[k, 1]],
                border_mm=float(border[k]),
                gap_mm=gap,
                corner=not side,
                mid_line=_draw_line(pieces.ends[own], finest_mm),
            )
        )
    return Adjacency(sections=ids, contacts=tuple(contacts), reach_mm=reach_mm, min_border_mm=min_border_mm)


def _places(pairs: NDArray[np.intp], known: NDArray[np.intp], count: int) -> NDArray[np.intp]:
    """Return for each pair its row among the known ones, which are sorted and contain it."""
    return np.searchsorted(known[:, 0] * count + known[:, 1], pairs[:, 0] * count + pairs[:, 1])


def _meets_at_corner(gap_mm: float, zone_mm: float, reach_mm: float) -> bool:
    """Return whether two zones that share no border long enough touch at a corner.

    Where two gaps of width reach cross, the diagonal is longer by the square root of 2, beyond
    reach. It counts, for otherwise a chart of squares would lose its diagonals as its gaps grow.
    A longer meeting of zones is an open field.
    """
    if zone_mm < CROSSING_MM:
        return gap_mm <= reach_mm * 2**0.5 + 1e-6
    return gap_mm <= reach_mm + 1e-6


def _draw_line(ends: NDArray[np.float64], finest_mm: float) -> MultiLineString:
    import shapely

    if len(ends) == 0:
        return shapely.MultiLineString()
    # Neighbouring pieces end at one point but for rounding, and only equal points can be merged.
    drawn = shapely.line_merge(shapely.multilinestrings(shapely.linestrings(ends.round(4))))
    drawn = shapely.simplify(drawn, finest_mm)
    parts = shapely.get_parts(drawn)
    return shapely.MultiLineString(list(parts[~shapely.is_empty(parts)]))
