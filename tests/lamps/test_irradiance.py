"""Irradiance against closed forms: inverse square, cosine, cosᵐ beams, a Lambert line."""

import math

import numpy as np
import pytest

from palette.errors import InputError
from palette.lamps import (
    Lamp,
    axis_intensity,
    intensity_of_reading,
    irradiance_facing,
    irradiance_on_wall,
    map_irradiance,
)
from palette.lamps.lamp import lobe_exponent


def lamp(x=0.0, y=0.0, out=1000.0, aim=None, beam=120.0, watts_sr=5.0, **more):
    aim_x, aim_y = aim if aim is not None else (x, y)
    return Lamp(id="lamp", x_mm=x, y_mm=y, out_mm=out, aim_x_mm=aim_x, aim_y_mm=aim_y,
                beam_deg=beam, intensity_w_sr=watts_sr, **more)  # fmt: skip


@pytest.mark.parametrize(("metres", "expected"), [(0.5, 20.0), (1.0, 5.0), (2.0, 1.25)])
def test_a_point_obeys_the_inverse_square(metres, expected):
    # E = I/d² with I = 5 W/sr.
    found = irradiance_on_wall([lamp(out=1000 * metres)], np.array([0.0, 0.0]))
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("aside", "expected"), [(0.0, 2.0), (1000.0, 1.28), (2000.0, 0.5)])
def test_a_lambert_lamp_falls_with_the_fourth_power_of_the_cosine(aside, expected):
    # 8 W/sr, 2 m off: I cos⁴/h² = 2, 1.28, 0.5 W/m².
    found = irradiance_on_wall([lamp(out=2000.0, watts_sr=8.0)], np.array([aside, 0.0]))
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("degrees", "expected"), [(30, 8.6603), (45, 7.0711), (60, 5.0), (75, 2.5882)])
def test_slanting_light_is_weaker_by_the_cosine(degrees, expected):
    # A lamp 1 m away that gives 10 W/m² squarely, its axis through the point, at an angle to the wall.
    angle = math.radians(degrees)
    tilted = lamp(x=1000 * math.sin(angle), out=1000 * math.cos(angle), aim=(0, 0), watts_sr=10.0)
    found = irradiance_on_wall([tilted], np.array([0.0, 0.0]))
    assert found == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(("beam", "exponent"), [(120, 1), (90, 2), (60, 4.8188), (30, 19.994)])
def test_the_beam_angle_sets_the_lobe(beam, exponent):
    # m = -ln2 / ln cos(half angle).
    assert lobe_exponent(beam) == pytest.approx(exponent, rel=1e-4)
    # Half the beam angle off the axis the lamp is half as strong, by definition.
    half = math.radians(beam / 2)
    place = np.array([1000 * math.sin(half), 0.0, 1000 - 1000 * math.cos(half)])
    assert irradiance_facing([lamp(beam=beam)], place) == pytest.approx(2.5, rel=1e-9)


def test_all_the_light_of_a_lamp_lands_on_a_wall_large_enough():
    # A wall 100 times as wide as the lamp is far off catches nearly the whole half space: 3 W.
    source = lamp(beam=90, watts_sr=axis_intensity(3.0, 90))
    side = np.arange(-50_000, 50_000, 100.0) + 50
    x, y = np.meshgrid(side, side)
    total = irradiance_on_wall([source], np.stack([x, y], axis=-1)).sum() * 0.01
    assert total == pytest.approx(3.0, rel=1e-3)


def test_three_watts_of_lambert_light():
    # I0 = P/π = 0.95493 W/sr: 23.873 W/m² at 0.2 m.
    assert axis_intensity(3.0, 120) == pytest.approx(0.95493, rel=1e-5)
    source = lamp(out=200, watts_sr=axis_intensity(3.0, 120))
    assert irradiance_on_wall([source], np.array([0.0, 0.0])) == pytest.approx(23.873, rel=1e-4)


def test_two_lamps_at_half_the_distance():
    # Two at half the distance give 2 × 4 times one lamp's irradiance.
    one = irradiance_on_wall([lamp(out=2000)], np.array([0.0, 0.0]))
    two = irradiance_on_wall([lamp(out=1000), lamp(out=1000)], np.array([0.0, 0.0]))
    assert two == pytest.approx(8 * one, rel=1e-9)


def test_a_tube_is_a_line_of_light():
    # Lambert line of length L before its middle: (I/L) d² ∫ds/(d²+s²)² in closed form.
    length, d = 1.2, 0.5
    half = length / 2
    whole = 2 * (half / (2 * d**2 * (half**2 + d**2)) + math.atan(half / d) / (2 * d**3)) * d**2
    tube = lamp(out=500, watts_sr=4.0, length_mm=1200.0)
    found = irradiance_on_wall([tube], np.array([0.0, 0.0]))
    assert found == pytest.approx(4.0 / length * whole, rel=1e-3)


@pytest.mark.parametrize("length", [0.0, 1200.0])
def test_a_reading_comes_back_where_it_was_taken(length):
    strength = intensity_of_reading(2.5, 700.0, beam_deg=120, length_mm=length)
    source = lamp(out=700, watts_sr=strength, length_mm=length)
    assert irradiance_on_wall([source], np.array([0.0, 0.0])) == pytest.approx(2.5, rel=1e-6)


def test_the_map_of_a_far_lamp_is_even_and_of_a_near_one_is_not():
    far = map_irradiance([lamp(x=500, y=500, out=50_000)], 1000, 1000)
    near = map_irradiance([lamp(x=500, y=500, out=200)], 1000, 1000)
    assert far.evenness == pytest.approx(1.0, abs=1e-3)
    # The corner cell's middle is 0.7012 m aside: cos⁴ = (0.04/(0.04+0.4917))² against the mean.
    assert near.most / near.least == pytest.approx(((0.04 + 2 * 0.4958**2) / (0.04 + 2 * 0.0042**2)) ** 2,
                                                   rel=1e-2)  # fmt: skip
    assert near.least <= near.mean <= near.most


def test_a_lamp_behind_the_panel_is_refused():
    with pytest.raises(InputError, match="behind the panel"):
        lamp(out=-300)
    with pytest.raises(InputError, match="beam"):
        lamp(beam=180)
    with pytest.raises(InputError, match="strength"):
        lamp(watts_sr=0)


@pytest.mark.parametrize(("length", "out"), [(600.0, 100.0), (1200.0, 200.0), (1500.0, 500.0)])
@pytest.mark.parametrize("aside", [(0.0, 0.0), (600.0, 0.0), (750.0, 300.0)])
def test_a_tube_is_the_integral_of_its_parts_beside_it_too(length, out, aside):
    # ∫ I/L · cosθ · cosφ / r² ds by adaptive quadrature (QUADPACK), both angles from the wall's normal.
    from scipy.integrate import quad

    def part(s):
        squared = (aside[0] - s) ** 2 + aside[1] ** 2 + out**2
        return 4.0 / length * out**2 / squared**2 * 1e6

    wanted, _ = quad(part, -length / 2, length / 2, epsabs=0, epsrel=1e-10)
    found = irradiance_on_wall([lamp(out=out, watts_sr=4.0, length_mm=length)], np.array(aside))
    assert found == pytest.approx(wanted, rel=1e-5)


def test_a_lamp_that_is_no_blacklight_is_refused():
    # A 254 nm lamp is weighted 0.5 by the 2004 guidelines, 4500 times a 365 nm one: never on people.
    with pytest.raises(InputError, match="a line at 254 nm, 12 nm wide, is no blacklight's"):
        lamp(peak_nm=254)
    with pytest.raises(InputError, match="no blacklight's"):
        lamp(width_nm=300)


def test_what_a_picture_is_multiplied_by_has_mean_one():
    near = map_irradiance([lamp(x=250, y=500, out=800)], 1000, 1000)
    assert near.relative().mean() == pytest.approx(1.0)
