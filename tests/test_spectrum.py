"""The grid, the observer, resampling; colour-science is the referee."""

import colour
import numpy as np
import pytest

from palette.errors import InputError
from palette.illuminant import daylight, incandescent_a, table_d50, table_d65
from palette.spectrum import (
    EMISSION_NM,
    EXCITATION_NM,
    SEEN,
    gaussian_band,
    line_band,
    observer,
    on_grid,
    skewed_band,
    xyz_of_radiance,
)

pytestmark = pytest.mark.filterwarnings("ignore")


def test_the_observer_is_the_cie_1931_one():
    known = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    assert np.allclose(observer(), [known[nm] for nm in EMISSION_NM], atol=1e-12)
    # CIE 1931, sums of the 10 nm table over 380 to 780 nm.
    assert observer().sum(axis=0) == pytest.approx([10.68364, 10.68578, 10.67690], abs=1e-5)


def table_of(name):
    known = colour.SDS_ILLUMINANTS[name]
    return np.array([known[nm] for nm in EXCITATION_NM])


@pytest.mark.parametrize(
    ("light", "name", "off"),
    # colormath's D tables are an older, smoothed edition: up to a third of a unit off for D65.
    [(table_d65, "D65", 0.36), (table_d50, "D50", 1.08), (incandescent_a, "A", 0.11)],
)
def test_illuminants_agree_with_colour_science(light, name, off):
    assert np.abs(light() - table_of(name)).max() < off


def test_daylight_reaches_into_the_ultraviolet():
    # CIE standard illuminant D65 at 300, 310, 320, 330 nm.
    assert table_d65()[:4] == pytest.approx([0.0341, 3.2945, 20.236, 37.0535], abs=5e-4)
    assert table_d50()[:4] == pytest.approx(table_of("D50")[:4], abs=2e-3)


def test_daylight_of_a_temperature_is_the_cies():
    # 7000 K on the daylight locus, by colour-science's own code and constants.
    xy = colour.temperature.CCT_to_xy_CIE_D(7000)
    known = colour.sd_CIE_illuminant_D_series(xy, M1_M2_rounding=True)
    assert np.allclose(daylight(7000), [known[nm] for nm in EXCITATION_NM], atol=0.02)


def test_white_points_of_ten_nanometre_sums():
    # colour-science, summed 380 to 780 by 10 nm: 95.0174 / 108.8128 and 109.8311 / 35.5457.
    d65 = xyz_of_radiance(table_d65()[SEEN])
    a = xyz_of_radiance(incandescent_a()[SEEN])
    assert d65 / d65[1] == pytest.approx([0.950174, 1, 1.088128], abs=6e-4)
    assert a / a[1] == pytest.approx([1.098311, 1, 0.355457], abs=6e-4)


def test_bands():
    # Samples of a 365 nm lamp, 12 nm wide: 360 and 370 nm lie 5 nm off, exp(-4 ln2 (5/12)²).
    band = gaussian_band(365, 12)
    assert band[[5, 6, 7, 8]] == pytest.approx([0.01314, 0.61795, 0.61795, 0.01314], abs=1e-5)
    assert line_band(404.7).sum() == pytest.approx(1)
    assert line_band(404.7) @ EXCITATION_NM == pytest.approx(404.7)


@pytest.mark.parametrize("skew", [1.0, 1.6, 2.4])
def test_a_skewed_band_has_its_width(skew):
    # Half width toward the red over half width toward the blue is the skew; at these points half is left.
    width, peak = 60.0, 560.0
    short, long = width / (1 + skew), width * skew / (1 + skew)
    band = skewed_band(peak, width, skew)
    top = band[np.argmin(np.abs(EMISSION_NM - peak))]
    assert band.sum() == pytest.approx(1)
    assert np.interp(peak - short, EMISSION_NM, band) / top == pytest.approx(0.5, abs=0.05)
    assert np.interp(peak + long, EMISSION_NM, band) / top == pytest.approx(0.5, abs=0.05)


def test_fine_samples_keep_power_and_place():
    nm = np.arange(340.0, 391.0, 1.0)
    power = np.exp(-4 * np.log(2) * ((nm - 367) / 9) ** 2)
    found = on_grid(nm, power, where="lamp")
    assert found.sum() * 10 == pytest.approx(power.sum(), rel=1e-6)
    assert (found @ EXCITATION_NM) / found.sum() == pytest.approx(367, abs=0.01)


def test_samples_on_the_grid_stay_what_they_are():
    values = np.linspace(1, 2, len(EXCITATION_NM))
    assert np.array_equal(on_grid(EXCITATION_NM, values, where="lamp"), values)


def test_an_even_fine_spectrum_stays_even():
    nm = np.arange(250.0, 850.0, 2.5)
    assert np.allclose(on_grid(nm, np.full(len(nm), 3.0), where="lamp"), 3.0)
    nm = np.arange(300.0, 781.0, 1.0)
    assert np.allclose(on_grid(nm, np.full(len(nm), 3.0), where="lamp"), 3.0)


@pytest.mark.parametrize(
    ("nm", "power", "words"),
    [
        ([400], [1], "fewer than two wavelengths"),
        ([400, 390], [1, 1], "do not rise at 390 nm"),
        ([100, 400], [1, 1], "the wavelength 100 is out of range"),
        ([900, 1000], [1, 1], "miss 300 to 780 nm"),
        ([400, 410], [1, -1], "the power at 410 nm is negative"),
        ([400, 410], [1, float("nan")], "not a number"),
    ],
)
def test_wrong_samples_are_refused(nm, power, words):
    with pytest.raises(InputError, match=words):
        on_grid(np.array(nm), np.array(power), where="lamp.csv")
