"""A finished painted surface in few numbers, and the film that gives it.

A finish says what a surface sends back: its body colour (reflection alone), and its glows, each
an emission band with the efficiency that every exciting band has. Swatches, parameters and
measured matrices all become a finish first; `film_of` then finds the film which, over the
stated ground and coats, has that finish. So every way of describing a paint ends in the same
optics.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from palette.colour import Array
from palette.optics.film import (
    FINE_HALVINGS,
    SURFACE_IN,
    Film,
    enter_surface,
    film_over,
    leave_surface,
    reflectance_over,
    scalar_layer,
)
from palette.spectrum import EXCITATION_NM, SEEN

__all__ = [
    "CLEAR",
    "Finish",
    "Glow",
    "Opacity",
    "absorption_needed",
    "clear_body",
    "energy_excess",
    "film_of",
    "finish_matrix",
    "photon_yield",
]

CLEAR = 0.10
"""Scattering of a clear fluorescent film per coat; assumed: two coats over black reflect a fifteenth."""

Opacity = Literal["clear", "opaque"]

# Scattering grows by these steps where a body colour cannot be reached. A clear film stops at a
# weakly hiding one; what it then lacks in body or glow is given up.
_OPAQUER: dict[Opacity, tuple[float, ...]] = {"clear": (0.25, 0.6), "opaque": (0.6, 1.5, 5.0, 15.0, 50.0)}

_BRIGHTER_GROUND = 0.06
"""A body brighter than a clear film by less than this was made on a brighter ground; it is no
sign of an opaque paint."""

_OPAQUE_SLACK = 0.004  # of reflectance; judgement

_ROUGH_HALVINGS = 4
"""Slices of a coat, as a power of two, while a film is still being sought."""

_MOST_ABSORPTION = 12.0
"""Per coat of a film that hardly scatters; two such coats return nothing but their surface."""

_MOST_RATIO = 60.0
"""K over S of an opaque film beyond which it is black: its reflectivity is below 0.01."""

_MOST_YIELD = 0.98
"""Photons out per photon absorbed; no dye in a paint gives them all back (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Glow:
    """One fluorescence: what comes out and what each exciting band contributes.

    `emission` has shape (49,) and the sum 1; `efficiency`, shape (49,), is power radiated in
    the whole emission band over power received.
    """

    emission: Array
    efficiency: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Finish:
    """A finished surface: reflectance without fluorescence, shape (49,), and its glows."""

    body: Array
    glows: tuple[Glow, ...]


def finish_matrix(finish: Finish) -> Array:
    """Return a finish as one matrix, shape (49, 49), row for what leaves."""
    matrix = np.zeros((len(EXCITATION_NM), len(EXCITATION_NM)))
    for glow in finish.glows:
        matrix += glow.emission[:, None] * glow.efficiency[None, :]
    whole: Array = np.tril(matrix, -1) + np.diag(finish.body)
    return whole


def energy_excess(matrix: Array) -> Array:
    """Return by how much each exciting band's light is returned in excess of it, shape (49,)."""
    excess: Array = np.clip(np.asarray(matrix).sum(axis=-2) - 1.0, 0.0, None)
    return excess


def photon_yield(matrix: Array) -> Array:
    """Return photons given off over photons not reflected, by exciting band, shape (49,)."""
    luminous = np.tril(matrix, -1)
    photons = (EXCITATION_NM @ luminous) / EXCITATION_NM
    taken = 1.0 - np.diag(matrix)
    return np.divide(photons, taken, out=np.zeros_like(photons), where=taken > 1e-9)


def film_of(finish: Finish, *, coats: int, ground: Array, opacity: Opacity = "clear") -> Film:
    """Return the film that has a finish when so many coats lie on a ground.

    Parameters
    ----------
    finish : Finish
    coats : int
    ground : ndarray, shape (49, 49)
        As measured in air.
    opacity : "clear" or "opaque"
        A clear film scatters more only in bands that need it, and a body slightly brighter than
        a clear film can be is lowered to it; an opaque one, for whites, scatters alike everywhere.

    Notes
    -----
    Absorption follows from the body colour band by band (each is a scalar film). Fluorescence
    is then scaled element by element until film and finish agree; six rounds, since the light
    that is absorbed twice is little. Where a finish asks for more than the film can hold (a
    body brighter than any film on that ground, a yield above what the absorption allows), the
    nearest film is returned.
    """
    wanted = np.tril(finish_matrix(finish), -1)
    scattering, absorption = _film_for(
        finish.body, absorption_needed(wanted), coats, np.diag(ground), opacity
    )
    glow = _within_yield(3.0 * wanted / coats, absorption)
    for halvings in (*[_ROUGH_HALVINGS] * 4, FINE_HALVINGS, FINE_HALVINGS):
        film = Film(absorption=absorption, scattering=scattering, glow=glow)
        reached = np.tril(film_over(film, (coats,), ground[None], halvings=halvings)[0, 0], -1)
        # The ground's own glow cannot be taken away; what it gives is not asked of the film.
        factor = np.divide(wanted, reached, out=np.ones_like(wanted), where=reached > 1e-9)
        glow = _within_yield(glow * np.clip(factor, 0.1, 10.0), absorption)
    return Film(absorption=absorption, scattering=scattering, glow=glow)


def _film_for(
    body: Array, needed: Array, coats: int, ground: Array, opacity: Opacity
) -> tuple[Array, Array]:
    """Return scattering and absorption per band that give a body colour over a ground.

    The least scattering is taken at which the body colour can be reached with at least the
    absorption its glow needs.
    """
    target = enter_surface(np.clip(body, 0.0, (1 - SURFACE_IN) * 0.995))
    below = enter_surface(ground)
    scattering = np.full(len(body), CLEAR)
    absorption = _absorption_for(target, scattering, coats, below)
    # What a film takes of unseen ultraviolet nobody told; its glow tells the least it takes.
    absorption[: SEEN.start] = np.maximum(absorption, needed)[: SEEN.start]
    slack = _BRIGHTER_GROUND if opacity == "clear" else _OPAQUE_SLACK
    for step in _OPAQUER[opacity]:
        reached = reflectance_over(*scalar_layer(absorption, scattering, coats), below)
        short = (leave_surface(reached) < body - slack) | (absorption < needed)
        short[: SEEN.start] = False
        scattering = np.where(short, step, scattering)
        absorption = np.where(short, _absorption_for(target, scattering, coats, below), absorption)
    if opacity == "opaque":
        scattering = np.full_like(scattering, scattering.max())
        absorption = _absorption_for(target, scattering, coats, below)
    return scattering, absorption


def clear_body(luminous: Array, *, coats: int, ground: Array) -> Array:
    """Return the brightest body a clear film can have and still feed a glow, in air, shape (49,)."""
    film = scalar_layer(0.97 * absorption_needed(luminous), CLEAR, coats)
    brightest = leave_surface(reflectance_over(*film, enter_surface(np.diag(ground))))
    return np.minimum(brightest, np.diag(ground))


def _absorption_for(target: Array, scattering: Array, coats: int, ground: Array) -> Array:
    """Return the K at which scalar films in the binder reach a reflectance, by halving intervals."""
    low, high = np.zeros_like(target), _MOST_ABSORPTION + _MOST_RATIO * scattering
    for _ in range(26):
        middle = (low + high) / 2
        too_bright = reflectance_over(*scalar_layer(middle, scattering, coats), ground) > target
        low, high = np.where(too_bright, middle, low), np.where(too_bright, high, middle)
    return (low + high) / 2


def absorption_needed(wanted: Array) -> Array:
    """Return the K per coat without which a glow would need more photons than the film takes."""
    photons = (EXCITATION_NM @ wanted) / EXCITATION_NM
    # One pass through a coat takes 1 - exp(-K); about two thirds of the glow find the way out.
    return np.asarray(-np.log(1 - np.clip(1.4 * photons, 0, 0.9)))


def _within_yield(glow: Array, absorption: Array) -> Array:
    """Scale columns so that no more photons are given off than `_MOST_YIELD` of those absorbed."""
    photons = (EXCITATION_NM @ glow) / EXCITATION_NM
    most = _MOST_YIELD * absorption
    return glow * np.minimum(1.0, np.divide(most, photons, out=np.ones_like(most), where=photons > 0))
