"""The optics of a paint film: two fluxes of diffuse light, with fluorescence.

For one wavelength this is the theory of Kubelka and Munk: a film absorbs K and scatters S per
unit of thickness. Fluorescence couples wavelengths, so reflectance and transmittance become
matrices, row for the wavelength that leaves, column for the one that arrives (a Donaldson
matrix); Kubelka's rules for laying one layer on another hold for them as they stand. Because
light never leaves at a shorter wavelength than it arrived, the matrices are triangular and
their diagonals are exactly the scalar theory.

Sources (equations from memory, checked in the tests against tables and an integration of the
differential equation): P. Kubelka, F. Munk, Z. tech. Phys. 12, 593 (1931); P. Kubelka, J. Opt.
Soc. Am. 38, 448 (1948) and 44, 330 (1954), for stacked layers; J. L. Saunderson, J. Opt. Soc.
Am. 32, 727 (1942), for the surface; R. Donaldson, Br. J. Appl. Phys. 5, 210 (1954), and
L. D. and J. Shakespeare, Color Res. Appl. 28, 4 (2003), for fluorescence in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour import Array

__all__ = [
    "FINE_HALVINGS",
    "SURFACE_IN",
    "SURFACE_OUT",
    "Film",
    "enter_surface",
    "film_over",
    "layer",
    "leave_surface",
    "on_ground",
    "reflectance_over",
    "reflectivity",
    "scalar_layer",
]

# Paint binder, refractive index 1.5: Fresnel at normal incidence, and the diffuse light kept
# inside. Fresnel's equations, integrated over the hemisphere.
SURFACE_IN = 0.0400
SURFACE_OUT = 0.5963

FINE_HALVINGS = 8
"""A coat is built from 2**8 slices; the tests hold the error of a coat below 1e-4."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Film:
    """A paint's optics, for a thickness of one coat.

    Parameters
    ----------
    absorption, scattering : ndarray, shape (49,)
        K and S on the excitation grid, per coat.
    glow : ndarray, shape (49, 49)
        Share of the light passing, per coat, that is absorbed in one band (column) and given
        off in another (row); only below the diagonal; a column sums to at most the absorption.
    """

    absorption: Array
    scattering: Array
    glow: Array


def reflectivity(absorption: Array, scattering: Array) -> Array:
    """Return the reflectance of an endless film, R∞ = 1 + K/S - √((K/S)² + 2 K/S)."""
    k, s = np.asarray(absorption, float), np.asarray(scattering, float)
    # Written so that S = 0 (nothing comes back) and K = 0 (everything does) need no branch.
    total = k + s + np.sqrt(k * (k + 2 * s))
    found: Array = np.divide(s, total, out=np.ones_like(total), where=total > 0)
    return found


def scalar_layer(
    absorption: Array | float, scattering: Array | float, thickness: Array | float
) -> tuple[Array, Array]:
    """Return reflectance over black and transmittance of a film at single wavelengths.

    The three broadcast. Kubelka's hyperbolic form, arranged in decaying exponentials so that
    neither an endless film nor K = 0 or S = 0 overflows.
    """
    k, s, x = np.broadcast_arrays(
        np.asarray(absorption, float), np.asarray(scattering, float), np.asarray(thickness, float)
    )
    root = np.sqrt(k * (k + 2 * s))
    fade = np.exp(-root * x)
    # sinh(root x) / root, times the fade; its limit for root → 0 is x.
    rise = np.where(root * x > 1e-8, -np.expm1(-2 * root * x) / np.where(root > 0, 2 * root, 1.0), x)
    below = (k + s) * rise + (1 + fade**2) / 2
    return s * rise / below, fade / below


def reflectance_over(film_reflectance: Array, film_transmittance: Array, ground: Array) -> Array:
    """Return R0 + T² Rg / (1 - R0 Rg): a film over a ground at single wavelengths."""
    r, t, g = (np.asarray(v, float) for v in (film_reflectance, film_transmittance, ground))
    found: Array = r + t**2 * g / (1 - r * g)
    return found


def leave_surface(inside: Array, *, entering: float = SURFACE_IN, kept: float = SURFACE_OUT) -> Array:
    """Return what is measured outside of a reflectance inside the binder, gloss excluded.

    Saunderson's correction; for a matrix, shape (..., n, n), his geometric series of inner
    reflections with the matrix in place of the number.
    """
    inside = np.asarray(inside, float)
    if inside.ndim < 2 or inside.shape[-1] != inside.shape[-2]:
        found: Array = (1 - entering) * (1 - kept) * inside / (1 - kept * inside)
        return found
    unit = np.eye(inside.shape[-1])
    return (1 - entering) * (1 - kept) * _times_inverse(inside, unit - kept * inside)


def enter_surface(outside: Array, *, entering: float = SURFACE_IN, kept: float = SURFACE_OUT) -> Array:
    """Return the reflectance inside the binder that shows as `outside`: undo `leave_surface`."""
    outside = np.asarray(outside, float)
    passed = (1 - entering) * (1 - kept)
    if outside.ndim < 2 or outside.shape[-1] != outside.shape[-2]:
        found: Array = outside / (passed + kept * outside)
        return found
    unit = np.eye(outside.shape[-1])
    return np.asarray(np.linalg.solve(passed * unit + kept * outside, outside))


def _times_inverse(a: Array, b: Array) -> Array:
    """Return a b⁻¹ for stacks of matrices."""
    return np.asarray(np.swapaxes(np.linalg.solve(np.swapaxes(b, -1, -2), np.swapaxes(a, -1, -2)), -1, -2))


def layer(film: Film, coats: float, *, halvings: int = FINE_HALVINGS) -> tuple[Array, Array]:
    """Return reflectance over black and transmittance of a film, two (49, 49) matrices.

    Built by doubling: a slice thin enough for its fluorescence to be one sheet in its middle,
    laid on itself until the thickness is reached. Both sides of a film are alike.
    """
    halvings += max(0, int(np.ceil(np.log2(max(coats, 1e-9)))))
    slices = coats / 2**halvings
    r, t = (np.diag(v) for v in scalar_layer(film.absorption, film.scattering, slices / 2))
    unit = np.eye(len(r))
    # The sheet glows to both sides, and half of that glow passes the sheet itself again.
    passing = 0.5 * slices * film.glow
    sheet = np.linalg.solve(unit - passing, passing)
    # Lit alike from both sides the sheet returns 1 + 2 sheet; lit in opposition it cancels.
    alike = r + t @ (unit + 2 * sheet) @ np.linalg.solve(unit - r @ (unit + 2 * sheet), t)
    opposed = r - t @ np.linalg.solve(unit + r, t)
    reflected, passed = (alike + opposed) / 2, (alike - opposed) / 2
    for _ in range(halvings):
        reflected, passed = _laid_on(reflected, passed, reflected, passed)
    return reflected, passed


def _laid_on(r1: Array, t1: Array, r2: Array, t2: Array) -> tuple[Array, Array]:
    """Return the layer made of two symmetric layers of one film."""
    downward = np.linalg.solve(np.eye(len(r1)) - r1 @ r2, t1)
    return r1 + t1 @ (r2 @ downward), t2 @ downward


def on_ground(reflected: Array, passed: Array, ground: Array) -> Array:
    """Return a film's reflectance over a ground, matrices in the binder, shape (..., 49, 49)."""
    unit = np.eye(reflected.shape[-1])
    between = np.linalg.solve(unit - ground @ reflected, ground @ passed)
    return np.asarray(reflected + passed @ between)


def film_over(
    film: Film, coats: tuple[float, ...], grounds: Array, *, halvings: int = FINE_HALVINGS
) -> Array:
    """Return finished surfaces as seen in air.

    Parameters
    ----------
    film : Film
    coats : tuple of float, length C
        Thickness in coats, 0 for the bare ground; whole numbers in rising order are quickest.
    grounds : ndarray, shape (G, 49, 49)
        Each ground's matrix as measured in air.
    halvings : int
        A coat is built from 2**halvings slices.

    Returns
    -------
    ndarray, shape (C, G, 49, 49)
    """
    inner = enter_surface(grounds)
    reflected = np.zeros((len(coats), *film.glow.shape))
    passed = np.zeros_like(reflected)
    one: tuple[Array, Array] | None = None
    for place, thickness in enumerate(coats):
        follows = place > 0 and thickness == coats[place - 1] + 1 and one is not None
        if follows and one is not None:
            # The slices are alike, so a coat more is the film so far with one coat on it.
            r, t = _laid_on(reflected[place - 1], passed[place - 1], *one)
        elif thickness == 0:
            r, t = np.zeros_like(film.glow), np.eye(len(film.glow))
        else:
            r, t = layer(film, thickness, halvings=halvings)
            one = (r, t) if thickness == 1 else one
        reflected[place], passed[place] = r, t
    inside = on_ground(reflected[:, None], passed[:, None], inner[None])
    return leave_surface(inside)
