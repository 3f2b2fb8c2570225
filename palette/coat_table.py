"""Every paint under every light, in so many coats, over every ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.coating import looks_of, surfaces_of
from palette.colour import Array, lab_of_xyz
from palette.light import Light, white_of
from palette.paint import Paint

__all__ = ["DEFAULT_COAT_COUNTS", "DEFAULT_TABLE_GROUNDS", "CoatTable", "tabulate_coats"]

DEFAULT_COAT_COUNTS = (1, 2, 3, 4)  # as many as people give
DEFAULT_TABLE_GROUNDS = ("white", "grey", "wood", "black")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CoatTable:
    """Paint by light by coats by ground.

    Parameters
    ----------
    paints, lights, coats, grounds : tuple
        Ids and numbers along the four axes, lengths P, L, C, G.
    xyz, lab : ndarray, shape (P, L, C, G, 3)
        XYZ with each light's white at Y = 1, unclipped; Lab against that white.
    white_xyz : ndarray, shape (L, 3)
    brightness : ndarray, shape (P, L, C, G)
        Y over that of the brightest paint under the same light, in the same coats on the same ground.
    """

    paints: tuple[str, ...]
    lights: tuple[str, ...]
    coats: tuple[int, ...]
    grounds: tuple[str, ...]
    xyz: Array
    lab: Array
    white_xyz: Array
    brightness: Array


def tabulate_coats(
    paints: Sequence[Paint],
    lights: Sequence[Light],
    *,
    coats: Sequence[int] = DEFAULT_COAT_COUNTS,
    grounds: Sequence[str] = DEFAULT_TABLE_GROUNDS,
) -> CoatTable:
    """Return how paints look in every light, number of coats and ground.

    A measured matrix looks the same in all coats and on all grounds: it is a finished surface.

    Parameters
    ----------
    paints : sequence of Paint
    lights : sequence of Light
    coats : sequence of int
        Numbers of coats.
    grounds : sequence of str
        Names, of `GROUND_NAMES`.

    Returns
    -------
    CoatTable
    """
    surfaces = np.stack([surfaces_of(paint, coats, grounds) for paint in paints])
    white = np.array([white_of(light) for light in lights])
    xyz = np.stack([looks_of(surfaces, light) for light in lights], axis=1)
    brightest = np.maximum(xyz[..., 1].max(axis=0, keepdims=True), 1e-12)
    return CoatTable(
        paints=tuple(paint.id for paint in paints),
        lights=tuple(light.id for light in lights),
        coats=tuple(coats),
        grounds=tuple(grounds),
        xyz=xyz,
        lab=lab_of_xyz(xyz, white[None, :, None, None, :]),
        white_xyz=white,
        brightness=xyz[..., 1] / brightest,
    )
