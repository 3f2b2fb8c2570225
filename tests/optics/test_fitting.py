"""Parameters fitted to a measured matrix foretell lights that were not asked."""

import numpy as np
import pytest
from measured import FOLDER, NAMES, needs_matrices

from palette.coating import looks_of, surfaces_of
from palette.colour import difference, lab_of_xyz
from palette.light import white_of
from palette.light_words import parse_light
from palette.optics.finish import finish_matrix
from palette.optics.fitting import fit, thin_knots
from palette.optics.parameters import finish_of_parameters
from palette.paint import Paint
from palette.spectral_files import read_matrix
from palette.spectrum import EXCITATION_NM, SEEN


def looks(surface, name):
    light = parse_light(name, where="test")
    xyz = looks_of(surface, light)
    return xyz, lab_of_xyz(xyz, white_of(light))


def surfaces(name):
    """Return the measured surface, the fitted finish and the fitted film over white."""
    measured = read_matrix(FOLDER / f"{name}.BFC").matrix
    parameters = fit(measured)
    finish = finish_matrix(finish_of_parameters(parameters, where=name))[SEEN]
    paint = Paint(id=name, parameters=parameters)
    return measured, finish, surfaces_of(paint, (paint.coats,), ("white",))[0, 0]


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_white_lights_are_foretold(name):
    measured, *fitted = surfaces(name)
    for light in ("D65", "A", "led-white"):
        known = looks(measured, light)[1]
        for surface in fitted:
            assert float(difference(known, looks(surface, light)[1])) < 2.0  # the bar is 4


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_blacklights_are_foretold(name):
    measured, *fitted = surfaces(name)
    for light in ("365/12", "395/15", "405/15"):
        known = looks(measured, light)[0]
        for surface in fitted:
            found = looks(surface, light)[0]
            apart = np.abs(known[:2] / known.sum() - found[:2] / found.sum())
            assert apart.max() < 0.02  # the bar is 0.03


@needs_matrices
def test_noise_of_another_run_does_not_matter():
    measured = read_matrix(FOLDER / "HERPIORA.BFC").matrix
    rng = np.random.default_rng(4)
    noisy = np.where(measured != 0, np.maximum(measured + rng.normal(0, 0.004, measured.shape), 0), 0)
    finish = finish_matrix(finish_of_parameters(fit(noisy), where="noisy"))[SEEN]
    assert float(difference(looks(measured, "D65")[1], looks(finish, "D65")[1])) < 4


def test_a_grey_that_does_not_glow_has_no_glow():
    matrix = np.zeros((41, 49))
    matrix[np.arange(41), np.arange(41) + SEEN.start] = 0.4
    parameters = fit(matrix)
    assert parameters.glows == ()
    assert parameters.body == ((380.0, 0.4), (780.0, 0.4))


def test_knots_stay_within_their_tolerance():
    nm = EXCITATION_NM
    values = np.exp(-(((nm - 500) / 60) ** 2))
    knots = np.array(thin_knots(nm, values, 0.02))
    assert len(knots) < 20
    assert np.abs(np.interp(nm, knots[:, 0], knots[:, 1]) - values).max() <= 0.0201
