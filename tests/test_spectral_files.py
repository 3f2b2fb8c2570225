"""Lamp files."""

import numpy as np
import pytest

from palette.errors import InputError
from palette.light import spectrum_of
from palette.spectral_files import read_lamp
from palette.spectrum import EXCITATION_NM, gaussian_band


def write(tmp_path, name, text):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_peaks_and_widths(tmp_path):
    text = "peaks = [{ nm = 365, width = 12, power = 3 }, { nm = 440, width = 30, power = 1 }]"
    light = read_lamp(write(tmp_path, "wall-washer.toml", text))
    first, second = gaussian_band(365, 12), gaussian_band(440, 30)
    assert light.id == "wall-washer"
    assert np.allclose(spectrum_of(light), 3 * first / first.sum() + second / second.sum())


def test_the_kind_is_judged_or_told(tmp_path):
    lamp = "peaks = [{ nm = 365, width = 12 }]"
    assert read_lamp(write(tmp_path, "a.toml", lamp)).kind == "blacklight"
    assert read_lamp(write(tmp_path, "b.toml", f'kind = "daylight"\n{lamp}')).kind == "daylight"
    warm = "peaks = [{ nm = 450, width = 20, power = 1 }, { nm = 580, width = 120, power = 4 }]"
    assert read_lamp(write(tmp_path, "c.toml", warm)).kind == "daylight"


def test_a_table_of_power(tmp_path):
    rows = "\n".join(f"{nm};{nm % 7}" for nm in range(300, 781, 10))
    light = read_lamp(write(tmp_path, "lamp.csv", f"# measured\nwavelength;power\n{rows}\n"))
    assert np.array_equal(spectrum_of(light), EXCITATION_NM % 7)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("a.toml", "", "it has no peaks"),
        ("a.toml", "peaks = [{ nm = 365, width = 12, power = 0 }]", "the lamp has no power"),
        ("a.toml", "peaks = [{ nm = 100, width = 12 }]", '"nm" is 100; write a number from 300 to 780'),
        ("a.toml", "peaks = [{ nm = 365 }]", 'the key "width" is missing'),
        ("a.toml", "peaks = [{ nm = 365, with = 12 }]", 'write "width" if that was meant'),
        ("a.toml", 'kind = "uv"\npeaks = [{ nm = 365, width = 9 }]', 'the kind is "uv"'),
        ("a.csv", "nm,power\n300,0\n780,0\n", "the lamp has no power"),
        ("a.csv", "nm,power\n300,1\n400,x\n", "line 3"),
        ("a.csv", "nm,power\n400,1\n300,1\n", "do not rise"),
        ("a.csv", "400\n410\n", "it has one column"),
        ("a.txt", "400,1", "is no lamp file"),
    ],
)
def test_a_wrong_lamp_file_is_told(tmp_path, name, text, words):
    path = write(tmp_path, name, text)
    with pytest.raises(InputError) as stop:
        read_lamp(path)
    assert words in str(stop.value)
    assert str(path) in str(stop.value)
