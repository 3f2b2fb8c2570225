"""A paint in few numbers: body colour, emission bands, strength, what excites it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.optics.finish import Finish, Glow
from palette.spectrum import EXCITATION_NM, SEEN, skewed_band

__all__ = ["Band", "GlowParameters", "Knots", "PaintParameters", "finish_of_parameters"]

Knots = tuple[tuple[float, float], ...]
"""A curve as pairs of wavelength in nm and value, joined by straight lines, level beyond its ends."""

# Share of the best efficiency that is left in the near ultraviolet where nobody gave an
# excitation curve: the measured pink, orange and yellow-green (RIT open bispectral data, 1999)
# keep 0.40, 0.35 and 0.38 of it at 365 nm.
_LEFT_AT_365 = 0.38
# A brightener lives on the ultraviolet: its excitation where nobody gave one, from the measured
# brightened white of the same data (half of its maximum at 338 and 417 nm, highest at 380 nm).
_BRIGHTENER: Knots = ((300, 0.15), (320, 0.30), (338, 0.5), (360, 0.85), (380, 1.0), (400, 0.9),
                      (417, 0.5), (430, 0.0))  # fmt: skip
_BRIGHTENER_BELOW_NM = 480.0  # a peak below is a brightener's; judgement

# No dye gives back a photon more than it took.
_MOST_YIELD = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One emission band.

    Parameters
    ----------
    peak, width : float
        nm; width is the full width at half maximum.
    skew : float
        Long-wave half width over short-wave half width. 2 is what the measured orange has.
    share : float
        Of the glow's radiation.
    """

    peak: float
    width: float = 55.0
    skew: float = 1.8
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GlowParameters:
    """One fluorescence.

    Parameters
    ----------
    bands : tuple of Band
    strength : float
        Power radiated over power received in the band that excites best, 0 to 1.
    excitation : Knots or None
        Efficiency by exciting wavelength, relative to `strength`; None derives it from what
        the body colour absorbs.
    """

    bands: tuple[Band, ...]
    strength: float
    excitation: Knots | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintParameters:
    """A finished paint: reflectance without fluorescence, and its glows.

    Parameters
    ----------
    body : Knots
        Reflectance without fluorescence, a share, as (nm, value) pairs joined by straight lines.
    glows : tuple of GlowParameters
        What it gives off, and what excites it.
    """

    body: Knots
    glows: tuple[GlowParameters, ...] = ()


def finish_of_parameters(parameters: PaintParameters, *, where: str) -> Finish:
    """Return the finish that parameters describe.

    Raises
    ------
    InputError
        A reflectance or strength lies outside 0 to 1, a band outside the emission grid, or a
        glow would give off more photons than the body takes.
    """
    body = curve(parameters.body)
    faults = []
    if not (np.all(body >= 0) and np.all(body <= 1)):
        worst = body[np.argmax(np.abs(body - 0.5))]
        faults.append(InputError(where, f"the body reflects {worst:.3g}", "write reflectances from 0 to 1"))
    glows = []
    for glow in parameters.glows:
        try:
            glows.append(_glow_of(glow, body, where))
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    _check_yield(glows, body, where)
    return Finish(body=body, glows=tuple(glows))


def curve(knots: Knots) -> Array:
    """Return a curve of knots on the excitation grid, shape (49,)."""
    points = np.array(sorted(knots), float)
    found: Array = np.interp(EXCITATION_NM, points[:, 0], points[:, 1])
    return found


def _glow_of(glow: GlowParameters, body: Array, where: str) -> Glow:
    if not 0 <= glow.strength <= 1:
        what = f"the strength of its glow is {glow.strength:g}"
        raise InputError(where, what, "write a share from 0 to 1; no paint gives off more than it takes")
    emission = np.zeros(len(EXCITATION_NM))
    for band in glow.bands:
        sane = (
            380 <= band.peak <= 780
            and 10 <= band.width <= 200
            and 0.2 <= band.skew <= 5
            and band.share >= 0
        )
        if not sane:
            what = f"its emission band at {band.peak:g} nm, {band.width:g} nm wide, cannot be used"
            mend = "write a peak from 380 to 780, a width from 10 to 200 nm, a skew from 0.2 to 5"
            raise InputError(where, what, mend)
        emission[SEEN] += band.share * skewed_band(band.peak, band.width, band.skew)
    if emission.sum() <= 0:
        raise InputError(where, "its glow has no emission", "give a band a share above 0")
    emission /= emission.sum()
    if glow.excitation is not None:
        return Glow(emission=emission, efficiency=glow.strength * curve(glow.excitation))
    peak = float(EXCITATION_NM[np.argmax(emission)])
    taken = curve(_BRIGHTENER) if peak < _BRIGHTENER_BELOW_NM else _taken_by(body, peak)
    return Glow(emission=emission, efficiency=glow.strength * taken)


def _taken_by(body: Array, peak: float) -> Array:
    """Return excitation, greatest value 1, as the absorption of a body colour short of the peak."""
    taken = np.clip(1 - body / max(float(body[SEEN].max()), 1e-6), 0, 1)
    # Toward its emission peak a dye stops absorbing; light past it cannot excite it.
    taken = taken / (1 + np.exp((EXCITATION_NM - (peak - 8)) / 6))
    top = float(taken[SEEN].max())
    taken = taken / top if top > 0 else taken
    ultraviolet = np.interp(EXCITATION_NM, (300, 340, 365, 420), (0.25, 0.30, _LEFT_AT_365, 1.0))
    at_420 = float(np.interp(420, EXCITATION_NM, taken))
    found: Array = np.where(EXCITATION_NM < 420, ultraviolet * max(at_420, 0.3), taken)
    return found


def _check_yield(glows: list[Glow], body: Array, where: str) -> None:
    for glow in glows:
        allowed = np.arange(len(EXCITATION_NM))[:, None] > np.arange(len(EXCITATION_NM))[None, :]
        luminous = np.where(allowed, glow.emission[:, None] * glow.efficiency[None, :], 0.0)
        photons = (EXCITATION_NM @ luminous) / EXCITATION_NM
        taken = 1 - body
        # Below 380 nm nobody sees the body; what it takes there is not said by its colour.
        over = (photons > _MOST_YIELD * taken + 0.02) & (EXCITATION_NM[SEEN][0] <= EXCITATION_NM)
        over |= photons > _MOST_YIELD + 0.02
        if over.any():
            at = int(np.argmax(np.where(over, photons, 0)))
            what = (
                f"at {EXCITATION_NM[at]:.0f} nm its glow gives off {photons[at]:.2f} photons for each that "
                f"arrives, and its body takes only {taken[at]:.2f}"
            )
            raise InputError(
                where, what, "lower the strength or darken the body: a yield above 1 cannot be"
            )
