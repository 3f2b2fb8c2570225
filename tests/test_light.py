"""Lights by name, as LEDs, as mixtures; the white each is seen against."""

import numpy as np
import pytest

from palette.colour import D65_WHITE
from palette.errors import InputError
from palette.light import (
    BLACKLIGHT,
    DAYLIGHT,
    light_unit,
    spectrum_of,
    white_of,
)
from palette.light_words import LIGHT_NAMES, parse_light
from palette.spectrum import EXCITATION_NM


@pytest.mark.parametrize("name", LIGHT_NAMES)
def test_every_name_is_a_light_with_power(name):
    light = parse_light(name, where="test")
    assert light.id == name
    assert spectrum_of(light).sum() > 0
    assert spectrum_of(light).min() >= 0
    assert light.kind == (
        "blacklight" if name.startswith(("black", "led-3", "led-4", "tube")) else "daylight"
    )


@pytest.mark.parametrize(
    ("name", "peak"), [("365/12", 365), ("395/15", 395), ("405/15", 405), ("led-385", 385)]
)
def test_an_led_is_where_it_says(name, peak):
    spectrum = spectrum_of(parse_light(name, where="test"))
    near = np.abs(EXCITATION_NM - peak) < 40
    assert (spectrum[near] @ EXCITATION_NM[near]) / spectrum[near].sum() == pytest.approx(peak, abs=0.5)


def test_short_names_mean_the_led():
    assert np.array_equal(
        spectrum_of(parse_light("395", where="test")), spectrum_of(parse_light("led-395", where="test"))
    )


def test_a_tube_spills_at_the_mercury_lines():
    # Mercury: 404.7 and 435.8 nm (common tables of the arc spectrum); the dark glass leaves a little.
    spectrum = spectrum_of(parse_light("tube-368", where="test"))
    share = spectrum / spectrum.sum()
    assert 0.005 < share[np.abs(EXCITATION_NM - 404.7) < 10].sum() < 0.06
    assert share[EXCITATION_NM == 440][0] > share[EXCITATION_NM == 460][0]


def test_a_mixture_shares_radiant_power():
    mixed = spectrum_of(parse_light("365/12 + 0.25*led-white", where="test"))
    lamp, hall = (spectrum_of(parse_light(name, where="test")) for name in ("365/12", "led-white"))
    assert np.allclose(mixed, lamp / lamp.sum() + 0.25 * hall / hall.sum())


def test_enough_hall_light_makes_a_blacklight_a_daylight():
    assert parse_light("365/12 + 0.05*led-white", where="test").kind == "blacklight"
    assert parse_light("365/12 + 1*led-white", where="test").kind == "daylight"


def test_whites():
    assert white_of(parse_light("D65", where="test")) == pytest.approx([0.950174, 1, 1.088128], abs=5e-6)
    # Under a blacklight the lamp has no white of its own: the screen's, by convention.
    for light in (BLACKLIGHT, parse_light("405/15", where="test")):
        assert np.array_equal(white_of(light), D65_WHITE)


def test_the_reference_glow_outshines_what_was_measured():
    # Y per unit of irradiance of the brightest of eight measured materials: 0.1533 at 365 nm, a
    # yellow; 0.2605 at 395 nm, a yellow-green. White lies above both, by no more than a third.
    for name, brightest in (("365/12", 0.1533), ("395/15", 0.2605)):
        light = parse_light(name, where="test")
        white = light_unit(light) / spectrum_of(light).sum()
        assert brightest < white < 4 / 3 * brightest


def test_the_usual_lights_are_the_plain_ones():
    assert np.array_equal(spectrum_of(DAYLIGHT), spectrum_of(parse_light("D65", where="test")))
    assert np.array_equal(spectrum_of(BLACKLIGHT), spectrum_of(parse_light("365/12", where="test")))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("d65", 'write "D65" if that was meant'),
        ("moonlight", 'there is no light "moonlight"'),
        ("200/12", "the peak 200 nm is out of range"),
        ("365/0", "the width 0 nm is out of range"),
        ("365/12 + ", "has an empty part"),
        ("0*365/12 + 0*D65", "has no power"),
    ],
)
def test_a_wrong_light_is_told(text, words):
    with pytest.raises(InputError) as stop:
        parse_light(text, where="--light")
    assert words in str(stop.value)
    assert str(stop.value).startswith("--light")
