"""How every paint looks under every light: the one table of colour the rest of palette sees.

Where the numbers come from (two swatches today, a film of paint under a lamp tomorrow) ends
here; rules, solver, checker and pictures read only this table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import D65_WHITE, Array, difference, lab_of_xyz
from palette.errors import InputError
from palette.light import Light
from palette.paint import Paint

__all__ = ["Appearance", "appearance_of"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Appearance:
    """Paint by light.

    Parameters
    ----------
    paints, lights : tuple of str
        P paint ids and L light ids, in order.
    xyz : ndarray, shape (P, L, 3)
        Never rescaled from paint to paint; unclipped.
    white_xyz : ndarray, shape (L, 3)
        The white each light's Lab is relative to.
    lab : ndarray, shape (P, L, 3)
    """

    paints: tuple[str, ...]
    lights: tuple[str, ...]
    xyz: Array
    white_xyz: Array
    lab: Array

    def light_index(self, light: str) -> int:
        """Return the place of a light in the table, or raise KeyError."""
        try:
            return self.lights.index(light)
        except ValueError:
            raise KeyError(light) from None

    def differences(self, light: str) -> Array:
        """Return CIEDE2000 between every two paints under a light, shape (P, P)."""
        lab = self.lab[:, self.light_index(light)]
        table = difference(lab[:, None, :], lab[None, :, :])
        # CIEDE2000 is symmetric; keep the last bit so too.
        return (table + table.T) / 2

    def weakest_differences(self, lights: Sequence[str]) -> Array:
        """Return the least difference over some lights, shape (P, P)."""
        table: Array = np.min([self.differences(light) for light in lights], axis=0)
        return table

    def lightness(self, light: str) -> NDArray[np.float64]:
        """Return L* of every paint under a light, shape (P,)."""
        return self.lab[:, self.light_index(light), 0]


def appearance_of(paints: Sequence[Paint], lights: Sequence[Light]) -> Appearance:
    """Return the table of looks.

    A swatch is a colour on a screen or a card whose white is D65 with Y = 1, under either
    light, so that white is the one its Lab is relative to.

    Raises
    ------
    InputError
        A paint has no swatch for the kind of one of the lights.
    """
    faults: list[InputError] = []
    xyz = np.zeros((len(paints), len(lights), 3))
    for row, paint in enumerate(paints):
        for column, light in enumerate(lights):
            look = paint.swatch.get(light.kind)
            if look is None:
                what = f"it has no {light.kind} swatch, so its look under {light.id} is unknown"
                mend = f'add swatch = {{ {light.kind} = "#rrggbb" }} or leave {light.id} out of the lights'
                faults.append(InputError(f'paint "{paint.id}"', what, mend))
            else:
                xyz[row, column] = look
    InputError.gather(faults)
    white = np.tile(D65_WHITE, (len(lights), 1))
    return Appearance(
        paints=tuple(paint.id for paint in paints),
        lights=tuple(light.id for light in lights),
        xyz=xyz,
        white_xyz=white,
        lab=lab_of_xyz(xyz, white[None, :, :]),
    )
