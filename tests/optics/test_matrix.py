"""Measured matrices: two layouts, honest refusals."""

import numpy as np
import pytest
from measured import FOLDER, NAMES, PEAKS, SUMS, clean, needs_matrices, raw_matrix

from palette.errors import InputError
from palette.optics.matrix import matrix_from_text
from palette.spectral_files import read_matrix

EMISSION, EXCITATION = np.arange(380, 781, 10), np.arange(300, 781, 10)


def invented(seed: int = 0) -> np.ndarray:
    """Return an invented matrix: grey 0.5 with a green glow, and a little noise."""
    rng = np.random.default_rng(seed)
    glow = np.exp(-(((EMISSION[:, None] - 520) / 30) ** 2)) * 0.04 * (EXCITATION[None, :] < 500)
    glow = glow * (EMISSION[:, None] > EXCITATION[None, :])
    grey = 0.5 * (EMISSION[:, None] == EXCITATION[None, :])
    return np.round(glow + grey + rng.normal(0, 0.001, glow.shape), 6)


def bfc(matrix: np.ndarray) -> str:
    head = [f"line {k}" for k in range(1, 11)]
    head += ["380\t780\t10\t49\t300\t10", "r:c:\t" + "\t".join(map(str, EXCITATION))]
    rows = [f"{nm}\t" + "\t".join(map(str, row)) for nm, row in zip(EMISSION, matrix, strict=True)]
    return "\n".join([*head, *rows[:20], "", *rows[20:], "EOD", ""])


def csv(matrix: np.ndarray) -> str:
    head = ["# a comment", "nm," + ",".join(map(str, EXCITATION))]
    rows = [f"{nm}," + ",".join(map(str, row)) for nm, row in zip(EMISSION, matrix, strict=True)]
    return "\n".join([*head, *rows])


def test_both_layouts_hold_the_same_matrix():
    matrix = invented()
    from_bfc = matrix_from_text(bfc(matrix), where="a.bfc")
    from_csv = matrix_from_text(csv(matrix), where="a.csv")
    assert np.array_equal(from_bfc.matrix, clean(matrix))
    assert np.array_equal(from_csv.matrix, clean(matrix))
    # Noise taken away is told, with how much.
    below = np.tril(matrix[:, 8:], -1)
    count = int((matrix[:, :8] < 0).sum() + (below < 0).sum())
    assert f"{count} below zero" in from_bfc.notes[0]
    # 41 rows by 49 columns less the 1189 cells that can hold light: those above the diagonal.
    assert "820 at wavelengths shorter than the exciting one" in from_bfc.notes[0]


def edited(change) -> str:
    matrix = invented()
    change(matrix)
    return bfc(matrix)


def put(value, row=10, column=5):
    def change(matrix):
        matrix[row, column] = value

    return change


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            bfc(invented()).replace("380\t780\t10\t49\t300\t10", "380\t780\t10\t48\t300\t10"),
            "49 values and there are 48",
        ),
        ("\n".join(bfc(invented()).splitlines()[:40]), "header promises 41"),
        (csv(invented()).replace("\n400,", "\n400,,", 1), "has a hole"),
        (edited(put(-3.0)), "too far below zero to be noise"),
        (edited(put(2.0)), "photons are sent back for each that arrives at 350 nm"),
        (edited(put(0.7, row=30)), "photons are sent back for each that arrives at 350 nm"),
        (edited(put(0.4, column=45)), "never leaves at a shorter wavelength"),
        (edited(put(-0.1, column=18)), "at emission 480 nm, excitation 480 nm is no reflectance"),
        (bfc(invented()).replace("\t10\t49\t", "\t1e-7\t49\t", 1), "line 11 promises"),
        (csv(invented()).replace("\n390,", "\n370,", 1), "emission wavelengths do not rise"),
        (csv(invented()).replace("780,", "1500,", 1).replace("\n780,", "\n1500,"), "not on a 10 nm grid"),
        ("\n".join(csv(invented()).splitlines()[:20]), "does not cover 380 to 780 nm"),
        ("hello", "this is no matrix"),
        ("", "this is no matrix"),
    ],
    ids=[
        "size",
        "short",
        "hole",
        "negative",
        "yield",
        "photons",
        "uphill",
        "reflectance",
        "promise",
        "order",
        "range",
        "cover",
        "word",
        "empty",
    ],
)
def test_a_wrong_matrix_is_refused_in_one_sentence(text, words):
    with pytest.raises(InputError) as stop:
        matrix_from_text(text, where="paint.bfc")
    assert str(stop.value).startswith("paint.bfc")
    assert words in str(stop.value)
    assert "\n" not in str(stop.value)


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_measured_files_are_read_to_the_last_digit(name):
    found = read_matrix(FOLDER / f"{name}.BFC").matrix
    assert np.array_equal(found, clean(raw_matrix(name)))
    diagonal = np.array([found[k, k + 8] for k in range(41)])
    assert raw_matrix(name).sum() == pytest.approx(SUMS[name][0], abs=1e-4)
    assert found.sum() - diagonal.sum() == pytest.approx(SUMS[name][1], abs=1e-4)
    assert diagonal.sum() == pytest.approx(SUMS[name][2], abs=1e-4)
    spectrum = (found[:, 6:11] * (EMISSION[:, None] > EXCITATION[None, 6:11])).sum(axis=1)
    assert EMISSION[np.argmax(spectrum)] == PEAKS[name]
