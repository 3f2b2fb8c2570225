"""How every paint looks under every light: the one table of colour the rest of palette sees.

Where the numbers come from (two swatches, parameters, a measured matrix) ends here; rules,
solver, checker and pictures read only this table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from palette.coating import has_spectrum, looks_of, surfaces_of
from palette.colour import D65_WHITE, Array, difference, lab_of_xyz
from palette.errors import InputError
from palette.eyes import Eye, seen_xyz
from palette.light import Light, LightKind, white_of
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

    def relative_luminance(self, light: str) -> NDArray[np.float64]:
        """Return Y of every paint over that of the brightest under a light, shape (P,)."""
        y = self.xyz[:, self.light_index(light), 1]
        return np.asarray(y / max(float(y.max()), 1e-12))

    def seen_by(self, eye: Eye) -> Appearance:
        """Return the table as an eye with a colour-vision deficiency sees it."""
        xyz = np.stack(
            [seen_xyz(self.xyz[:, k], eye, white=white) for k, white in enumerate(self.white_xyz)], axis=1
        )
        return replace(self, xyz=xyz, lab=lab_of_xyz(xyz, self.white_xyz[None, :, :]))

    def lightness(self, light: str) -> NDArray[np.float64]:
        """Return L* of every paint under a light, shape (P,)."""
        return self.lab[:, self.light_index(light), 0]


def appearance_of(paints: Sequence[Paint], lights: Sequence[Light]) -> Appearance:
    """Return the table of looks, each paint in its own coats on its own ground.

    A paint known by spectrum (a measured matrix, parameters) is worked out under every light.
    A paint known by swatches shows them as they are under ``daylight`` and ``blacklight``, and
    under other lights the plausible film made from them. A swatch is a colour on a screen or a
    card whose white is D65 with Y = 1, and under those two lights that is the white.

    Parameters
    ----------
    paints : sequence of Paint
    lights : sequence of Light

    Returns
    -------
    Appearance
        XYZ, and CIELAB against each light's white, of every paint in every light.

    Raises
    ------
    InputError
        A paint has no swatch for the kind of one of the lights, or only one where a film is needed.

    Examples
    --------
    >>> lights = [palette.light_by_name("D65"), palette.light_by_name("led-365")]
    >>> palette.appearance_of(palette.generic_paints(), lights).xyz.shape
    (11, 2, 3)
    """
    faults: list[InputError] = []
    xyz = np.zeros((len(paints), len(lights), 3))
    white = np.array([D65_WHITE if light.spectrum is None else white_of(light) for light in lights])
    for row, paint in enumerate(paints):
        surface: Array | None = None
        for column, light in enumerate(lights):
            if not has_spectrum(paint):
                missing = _missing_swatch(paint, light)
                if missing is not None:
                    faults.append(missing)
                    continue
                if light.spectrum is None:
                    xyz[row, column] = paint.swatch[light.kind]
                    continue
            if surface is None:
                surface = surfaces_of(paint, (paint.coats,), (paint.ground,))[0, 0]
            # The grid's own D65 white and the screen's differ in the fourth digit.
            xyz[row, column] = looks_of(surface, light) * white[column] / white_of(light)
    InputError.gather(faults)
    return Appearance(
        paints=tuple(paint.id for paint in paints),
        lights=tuple(light.id for light in lights),
        xyz=xyz,
        white_xyz=white,
        lab=lab_of_xyz(xyz, white[None, :, :]),
    )


def _missing_swatch(paint: Paint, light: Light) -> InputError | None:
    kinds: tuple[LightKind, ...] = (light.kind,) if light.spectrum is None else ("daylight", "blacklight")
    for kind in kinds:
        if kind not in paint.swatch:
            what = f"it has no {kind} swatch, so its look under {light.id} is unknown"
            mend = f'add swatch = {{ {kind} = "#rrggbb" }} or leave {light.id} out of the lights'
            return InputError(f'paint "{paint.id}"', what, mend)
    return None
