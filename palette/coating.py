"""Paint on a ground: from any description of a paint to its finished surface."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.light import Light, light_unit, spectrum_of
from palette.optics.film import Film, film_over
from palette.optics.finish import film_of
from palette.optics.ground import WHITE_GROUND, ground_matrix
from palette.optics.parameters import finish_of_parameters
from palette.optics.swatches import film_of_swatches
from palette.paint import Paint
from palette.spectrum import SEEN, xyz_of_radiance

__all__ = ["coating_notes", "film_of_paint", "has_spectrum", "looks_of", "surfaces_of"]


def has_spectrum(paint: Paint) -> bool:
    """Return whether more is known of a paint than its swatches."""
    return paint.matrix is not None or paint.parameters is not None


def film_of_paint(paint: Paint) -> Film:
    """Return the film of a paint described by parameters or by both swatches.

    Raises
    ------
    InputError
        It is known by one swatch only.
    """
    return _made(paint)[0]


def coating_notes(paint: Paint) -> tuple[str, ...]:
    """Return sentences about what was changed or missed in reading a paint and making its film."""
    if has_spectrum(paint) or len(paint.swatch) < 2:
        return paint.notes
    return paint.notes + _made(paint)[1]


@lru_cache(maxsize=256)
def _made(paint: Paint) -> tuple[Film, tuple[str, ...]]:
    where = f'paint "{paint.id}"'
    if paint.parameters is not None:
        finish = finish_of_parameters(paint.parameters, where=where)
        return film_of(finish, coats=paint.coats, ground=ground_matrix(WHITE_GROUND)), ()
    for kind in ("daylight", "blacklight"):
        if kind not in paint.swatch:
            what = f"it has no {kind} swatch, so nothing is known of its film"
            raise InputError(where, what, f'add swatch = {{ {kind} = "#rrggbb" }}')
    made = film_of_swatches(
        paint.swatch["daylight"], paint.swatch["blacklight"], coats=paint.coats, where=where
    )
    return made.film, made.notes


def surfaces_of(paint: Paint, coats: Sequence[float], grounds: Sequence[str]) -> Array:
    """Return finished surfaces, shape (C, G, 41, 49): row for emission, column for excitation.

    A measured matrix is the surface itself, the same for every number of coats and ground.
    """
    if paint.matrix is not None:
        shape = (len(coats), len(grounds), *paint.matrix.shape)
        return np.broadcast_to(paint.matrix, shape)
    below = np.stack([ground_matrix(name) for name in grounds])
    found: Array = film_over(film_of_paint(paint), tuple(coats), below)[..., SEEN, :]
    return found


def looks_of(surfaces: Array, light: Light) -> Array:
    """Return XYZ, shape (..., 3), of surfaces, shape (..., 41, 49), against the white of a light."""
    xyz: Array = xyz_of_radiance(surfaces @ spectrum_of(light)) / light_unit(light)
    return xyz
