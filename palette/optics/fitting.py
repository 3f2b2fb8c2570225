"""Few parameters from a measured matrix."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.optics.parameters import Band, GlowParameters, Knots, PaintParameters
from palette.spectrum import EMISSION_NM, EXCITATION_NM, SEEN, observer, skewed_band

__all__ = ["fit"]

_ROUNDS = 400
_LEAST_SHARE = 0.02
"""A second glow below this share of the radiation is left in the noise."""

_BODY_TOLERANCE = 0.008
_EXCITATION_TOLERANCE = 0.02


def fit(matrix: Array) -> PaintParameters:
    """Return parameters of a measured paint.

    Parameters
    ----------
    matrix : ndarray, shape (41, 49)
        Clean: row for emission, column for excitation.

    Returns
    -------
    PaintParameters
        Body colour and excitation as few knots, at most two glows as skewed bands.

    Notes
    -----
    Below the diagonal the matrix is taken apart into two products of an emission and an
    excitation, none negative (multiplicative weighted updates of D. D. Lee and H. S. Seung, Nature 401,
    788, 1999, over the cells that can be emission at all); each emission is then described by
    up to three bands of a catalogue, found by least squares without negative shares.
    """
    below = EMISSION_NM[:, None] > EXCITATION_NM[None, :]
    luminous = np.where(below, matrix, 0.0)
    body = np.array([matrix[row, row + SEEN.start] for row in range(len(EMISSION_NM))])
    glows = []
    for emission, excitation in _two_glows(luminous, below):
        strength = float(excitation.max())
        bands = _bands_of(emission)
        knots = thin_knots(EXCITATION_NM, excitation / strength, _EXCITATION_TOLERANCE)
        glows.append(GlowParameters(bands=bands, strength=min(1.0, round(strength, 4)), excitation=knots))
    return PaintParameters(
        body=thin_knots(EMISSION_NM, np.clip(body, 0.0, 1.0), _BODY_TOLERANCE), glows=tuple(glows)
    )


def _two_glows(luminous: Array, below: NDArray[np.bool_]) -> list[tuple[Array, Array]]:
    total = float(luminous.sum())
    if total < 0.05:
        return []
    # Cells count by how much an eye, and the lamps of this trade, make of them.
    seen = observer().sum(axis=1)[:, None] + 0.02
    lamps = np.where((EXCITATION_NM >= 350) & (EXCITATION_NM <= 420), 3.0, 1.0)
    weight = np.where(below, seen * lamps, 0.0)
    spectrum = luminous.sum(axis=1)
    distance = np.abs(EMISSION_NM - EMISSION_NM[int(np.argmax(spectrum * seen[:, 0]))])
    first = spectrum * np.exp(-((distance / 50) ** 2)) + 1e-6
    second = spectrum * (1 - np.exp(-((distance / 70) ** 2))) + 1e-6
    emission = np.stack([first / first.sum(), second / second.sum()], axis=1)
    excitation = np.stack([luminous.sum(axis=0)] * 2) * np.array([[0.9], [0.1]]) + 1e-6
    for _ in range(_ROUNDS):
        model = weight * (emission @ excitation)
        excitation *= (emission.T @ (weight * luminous)) / (emission.T @ model + 1e-12)
        model = weight * (emission @ excitation)
        emission *= ((weight * luminous) @ excitation.T) / (model @ excitation.T + 1e-12)
        size = emission.sum(axis=0)
        emission, excitation = emission / size, excitation * size[:, None]
    return [
        (emission[:, k], _within_reach(emission[:, k], excitation[k]))
        for k in range(2)
        if np.where(below, np.outer(emission[:, k], excitation[k]), 0.0).sum() > _LEAST_SHARE * total
    ]


def _within_reach(emission: Array, excitation: Array) -> Array:
    """Return the excitation without what noise put where hardly any of the emission can follow."""
    after = np.array([emission[nm < EMISSION_NM].sum() for nm in EXCITATION_NM])
    return np.where(after > 0.15, excitation, 0.0)


def _bands_of(emission: Array) -> tuple[Band, ...]:
    from scipy.optimize import nnls

    catalogue = [
        Band(peak=float(peak), width=float(width), skew=skew)
        for peak in range(390, 721, 5)
        for width in (20, 30, 45, 60, 90)
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
