"""Few parameters from a measured matrix."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.optics.parameters import Band, GlowParameters, Knots, PaintParameters
from palette.spectrum import (
    EMISSION_NM,
    EXCITATION_NM,
    SEEN,
    gaussian_band,
    observer,
    skewed_band,
    xyz_of_radiance,
)

__all__ = ["fit"]

_GLOWS = 3  # more parts are noise; judgement
_ROUNDS = 400
_LEAST_SHARE = 0.02
"""A glow below this share of the radiation is left in the noise."""

_BODY_TOLERANCE = 0.008  # below the noise of measured data, as the next
_EXCITATION_TOLERANCE = 0.008

# Where noise of a weak emitter is not met by its own bands, broad ones at these peaks help out.
_HELPERS_NM = (450.0, 530.0, 620.0)
_CHROMATICITY_GOAL = 0.006  # x and y; judgement
_LEAST_STRENGTH = 0.002  # a weaker glow is none; judgement

_SPECTRUM_WEIGHT = 0.1
"""How much a spectrum counts beside its XYZ, per 10 nm band."""


def fit(matrix: Array) -> PaintParameters:
    """Return parameters of a measured paint.

    Parameters
    ----------
    matrix : ndarray, shape (41, 49)
        Clean: row for emission, column for excitation.

    Returns
    -------
    PaintParameters
        Body colour and excitation as knots, glows as sums of skewed bands.

    Notes
    -----
    Below the diagonal the matrix is taken apart into three products of an emission and an
    excitation, none negative (weighted multiplicative updates of D. D. Lee and H. S. Seung, Nature
    401, 788, 1999, over the cells that can be emission at all). Each emission is described by up
    to four bands of a catalogue, found by least squares without negative shares; then each
    exciting band gets the efficiencies that meet its measured colour.
    """
    below = EMISSION_NM[:, None] > EXCITATION_NM[None, :]
    luminous = np.where(below, matrix, 0.0)
    body = np.array([matrix[row, row + SEEN.start] for row in range(len(EMISSION_NM))])
    found = [_bands_of(emission) for emission in _parted(luminous, below)]
    if found and _chromaticity_missed(found, luminous, below, body) > _CHROMATICITY_GOAL:
        found += [(Band(peak=peak, width=60.0, skew=1.6),) for peak in _HELPERS_NM]
    glows = []
    for bands, efficiency in zip(found, _efficiencies(found, luminous, below, body), strict=True):
        strength = float(efficiency.max())
        if strength > _LEAST_STRENGTH:
            knots = thin_knots(EXCITATION_NM, efficiency / strength, _EXCITATION_TOLERANCE)
            glows.append(GlowParameters(bands=bands, strength=min(1.0, strength), excitation=knots))
    return PaintParameters(
        body=thin_knots(EMISSION_NM, np.clip(body, 0.0, 1.0), _BODY_TOLERANCE), glows=tuple(glows)
    )


def _parted(luminous: Array, below: NDArray[np.bool_]) -> list[Array]:
    total = float(luminous.sum())
    if total < 0.05:
        return []
    # Cells count by how much an eye, and the lamps of this trade, make of them.
    seen = observer().sum(axis=1)[:, None] + 0.02
    lamps = np.where((EXCITATION_NM >= 350) & (EXCITATION_NM <= 420), 6.0, 1.0)
    weight = np.where(below, seen * lamps, 0.0)
    spectrum = luminous.sum(axis=1)
    distance = np.abs(EMISSION_NM - EMISSION_NM[int(np.argmax(spectrum * seen[:, 0]))])
    first = spectrum * np.exp(-((distance / 50) ** 2)) + 1e-6
    second = spectrum * (1 - np.exp(-((distance / 70) ** 2))) + 1e-6
    rest = np.ones_like(spectrum)
    emission = np.stack([part / part.sum() for part in (first, second, rest)], axis=1)
    excitation = luminous.sum(axis=0) * np.array([[0.88], [0.08], [0.04]]) + 1e-6
    for _ in range(_ROUNDS):
        model = weight * (emission @ excitation)
        excitation *= (emission.T @ (weight * luminous)) / (emission.T @ model + 1e-12)
        model = weight * (emission @ excitation)
        emission *= ((weight * luminous) @ excitation.T) / (model @ excitation.T + 1e-12)
        size = emission.sum(axis=0)
        emission, excitation = emission / size, excitation * size[:, None]
    return [
        emission[:, k]
        for k in range(_GLOWS)
        if np.where(below, np.outer(emission[:, k], excitation[k]), 0.0).sum() > _LEAST_SHARE * total
    ]


def _shape(bands: tuple[Band, ...]) -> Array:
    shape = np.sum([band.share * skewed_band(band.peak, band.width, band.skew) for band in bands], axis=0)
    return np.asarray(shape / shape.sum())


def _efficiencies(
    glows: list[tuple[Band, ...]], luminous: Array, below: NDArray[np.bool_], body: Array
) -> Array:
    """Return each glow's efficiency by exciting band, shape (glows, 49).

    For every exciting band the XYZ of what it gives comes first, its spectrum second: so each
    light, whatever bands it is made of, meets the measured colour.
    """
    from scipy.optimize import nnls

    if not glows:
        return np.zeros((0, len(EXCITATION_NM)))
    emission = np.stack([_shape(bands) for bands in glows], axis=1)
    weigh = np.concatenate([observer().T, _SPECTRUM_WEIGHT * np.eye(len(EMISSION_NM))])
    found = np.zeros((len(glows), len(EXCITATION_NM)))
    for column, nm in enumerate(EXCITATION_NM):
        possible = np.where(below[:, column, None], emission, 0.0)
        # Where hardly any of an emission can follow, its efficiency would be noise blown up.
        possible[:, possible.sum(axis=0) < 0.15] = 0.0
        found[:, column] = nnls(weigh @ possible, weigh @ luminous[:, column])[0]
        photons = float(EMISSION_NM @ (possible @ found[:, column])) / nm
        taken = 1.0 - body[column - SEEN.start] if column >= SEEN.start else 1.0
        if photons > taken:
            found[:, column] *= max(taken, 0.0) / photons
    return found


def _chromaticity_missed(
    glows: list[tuple[Band, ...]], luminous: Array, below: NDArray[np.bool_], body: Array
) -> float:
    """Return by how much x or y is missed at worst under the lamps of this trade."""
    emission = np.stack([_shape(bands) for bands in glows], axis=1)
    made = np.where(below, emission @ _efficiencies(glows, luminous, below, body), 0.0)
    worst = 0.0
    for peak in (365.0, 395.0, 405.0):
        lamp = gaussian_band(peak, 13.0)
        xyz, known = (xyz_of_radiance(matrix @ lamp) for matrix in (made, luminous))
        if known.sum() > 0 and xyz.sum() > 0:
            worst = max(worst, float(np.abs(xyz / xyz.sum() - known / known.sum()).max()))
    return worst


def _bands_of(emission: Array) -> tuple[Band, ...]:
    from scipy.optimize import nnls

    catalogue = [
        Band(peak=float(peak), width=float(width), skew=skew)
        for peak in range(390, 721, 5)
        for width in (20, 30, 45, 60, 90, 160)
        for skew in (1.0, 1.6, 2.4)
    ]
    shapes = np.stack([skewed_band(band.peak, band.width, band.skew) for band in catalogue], axis=1)
    chosen: list[int] = []
    for _ in range(4):
        best = min(
            (column for column in range(len(catalogue)) if column not in chosen),
            key=lambda column: float(nnls(shapes[:, [*chosen, column]], emission)[1]),
        )
        chosen.append(best)
    shares, _rest = nnls(shapes[:, chosen], emission)
    total = float(shares.sum())
    return tuple(
        Band(peak=band.peak, width=band.width, skew=band.skew, share=round(float(share) / total, 4))
        for band, share in ((catalogue[c], s) for c, s in zip(chosen, shares, strict=True))
        if share > 0.01 * total
    )


def thin_knots(nm: Array, values: Array, tolerance: float) -> Knots:
    """Return the fewest of some points whose straight lines stay within a tolerance of all.

    The line is split at the point farthest from it, again and again (Douglas & Peucker, 1973).
    """
    kept = {0, len(nm) - 1}
    spans = [(0, len(nm) - 1)]
    while spans:
        left, right = spans.pop()
        inner = np.arange(left + 1, right)
        if not len(inner):
            continue
        line = np.interp(nm[inner], [nm[left], nm[right]], [values[left], values[right]])
        off = np.abs(values[inner] - line)
        if off.max() > tolerance:
            split = int(inner[np.argmax(off)])
            kept.add(split)
            spans += [(left, split), (split, right)]
    return tuple((float(nm[k]), round(float(values[k]), 4)) for k in sorted(kept))
