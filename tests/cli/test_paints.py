"""``palette paints`` from outside."""

import json

import pytest
from measured import DAYLIGHT, FOLDER, LAMPS, NAMES, needs_matrices
from PIL import Image

from tests.conftest import CANYON

PAINTS = CANYON / "paints.toml"


def test_the_table_names_every_paint_and_light(palette_command):
    ran = palette_command("paints", PAINTS, "--light", "D65", "--light", "395/15")
    assert (ran.code, ran.err) == (0, "")
    for word in ("gorse yellow", "Under D65", "Under 395/15", "Coats over white"):
        assert word in ran.out


def test_json_has_its_keys(palette_command):
    ran = palette_command("paints", PAINTS, "--light", "D65", "--light", "365/12", "--json")
    said = json.loads(ran.out)
    rows = said["looks"]
    assert len(rows) == 8 * 2
    for row in rows:
        assert set(row) == {"paint", "light", "X", "Y", "Z", "x", "y", "L", "a", "b", "Y_relative"}
        assert row["x"] == pytest.approx(row["X"] / (row["X"] + row["Y"] + row["Z"]), abs=1e-5)
    for light in ("D65", "365/12"):
        ys = [row["Y"] for row in rows if row["light"] == light]
        assert [row["Y_relative"] for row in rows if row["light"] == light] == pytest.approx(
            [y / max(ys) for y in ys], abs=1e-5
        )
    assert said["lights"][0]["white"] == pytest.approx([95.0174, 100, 108.8128], abs=0.08)


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_a_bare_matrix_is_the_finished_surface(palette_command, tmp_path, name):
    # Figures: measured.py. Under a lamp Y is 100 times what leaves for each unit of irradiance.
    path = tmp_path / "paints.toml"
    path.write_text(f'[[paint]]\nname = "m"\nmatrix = "{FOLDER.resolve()}/{name}.BFC"\ncoats = 4\n')
    lights = [word for light in ("D65", "365/12", "395/15") for word in ("--light", light)]
    rows = json.loads(palette_command("paints", path, *lights, "--json").out)["looks"]
    assert [rows[0][key] for key in "XYZ"] == pytest.approx(DAYLIGHT[name][0], abs=0.15)
    for row, (x, y, luminance) in zip(rows[1:], LAMPS[name], strict=True):
        assert (row["x"], row["y"]) == pytest.approx((x, y), abs=1e-4)
        assert row["Y"] == pytest.approx(100 * luminance, rel=3e-4)


def test_the_card_is_drawn(palette_command, tmp_path):
    card = tmp_path / "card.png"
    ran = palette_command("paints", "--card", card, "--width", "800")
    assert ran.code == 0
    assert f"Written: {card}" in ran.out
    with Image.open(card) as picture:
        assert picture.size[0] == 800
        # Day, dark and paper are all there: many colours, none of them an empty sheet.
        assert len(picture.convert("RGB").resize((200, 200)).getcolors(40000)) > 200


def test_a_swatch_pair_no_paint_has_is_told(palette_command, tmp_path):
    path = tmp_path / "paints.toml"
    path.write_text('[[paint]]\nname = "p"\nswatch = { daylight = "#000000", blacklight = "#d4ff3a" }\n')
    ran = palette_command("paints", path, "--light", "D65")
    assert ran.code == 0
    assert "no physical paint was found with both swatches" in ran.err


def test_one_swatch_is_not_enough_for_a_card(palette_command, tmp_path):
    path = tmp_path / "paints.toml"
    path.write_text('[[paint]]\nname = "p"\nswatch = { daylight = "#f4f01e" }\n')
    for light in ("daylight", "D65"):
        ran = palette_command("paints", path, "--light", light)
        assert ran.code == 2
        assert 'paint "p": it has no blacklight swatch' in ran.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--light", "moon"), 'there is no light "moon"'),
        (("--light", "nowhere.csv"), "there is no such file"),
        (("--card", "card.png", "--width", "10"), "a picture 10 pixels wide cannot be drawn"),
    ],
)
def test_wrong_words_are_told_in_one_sentence(palette_command, tmp_path, monkeypatch, words, told):
    monkeypatch.chdir(tmp_path)
    ran = palette_command("paints", PAINTS, *words)
    assert ran.code == 2
    assert told in ran.err
    assert ran.err.count("\n") == 1
    assert not list(tmp_path.iterdir())


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_fitted_parameters_stand_in_for_the_matrix(palette_command, tmp_path, name):
    # The bar: CIEDE2000 4 by day, 0.03 in x and y under lamps that were not asked about.
    path = tmp_path / "paints.toml"
    path.write_text(f'[[paint]]\nname = "m"\nmatrix = "{FOLDER.resolve()}/{name}.BFC"\n')
    lights = [word for light in ("A", "led-white", "385/12", "405/15") for word in ("--light", light)]
    measured = json.loads(palette_command("paints", path, *lights, "--json").out)
    fitted = json.loads(palette_command("paints", path, *lights, "--fitted", "--json").out)
    assert measured["parameters"] == {}
    assert 1 <= len(fitted["parameters"]["m"]["glow"]) <= 6
    for known, found in zip(measured["looks"], fitted["looks"], strict=True):
        assert (found["x"], found["y"]) == pytest.approx((known["x"], known["y"]), abs=0.02)
