"""A plausible paint from two colours: how it looks by day and how under a blacklight.

Infinitely many paints have a given pair of looks. The one chosen here glows in few neighbouring
bands as wide as a dye's, answers visible light as strongly as measured daylight-fluorescent
paints do if its daylight colour leaves room for that, and has the smoothest body colour that
makes up the rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from palette.colour import Array, difference, lab_of_xyz
from palette.light import BLACKLIGHT, DAYLIGHT, Light, light_unit, spectrum_of, white_of
from palette.optics.film import Film, film_over
from palette.optics.finish import Finish, Glow, Opacity, clear_body, film_of
from palette.optics.ground import WHITE_GROUND, ground_matrix
from palette.spectrum import EMISSION_NM, EXCITATION_NM, SEEN, observer, skewed_band, xyz_of_radiance

__all__ = ["OPACITIES", "SwatchFilm", "body_of_colour", "film_of_swatches"]

_ROUNDS = 8

ALIKE = 1.0
"""CIEDE2000 within which both looks must come back."""

# Widths and skew of emission, nm: measured pigments have 50 to 56 nm; a narrow band, dearer, lets
# screen colours at the edge of what dyes can do be met.
_WIDTHS, _SKEW = ((54.0, 1.0), (30.0, 1.6), (20.0, 2.6)), 1.6

# Efficiency under visible light over that at 365 nm: 2.5, 2.9 and 2.7 for a measured pink, orange
# and yellow-green (RIT open bispectral data, 1999), more for the yellow and green there; a paint
# darker by day has less.
_VISIBLE_SHARES = (2.6, 3.5, 2.0, 1.5, 1.0, 0.7, 0.4, 0.2, 0.1, 0.0)

# Where the visible part of an excitation sets in, nm: with violet, as a rule; with green, in pinks
# and violets, whose bodies send blue back (the measured pink is excited from 462 nm on).
_WITH_VIOLET, _WITH_GREEN = (370.0, 420.0), (470.0, 510.0)


@dataclass(frozen=True, slots=True)
class _Guess:
    """What visible light excites: from where on, nm, and up to the glow's mean or strongest band."""

    rise: tuple[float, float]
    strongest: bool


# Of a glow with two bands the stronger may be the one that visible light excites.
_GUESSES = tuple(
    _Guess(rise, strongest) for strongest in (False, True) for rise in (_WITH_VIOLET, _WITH_GREEN)
)

# The darkest body: of a glowing paint, as measured (0.02 to 0.03); of an ordinary one.
_GLOWING_FLOOR, _DARKEST = 0.02, 0.0005

_MOST_EFFICIENCY = 0.62
"""The greatest measured there is 0.616."""


# A clear film is tried first; paints brighter than the ground, whites above all, are opaque.
OPACITIES: tuple[Opacity, ...] = ("clear", "opaque")
_WHITEST = 0.955  # just below what leaves a surface that throws 0.04 back


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SwatchFilm:
    """A film made from swatches, how far (CIEDE2000) it is from each, and what to tell about it."""

    film: Film
    off_daylight: float
    off_blacklight: float
    notes: tuple[str, ...]

    @property
    def off(self) -> float:
        """The larger of the two."""
        return max(self.off_daylight, self.off_blacklight)


def film_of_swatches(daylight: Array, blacklight: Array, *, coats: int, where: str) -> SwatchFilm:
    """Return a plausible film whose looks over white are two given colours.

    Parameters
    ----------
    daylight, blacklight : ndarray, shape (3,)
        XYZ, white Y = 1, D65: under D65, and under a 365 nm LED on the scale of `white_of`.
    coats : int
        Coats over white that the swatches show.
    where : str
        The paint, for messages.

    Notes
    -----
    Where no physical paint has both looks, the nearest found is returned and `notes` says which
    look is off, and by how much.
    """
    best: SwatchFilm | None = None
    for guess, opacity in product(_GUESSES, OPACITIES):
        for tried in _closer_and_closer(daylight, blacklight, coats, opacity, guess):
            if best is None or tried.off < best.off:
                best = tried
        if best is not None and best.off < ALIKE:
            break
    assert best is not None
    off = [
        f"{off:.1f} CIEDE2000 off its {look} swatch"
        for look, off in (("daylight", best.off_daylight), ("blacklight", best.off_blacklight))
        if off > ALIKE
    ]
    told = "no physical paint was found with both swatches; the nearest is used"
    notes = (f"{where}: {told}, {' and '.join(off)}.",) if off else ()
    return replace(best, notes=notes)


def _closer_and_closer(
    daylight: Array, blacklight: Array, coats: int, opacity: Opacity, guess: _Guess
) -> Iterator[SwatchFilm]:
    """Yield films whose looks come closer to two colours, until they are met or no closer."""
    ground = ground_matrix(WHITE_GROUND)
    wanted_day, wanted_dark = np.asarray(daylight, float), np.asarray(blacklight, float)
    asked_day, asked_dark = wanted_day, wanted_dark
    least = np.inf
    centre: float | None = None
    for _ in range(_ROUNDS):
        finish, centre = _finish(asked_day, asked_dark, coats, opacity, guess, centre)
        film = film_of(finish, coats=coats, ground=ground, opacity=opacity)
        surface = film_over(film, (coats,), ground[None])[0, 0][SEEN]
        day, dark = _look(surface, DAYLIGHT), _look(surface, BLACKLIGHT)
        off_day, off_dark = _off(day, wanted_day, DAYLIGHT), _off(dark, wanted_dark, BLACKLIGHT)
        tried = SwatchFilm(film=film, off_daylight=off_day, off_blacklight=off_dark, notes=())
        yield tried
        if tried.off < 0.3 * ALIKE or tried.off > 0.98 * least:
            return
        least = tried.off
        # What the film adds or takes on its way is asked for in advance the next time.
        asked_day = np.clip(asked_day + (wanted_day - day), 1e-4, None)
        asked_dark = np.clip(asked_dark + (wanted_dark - dark), 1e-6, None)


def body_of_colour(xyz: Array) -> Array:
    """Return the smoothest reflectance, shape (49,), that has a colour under D65, white Y = 1.

    No brighter than the whitest paint; a colour outside what reflection can do gets the nearest.
    """
    body, _ = _smooth_body(np.asarray(xyz, float), _DARKEST, np.full(len(EMISSION_NM), _WHITEST))
    return np.concatenate([np.full(SEEN.start, min(float(body[0]), 0.05)), body])


def _look(surface: Array, light: Light) -> Array:
    return xyz_of_radiance(surface @ spectrum_of(light)) / light_unit(light)


def _off(xyz: Array, wanted: Array, light: Light) -> float:
    white = white_of(light)
    # A swatch's white is the screen's D65; the grid's own D65 differs from it in the fifth digit.
    return float(difference(lab_of_xyz(xyz, white), lab_of_xyz(wanted)))


def _finish(
    daylight: Array, blacklight: Array, coats: int, opacity: Opacity, guess: _Guess, centre: float | None
) -> tuple[Finish, float | None]:
    """Return the most plausible finish with two looks, and the middle of its emission.

    A middle found for nearly the same looks is taken as it is: seeking it costs most of the time.
    """
    lamp, day = spectrum_of(BLACKLIGHT), spectrum_of(DAYLIGHT)
    ground = ground_matrix(WHITE_GROUND)
    radiance, centre = _emission(blacklight * light_unit(BLACKLIGHT), centre)
    radiated = float(radiance.sum())
    emission = np.zeros(len(EXCITATION_NM))
    emission[SEEN] = radiance / max(radiated, 1e-12)
    found: tuple[float, Finish] | None = None
    middle = float(EXCITATION_NM[np.argmax(emission)] if guess.strongest else emission @ EXCITATION_NM)
    for share in _VISIBLE_SHARES:
        efficiency = _excitation(middle, share, guess.rise)
        efficiency = np.minimum(efficiency * radiated / float(lamp @ efficiency), _MOST_EFFICIENCY)
        luminous = np.tril(emission[:, None] * efficiency[None, :], -1)
        glowing = xyz_of_radiance(luminous[SEEN] @ day) / light_unit(DAYLIGHT)
        if opacity == "clear":
            ceiling = clear_body(luminous, coats=coats, ground=ground)[SEEN]
        else:
            photons = (EXCITATION_NM @ luminous) / EXCITATION_NM
            ceiling = np.minimum(_WHITEST, 1 - 1.15 * photons)[SEEN]
        floor = _GLOWING_FLOOR if efficiency.max() > 0.05 else _DARKEST
        body, missed = _smooth_body(daylight - glowing, floor, ceiling)
        # The unseen ultraviolet is left to the glow, which takes what it needs of it.
        body = np.concatenate([np.minimum(body[0], np.diag(ground)[: SEEN.start]), body])
        finish = Finish(body=body, glows=(Glow(emission=emission, efficiency=efficiency),))
        if found is None or missed < found[0] - 1e-4:
            found = (missed, finish)
        if missed < 2e-3:
            break
    assert found is not None
    return found[1], centre


def _emission(xyz: Array, centre: float | None) -> tuple[Array, float | None]:
    """Return the emission, shape (41,), of few neighbouring bands that has an XYZ sum; its middle."""
    from scipy.optimize import linprog, nnls

    if xyz.max() <= 1e-9:
        return np.zeros(len(EMISSION_NM)), None
    kinds = [(float(p), w, cost) for w, cost in _WIDTHS for p in range(410, 681, 5)]
    shapes = np.stack([skewed_band(p, w, _SKEW) for p, w, _ in kinds], axis=1)
    seen = observer().T @ shapes / xyz.sum()
    wanted = xyz / xyz.sum()
    peaks, dear = np.array([k[0] for k in kinds]), np.array([k[2] for k in kinds])
    best: tuple[float, Array, float] | None = None
    for middle in np.arange(430.0, 661.0, 10) if centre is None else (centre,):
        cost = dear * (1 + ((peaks - middle) / 30) ** 2)
        answer = linprog(cost, A_eq=seen, b_eq=wanted, bounds=(0, None), method="highs")
        if answer.status == 0 and (best is None or answer.fun < best[0]):
            best = (float(answer.fun), np.asarray(answer.x), float(middle))
    if best is None:
        return np.asarray(shapes @ nnls(seen, wanted)[0]), None
    return np.asarray(shapes @ best[1]), best[2]


def _excitation(emitted_nm: float, visible: float, rise_nm: tuple[float, float]) -> Array:
    """Return efficiency over the exciting wavelengths, 1 in the near ultraviolet."""
    ultraviolet = np.interp(EXCITATION_NM, (300, 340, 360, 400, 430), (0.6, 0.8, 1.0, 1.0, 0.0))
    rise = np.interp(EXCITATION_NM, rise_nm, (0.0, 1.0))
    fall = 1 / (1 + np.exp((EXCITATION_NM - (emitted_nm - 18)) / 7))
    return np.maximum(ultraviolet, visible * rise) * fall + 1e-6 * (EXCITATION_NM < 400)


def _smooth_body(xyz: Array, floor: float, ceiling: Array) -> tuple[Array, float]:
    """Return the smoothest reflectance with an XYZ under D65, shape (41,), and by how much it misses.

    Smoothest in the sense of S. A. Burns, Color Res. Appl. 45, 8 (2020), by bounded least squares.
    """
    from scipy.optimize import lsq_linear

    weigh = (observer() * spectrum_of(DAYLIGHT)[SEEN][:, None]).T / light_unit(DAYLIGHT)
    second = np.diff(np.eye(len(ceiling)), 2, axis=0)
    rows = np.concatenate([2000 * weigh, second])
    sought = np.concatenate([2000 * xyz, np.zeros(len(second))])
    bounds = (np.full(len(ceiling), floor), np.maximum(ceiling, floor + 1e-3))
    body = np.asarray(lsq_linear(rows, sought, bounds=bounds, method="bvls").x)
    return body, float(np.abs(weigh @ body - xyz).max())
