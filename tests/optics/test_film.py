"""Film optics against closed forms, the differential equation, and what energy allows."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.linalg import expm

from palette.optics.film import (
    SURFACE_IN,
    SURFACE_OUT,
    Film,
    enter_surface,
    film_over,
    layer,
    leave_surface,
    on_ground,
    reflectance_over,
    reflectivity,
    scalar_layer,
)
from palette.spectrum import EXCITATION_NM

N = len(EXCITATION_NM)


# Kubelka 1948, hyperbolic form; values by closed form and by integrating dR/dx, agreeing to 1e-6.
@pytest.mark.parametrize(
    ("k", "s", "x", "ground", "over", "alone", "through"),
    [
        (0.1, 1, 1, 0, 0.461034, 0.461034, 0.445284),
        (0.1, 1, 1, 0.8, 0.712347, 0.461034, 0.445284),
        (0.1, 1, 1, 1, 0.828919, 0.461034, 0.445284),
        (1, 1, 1, 0.5, 0.275717, 0.260147, 0.164589),
        (0.01, 5, 1, 0.05, 0.828765, 0.827384, 0.162748),
        (0.01, 5, 1, 0.8, 0.890057, 0.827384, 0.162748),
        (2, 0.5, 0.5, 0.9, 0.175556, 0.092380, 0.291091),
        (0.5, 10, 0.2, 0.1, 0.627518, 0.618607, 0.289137),
        (0.25, 1, 3, 0.05, 0.496145, 0.495823, 0.079270),
    ],
)
def test_kubelka_munk_worked_values(k, s, x, ground, over, alone, through):
    r, t = scalar_layer(k, s, x)
    assert float(r) == pytest.approx(alone, abs=1e-6)
    assert float(t) == pytest.approx(through, abs=1e-6)
    assert float(reflectance_over(r, t, np.array(ground))) == pytest.approx(over, abs=1e-6)


# R∞ = 1 + K/S - √((K/S)² + 2 K/S); K/S = 0.25 gives exactly one half.
@pytest.mark.parametrize(
    ("ratio", "endless"),
    [(0.001, 0.956267), (0.01, 0.868226), (0.1, 0.641742), (0.25, 0.5), (1, 0.267949), (10, 0.045549)],
)
def test_an_endless_film_has_the_reflectivity(ratio, endless):
    assert float(reflectivity(np.array(ratio), np.array(1.0))) == pytest.approx(endless, abs=1e-6)
    r, t = scalar_layer(ratio, 1.0, 1e5)
    for ground in (0.0, 0.3, 1.0):
        assert float(reflectance_over(r, t, np.array(ground))) == pytest.approx(
            endless, abs=2e-3 * endless + 1e-6
        )


def test_limits_of_a_scalar_film():
    # K → 0: R0 = SX / (1 + SX), here 2/3, over 0.5 three quarters.
    r, t = scalar_layer(0.0, 1.0, 2.0)
    assert float(r) == pytest.approx(2 / 3, abs=1e-9)
    assert float(reflectance_over(r, t, np.array(0.5))) == pytest.approx(0.75, abs=1e-9)
    # S → 0: R = Rg exp(-2 K X).
    r, t = scalar_layer(0.5, 0.0, 1.0)
    assert float(reflectance_over(r, t, np.array(0.9))) == pytest.approx(0.331091, abs=1e-6)
    r, t = scalar_layer(1.0, 0.0, 1.0)
    assert float(reflectance_over(r, t, np.array(0.8))) == pytest.approx(0.108268, abs=1e-6)
    # A film so thick that cosh would overflow.
    r, t = scalar_layer(100.0, 50.0, 1000.0)
    assert np.isfinite(r)
    assert float(t) == 0.0


# Lambert-Beer, two passes: R = Rg 10^(-2 A), and K X = A ln 10 without scattering.
@pytest.mark.parametrize(
    ("absorbance", "twice"), [(0.1, 0.630957), (0.3, 0.251189), (0.5, 0.1), (1.0, 0.01)]
)
def test_two_passes_without_scattering(absorbance, twice):
    r, t = scalar_layer(absorbance * np.log(10), 0.0, 1.0)
    assert float(reflectance_over(r, t, np.array(1.0))) == pytest.approx(twice, abs=1e-6)


def test_a_film_obeys_its_differential_equation():
    k, s, x, ground = 0.3, 2.0, 0.7, 0.4
    found = solve_ivp(
        lambda _, r: s - 2 * (k + s) * r + s * r**2, (0, x), [ground], rtol=1e-10, atol=1e-12
    ).y[0, -1]
    r, t = scalar_layer(k, s, x)
    assert float(reflectance_over(r, t, np.array(ground))) == pytest.approx(found, abs=1e-8)
    assert (float(r), float(t)) == pytest.approx((0.497809, 0.320707), abs=1e-6)


# Saunderson 1942 with K1 = 0.04, K2 = 0.6, gloss excluded; internal 0.5 gives 0.274286.
@pytest.mark.parametrize(
    ("inside", "outside"),
    [(0, 0), (0.05, 0.019794), (0.3, 0.140488), (0.5, 0.274286), (0.9, 0.751304), (1, 0.96)],
)
def test_saunderson(inside, outside):
    found = leave_surface(np.array([inside, inside]), entering=0.04, kept=0.6)
    assert found[0] == pytest.approx(outside, abs=1e-6)
    assert enter_surface(found, entering=0.04, kept=0.6)[0] == pytest.approx(inside, abs=1e-12)


def test_surface_constants_are_fresnels():
    # ((n - 1) / (n + 1))² and the hemispherical mean of Fresnel's reflectance from inside, n = 1.5.
    n = 1.5
    assert pytest.approx(((n - 1) / (n + 1)) ** 2) == SURFACE_IN

    def inner(angle):
        sine = n * np.sin(angle)
        if sine >= 1:
            return 1.0
        out = np.arcsin(sine)
        if angle == 0:
            return ((n - 1) / (n + 1)) ** 2
        s = (np.sin(angle - out) / np.sin(angle + out)) ** 2
        p = (np.tan(angle - out) / np.tan(angle + out)) ** 2
        return (s + p) / 2

    critical = np.arcsin(1 / n)
    whole = sum(
        quad(lambda a: inner(a) * np.sin(2 * a), *span, limit=200)[0]
        for span in ((0, critical), (critical, np.pi / 2))
    )
    assert whole == pytest.approx(SURFACE_OUT, abs=2e-4)


def random_film(seed: int, strength: float = 1.0) -> Film:
    """Return a film whose fluorescence gives back at most every photon it takes."""
    rng = np.random.default_rng(seed)
    absorption, scattering = rng.uniform(0, 4, N), rng.uniform(0, 1.5, N)
    glow = np.tril(rng.uniform(0, 1, (N, N)) ** 4, -1)
    photons = (EXCITATION_NM @ glow) / EXCITATION_NM
    glow *= strength * absorption / np.maximum(photons, 1e-9)
    return Film(absorption=absorption, scattering=scattering, glow=glow)


def test_a_fluorescent_film_agrees_with_the_matrix_exponential():
    # The coupled two-flux equations, d/dx of (down, up), solved whole for half a coat.
    film = random_film(3, 0.8)
    loss, gain = np.diag(film.absorption + film.scattering), np.diag(film.scattering)
    half = film.glow / 2
    whole = expm(0.5 * np.block([[half - loss, gain + half], [-(gain + half), loss - half]]))
    top, right, low, last = whole[:N, :N], whole[:N, N:], whole[N:, :N], whole[N:, N:]
    reflected = -np.linalg.solve(last, low)
    passed = top + right @ reflected
    found = layer(film, 0.5)
    assert np.abs(found[0] - reflected).max() < 1e-4
    assert np.abs(found[1] - passed).max() < 1e-4


def test_the_diagonal_is_the_scalar_theory():
    film = random_film(5)
    reflected, passed = layer(film, 2.0)
    r, t = scalar_layer(film.absorption, film.scattering, 2.0)
    assert np.allclose(np.diag(reflected), r, atol=1e-9)
    assert np.allclose(np.diag(passed), t, atol=1e-9)


def test_no_film_is_the_ground_and_coats_add_up():
    film = random_film(7)
    grounds = np.stack([np.diag(np.full(N, 0.85)), np.diag(np.full(N, 0.03))])
    surfaces = film_over(film, (0, 1, 2, 3), grounds)
    assert np.abs(surfaces[0] - grounds).max() < 1e-12
    at_once = film_over(film, (3.0,), grounds)[0]
    assert np.abs(surfaces[3] - at_once).max() < 1e-4


def test_a_halved_film_laid_on_itself_is_the_film():
    film = random_film(11)
    ground = np.diag(np.full(N, 0.5))
    half, whole = layer(film, 0.5), layer(film, 1.0)
    assert np.abs(on_ground(*half, on_ground(*half, ground)) - on_ground(*whole, ground)).max() < 1e-4


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    coats=st.floats(0.1, 6.0),
    strength=st.floats(0.0, 1.0),
    white=st.floats(0.0, 0.96),
)
def test_no_more_energy_leaves_than_arrives(seed, coats, strength, white):
    surface = film_over(random_film(seed, strength), (coats,), np.diag(np.full(N, white))[None])[0, 0]
    assert surface.sum(axis=0).max() <= 1.0
    assert surface.min() >= -1e-12
    assert np.abs(np.triu(surface, 1)).max() < 1e-12  # never at a shorter wavelength
