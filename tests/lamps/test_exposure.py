"""Exposure against published limits: ICNIRP 2004, Directive 2006/25/EC annex I, IEC 62471:2006."""

import numpy as np
import pytest

from palette.lamps import Lamp, axis_intensity, exposure_at, risk_group_of
from palette.lamps.exposure import actinic_weight, line_shares


def lamp_giving(w_m2, *, at_mm=1000.0, peak=365.0, width=12.0):
    return Lamp(id="lamp", x_mm=0, y_mm=0, out_mm=5000.0, aim_x_mm=0, aim_y_mm=0, beam_deg=120,
                intensity_w_sr=w_m2 * (at_mm / 1000) ** 2, peak_nm=peak, width_nm=width)  # fmt: skip


# Table 1 of the 2004 guidelines, printed to one or two digits; the equation stays within 10 % of it.
@pytest.mark.parametrize(
    ("nm", "printed"), [(300, 0.300), (305, 0.060), (313, 0.006), (365, 0.00011), (400, 0.00003)]
)
def test_the_weight_is_that_of_the_printed_table(nm, printed):
    assert actinic_weight(np.array(nm)) == pytest.approx(printed, rel=0.1)


# Equation 2c itself, worked out in an open photobiology package.
@pytest.mark.parametrize(
    ("nm", "weight"), [(365, 1.123e-4), (370, 9.31e-5), (385, 5.30e-5), (395, 3.64e-5)]
)
def test_the_weight_is_that_of_the_equation(nm, weight):
    assert actinic_weight(np.array(nm)) == pytest.approx(weight, rel=2e-3)


def test_shares_of_two_usual_lines():
    # 1 nm sums: a 365/12 nm line is all UV-A; of a 395/15 nm line 80.6 % is below 400 nm.
    assert line_shares(365, 12) == pytest.approx((1.0000, 1.144e-4), rel=1e-3)
    assert line_shares(395, 15) == pytest.approx((0.8063, 3.24e-5), rel=2e-3)


# 10 000 J/m² a day: 1 mW/cm² (10 W/m²) for 1000 s; 0.3472 W/m² all 8 h.
@pytest.mark.parametrize(
    ("w_m2", "seconds"), [(0.3472, 28800), (0.5, 20000), (1, 10000), (10, 1000), (33.33, 300), (100, 100)]
)
def test_seconds_to_the_limit_at_the_eye(w_m2, seconds):
    found = exposure_at("there", (0.0, 0.0, 4000.0), [lamp_giving(w_m2)])
    assert found.uva_w_m2 == pytest.approx(w_m2, rel=1e-9)
    assert found.eye_s == pytest.approx(seconds, rel=1e-3)
    assert found.within_day == (w_m2 < 0.3473)


def test_skin_is_bound_by_the_weighted_limit():
    # A published worked example: 365 nm at 10 W/m² reaches 30 J/m² weighted after 27 273 s
    # with the printed S = 1.1e-4; the 12 nm wide line weighs 1.144e-4.
    found = exposure_at("there", (0.0, 0.0, 4000.0), [lamp_giving(10)])
    assert found.skin_s == pytest.approx(27_273 * 1.1e-4 / 1.144e-4, rel=1e-3)


def test_light_beyond_400_nm_is_not_uv_a():
    found = exposure_at("there", (0.0, 0.0, 4000.0), [lamp_giving(1, peak=395, width=15)])
    assert found.eye_s == pytest.approx(12_402, rel=1e-3)


def test_the_wall_throws_some_of_it_back():
    # 5 m before the wall a lamp of 10 W/sr puts 0.4 W/m² on it; behind the lamp only that counts.
    found = exposure_at("behind", (0.0, 0.0, 9000.0), [lamp_giving(10)], thrown_back=0.1)
    assert found.uva_w_m2 == pytest.approx(0.04, rel=1e-6)


# IEC 62471 steps at 200 mm: 10, 33 and 100 W/m² of UV-A. At 395 nm S(λ) is 3.6e-5:
# these four are 0.0004, 0.0004, 0.0012 and 0.004 W/m² weighted, never a step ahead of the UV-A.
@pytest.mark.parametrize(("w_m2", "group"), [(9.9, "exempt"), (10.1, "RG1"), (34, "RG2"), (101, "RG3")])
def test_the_risk_group_is_read_at_200_mm(w_m2, group):
    assert risk_group_of(lamp_giving(w_m2, at_mm=200.0, peak=395.0, width=1.0)) == group


def test_a_small_flood_is_no_toy():
    # 6 W in 90° is 2.86 W/sr: 71.6 W/m² at 200 mm, between 33 and 100.
    lamp = Lamp(id="flood", x_mm=0, y_mm=0, out_mm=1000, aim_x_mm=0, aim_y_mm=0, beam_deg=90,
                intensity_w_sr=axis_intensity(6, 90))  # fmt: skip
    assert risk_group_of(lamp) == "RG2"
