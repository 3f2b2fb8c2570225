"""Paint on a ground: from any description of a paint to its finished surface."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from palette.colour import Array, difference, lab_of_xyz
from palette.errors import InputError
from palette.light import BLACKLIGHT, DAYLIGHT, Light, light_unit, spectrum_of, white_of
from palette.optics.film import Film, film_over
from palette.optics.finish import Finish, film_of, finish_matrix
from palette.optics.ground import WHITE_GROUND, ground_matrix
from palette.optics.parameters import finish_of_parameters
from palette.optics.swatches import OPACITIES, film_of_swatches
from palette.paint import Paint
from palette.spectrum import SEEN, xyz_of_radiance

__all__ = ["coating_notes", "film_notes", "film_of_paint", "has_spectrum", "looks_of", "surfaces_of"]


_OPAQUE_HANDICAP = 2.0  # times nearer an opaque film must be; judgement

_FILM_OFF = 2.0
"""CIEDE2000 by which a film may miss the finish it was made for before that is told."""


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
    """Return sentences about what was changed or missed in reading a paint and making its film.

    Parameters
    ----------
    paint : Paint

    Returns
    -------
    tuple of str
        Sentences.
    """
    if has_spectrum(paint) or len(paint.swatch) < 2:
        return paint.notes
    return paint.notes + film_notes(paint)


def film_notes(paint: Paint) -> tuple[str, ...]:
    """Return the sentence about what the film of a paint misses, if it misses anything that shows."""
    return () if paint.matrix is not None else _made(paint)[1]


@lru_cache(maxsize=256)
def _made(paint: Paint) -> tuple[Film, tuple[str, ...]]:
    where = f'paint "{paint.id}"'
    if paint.parameters is not None:
        return _film_of_finish(finish_of_parameters(paint.parameters, where=where), paint.coats, where)
    for kind in ("daylight", "blacklight"):
        if kind not in paint.swatch:
            what = f"it has no {kind} swatch, so nothing is known of its film"
            raise InputError(where, what, f'add swatch = {{ {kind} = "#rrggbb" }}')
    seen = (np.asarray(paint.swatch[kind], float).tobytes() for kind in ("daylight", "blacklight"))
    return _made_of_swatches(*seen, paint.coats, where)


@lru_cache(maxsize=256)
def _made_of_swatches(
    daylight: bytes, blacklight: bytes, coats: int, where: str
) -> tuple[Film, tuple[str, ...]]:
    # Forty walls read the same paints forty times, and a film takes longer to find than a scheme.
    seen = (np.frombuffer(look) for look in (daylight, blacklight))
    made = film_of_swatches(*seen, coats=coats, where=where)
    return made.film, made.notes


def _film_of_finish(finish: Finish, coats: int, where: str) -> tuple[Film, tuple[str, ...]]:
    """Return the film nearest to a finish, clear if that will do, and a sentence if it is far off."""
    ground = ground_matrix(WHITE_GROUND)
    wanted = finish_matrix(finish)[SEEN]
    found: list[tuple[float, float, Film]] = []
    for opacity in OPACITIES:
        film = film_of(finish, coats=coats, ground=ground, opacity=opacity)
        reached = film_over(film, (coats,), ground[None])[0, 0][SEEN]
        # A paint that glows is clear; it is taken for opaque only where that is far nearer.
        handicap = 1.0 if opacity == "clear" else _OPAQUE_HANDICAP
        off = _apart(wanted, reached)
        found.append((handicap * off, off, film))
        if off <= _FILM_OFF:
            break
    _, off, film = min(found, key=lambda one: one[0])
    if off <= _FILM_OFF:
        return film, ()
    told = f"no film in {coats} coats has all of that body and glow; the nearest is used"
    return film, (f"{where}: {told}, {off:.1f} CIEDE2000 off.",)


def _apart(one: Array, other: Array) -> float:
    """Return how different two surfaces look at worst, CIEDE2000, by day and under a blacklight."""
    return max(
        float(
            difference(*(lab_of_xyz(looks_of(surface, light), white_of(light)) for surface in (one, other)))
        )
        for light in (DAYLIGHT, BLACKLIGHT)
    )


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
