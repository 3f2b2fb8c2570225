"""Colour-blind views against the authors' table and colour-science."""

import colour
import numpy as np
import pytest

from palette.appearance import appearance_of
from palette.colour import encode_srgb, linear_srgb_of_xyz, xyz_of_swatch
from palette.errors import InputError
from palette.eyes import EYE_KINDS, Eye, deficiency_matrix, parse_eye, seen_linear_srgb, seen_xyz
from palette.light import BLACKLIGHT, DAYLIGHT
from palette.paint import Paint

pytestmark = pytest.mark.filterwarnings("ignore")

LONG = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}


@pytest.mark.parametrize("kind", EYE_KINDS)
@pytest.mark.parametrize("severity", [0.0, 0.1, 0.5, 0.9, 1.0])
def test_matrices_are_machados(kind, severity):
    # Machado, Oliveira & Fernandes 2009, as colour-science carries and interpolates them.
    known = colour.matrix_cvd_Machado2009(LONG[kind], severity)
    assert np.abs(deficiency_matrix(Eye(kind=kind, severity=severity)) - known).max() < 1e-6
    assert deficiency_matrix(Eye(kind=kind, severity=severity)).sum(axis=1) == pytest.approx(
        [1] * 3, abs=2e-6
    )


def test_between_the_authors_tenths_lie_straight_lines():
    low, high = (colour.matrix_cvd_Machado2009("Protanomaly", severity) for severity in (0.3, 0.4))
    found = deficiency_matrix(Eye(kind="protan", severity=0.35))
    assert np.abs(found - (low + high) / 2).max() < 1e-6


# Severity 1, 8-bit: decode, matrix, clip, encode; computed with colour-science.
@pytest.mark.parametrize(
    ("swatch", "protan", "deutan", "tritan"),
    [
        ("#ff0000", (108.8, 95.0, 0), (163.2, 144.3, 0), (255, 0, 14.9)),
        ("#00ff00", (255, 229.4, 0), (238.7, 214.0, 58.4), (0, 247.1, 216.7)),
        ("#ffff00", (255, 243.5, 0), (255, 249.6, 49.3), (255, 237.7, 217.3)),
        ("#ff8000", (165.6, 145.3, 0), (196.2, 174.4, 0), (255, 98.1, 109.3)),
        ("#808080", (128, 128, 128), (128, 128, 128), (128, 128, 128)),
    ],
)
def test_screen_colours(swatch, protan, deutan, tritan):
    xyz = xyz_of_swatch(swatch, where="test")
    for kind, known in (("protan", protan), ("deutan", deutan), ("tritan", tritan)):
        shown = encode_srgb(seen_linear_srgb(linear_srgb_of_xyz(xyz), Eye(kind=kind)))
        assert shown == pytest.approx(known, abs=1.0)


def test_nothing_is_clipped_on_the_way():
    # An orange purer than the screen's keeps its excess: twice the light is twice the answer.
    orange = np.array([1.07, 0.65, 0.05])
    eye = Eye(kind="deutan", severity=0.7)
    assert np.allclose(seen_xyz(2 * orange, eye), 2 * seen_xyz(orange, eye))
    assert linear_srgb_of_xyz(seen_xyz(orange, Eye(kind="tritan", severity=0.0))) == pytest.approx(
        linear_srgb_of_xyz(orange), abs=1e-6
    )


def test_red_and_green_draw_near_and_the_table_says_so():
    paints = [
        Paint(id=name, swatch={"daylight": xyz, "blacklight": xyz})
        for name, xyz in (
            ("red", xyz_of_swatch("#d03030", where="t")),
            ("green", xyz_of_swatch("#5a7a20", where="t")),
        )
    ]
    table = appearance_of(paints, (DAYLIGHT, BLACKLIGHT))
    seen = table.seen_by(Eye(kind="deutan"))
    assert table.differences("daylight")[0, 1] > 50
    assert seen.differences("daylight")[0, 1] < 0.5 * table.differences("daylight")[0, 1]


@pytest.mark.parametrize(
    ("text", "words"),
    [("red", 'there is no eye "red"'), ("deutan/2", "out of range"), ("deutan/x", "out of range")],
)
def test_a_wrong_eye_is_told(text, words):
    with pytest.raises(InputError, match=words):
        parse_eye(text, where="--eye")


def test_an_eye_is_written_as_it_is_read():
    for text in ("protan", "tritan/0.4"):
        assert parse_eye(text, where="--eye").id == text
