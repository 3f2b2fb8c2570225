"""Colour on the screen: hue kept, what fits left alone, brightness in order."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palette.colour import D65_WHITE, encode_srgb, hue_distance, linear_srgb_of_xyz, xyz_of_swatch
from palette.preview.tone import linear_of_oklab, oklab_of_linear, screen_colours, screen_linear


def oklab_hue(linear):
    lab = oklab_of_linear(linear)
    return np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360


def test_oklab_is_ottossons():
    # B. Ottosson, "A perceptual color space for image processing" (2020), table of XYZ and Lab pairs.
    pairs = [
        ((0.950, 1.000, 1.089), (1.000, 0.000, 0.000)),
        ((1.000, 0.000, 0.000), (0.450, 1.236, -0.019)),
        ((0.000, 1.000, 0.000), (0.922, -0.671, 0.263)),
        ((0.000, 0.000, 1.000), (0.153, -1.415, -0.449)),
    ]
    for xyz, lab in pairs:
        assert oklab_of_linear(linear_srgb_of_xyz(np.array(xyz))) == pytest.approx(lab, abs=2e-3)


def test_there_and_back():
    linear = np.random.default_rng(0).uniform(-0.2, 2.0, (200, 3))
    assert np.allclose(linear_of_oklab(oklab_of_linear(linear)), linear, atol=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_a_colour_the_screen_has_is_left_alone(code):
    swatch = "#" + "".join(f"{v:02x}" for v in code)
    xyz = xyz_of_swatch(swatch, where="t")
    assert np.abs(screen_colours(xyz, white=D65_WHITE).astype(int) - code).max() <= 1


# XYZ of measured fluorescent materials (RIT open data, 1999; figures in measured.py): orange, cerise
# and yellow-green under D65, yellow-green and brightened white under a 365 nm lamp, white Y = 1.
PURE = [
    (1.0683, 0.6478, 0.0478),
    (0.8270, 0.4327, 0.1708),
    (0.6942, 1.0204, 0.1797),
    (0.2878, 0.8508, 0.2299),
    (0.7390, 0.3074, 3.7870),
]


@pytest.mark.parametrize("xyz", PURE)
def test_beyond_the_screen_hue_stays(xyz):
    shown = screen_linear(np.array(xyz), white=D65_WHITE)
    wanted = oklab_hue(linear_srgb_of_xyz(np.array(xyz)))
    assert float(hue_distance(oklab_hue(shown), wanted)) < 2.0
    assert shown.min() >= 0
    assert shown.max() <= 1
    # Cutting each channel off would have turned it further.
    cut = np.clip(linear_srgb_of_xyz(np.array(xyz)), 0, 1)
    assert hue_distance(oklab_hue(shown), wanted) <= hue_distance(oklab_hue(cut), wanted) + 0.5


@pytest.mark.parametrize("xyz", PURE)
def test_beyond_the_screen_colours_stay_strong(xyz):
    shown = screen_linear(np.array(xyz), white=D65_WHITE)
    lab = oklab_of_linear(shown)
    assert np.hypot(lab[1], lab[2]) > 0.13  # half of what the screen's purest colours have


def test_brighter_stays_brighter():
    glow = np.array([0.4, 0.8, 0.1])
    ladder = np.stack([k * glow for k in (0.2, 0.5, 1.0, 1.5, 3.0)])
    shown = screen_linear(ladder, white=D65_WHITE) @ np.array([0.2126, 0.7152, 0.0722])
    assert np.all(np.diff(shown) >= -1e-9)
    assert shown[0] < 0.4 * shown[2]


def test_white_of_the_light_is_white_on_the_screen():
    warm = np.array([1.0985, 1.0, 0.3558])  # illuminant A
    assert np.abs(screen_colours(warm, white=warm).astype(int) - 255).max() <= 1


def test_exposure_is_a_cameras():
    grey = 0.2 * D65_WHITE
    assert screen_colours(grey, white=D65_WHITE, exposure=2.0) == pytest.approx(
        encode_srgb(np.full(3, 0.4)), abs=1
    )
