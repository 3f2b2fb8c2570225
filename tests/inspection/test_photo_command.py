"""``palette photo``: exit codes, files, and sentences for wrong input."""

import json

import numpy as np
import pytest
from PIL import Image


@pytest.fixture(scope="module")
def shot(day_scene, tmp_path_factory):
    path = tmp_path_factory.mktemp("shot") / "wall.png"
    Image.fromarray(day_scene.photo).save(path)
    return path, " ".join(f"{x:.2f},{y:.2f}" for x, y in day_scene.corners)


SIZE = "1829 mm x 2438 mm"


def test_a_panel_with_clashes_ends_with_one_and_writes_its_files(
    palette_command, shot, paint_file, tmp_path
):
    photo, corners = shot
    ran = palette_command(
        "photo", photo, "--paints", paint_file, "--light", "daylight", "--corners", corners,
        "--size", SIZE, "--out", tmp_path / "out", "--json",
    )  # fmt: skip
    assert ran.code == 1
    document = json.loads(ran.out)
    assert document["clashes"]
    written = {path.name for path in (tmp_path / "out").iterdir()}
    assert written == {"marked.png", "photo.json", "sections.csv", "panel.svg", "scheme.json"}
    assert json.loads((tmp_path / "out" / "photo.json").read_text()) == document


def test_the_panel_file_is_an_ordinary_layout(palette_command, shot, paint_file, tmp_path, day_reading):
    import palette

    photo, corners = shot
    palette_command("photo", photo, "--paints", paint_file, "--corners", corners, "--size", SIZE,
                    "--out", tmp_path)  # fmt: skip
    panel = palette.read_layout(tmp_path / "panel.svg")
    assert panel.ids == day_reading.panel.ids
    scheme = json.loads((tmp_path / "scheme.json").read_text())
    assert set(scheme["paint_of"]) == set(panel.ids)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--corners", "1,2 3,4"], "is not four corners"),
        (["--corners", "100,100 900,1400 900,100 100,1400"], "cross each other"),
        (["--corners", "100,100 1900,100 1900,1400 100,1400"], "outside the photo"),
        (["--light", "moonlight"], "moonlight"),
        (["--size", "2 x 3"], "no unit"),
    ],
)
def test_wrong_input_is_one_sentence_and_a_two(palette_command, shot, paint_file, arguments, told):
    photo, _ = shot
    ran = palette_command("photo", photo, "--paints", paint_file, *arguments)
    assert ran.code == 2
    assert told in ran.err
    assert ran.err.count("\n") == 1
    assert "Traceback" not in ran.err


def test_the_marked_photo_shows_the_whole_photo_and_a_legend(shot, paint_file, tmp_path, palette_command):
    photo, corners = shot
    palette_command("photo", photo, "--paints", paint_file, "--corners", corners, "--size", SIZE,
                    "--out", tmp_path)  # fmt: skip
    marked = np.asarray(Image.open(tmp_path / "marked.png"))
    assert marked.shape[0] > marked.shape[1] * 1600 / 1200
    # Red is drawn on the photo where it clashes: a colour no paint of this photo has.
    red = (np.abs(marked.astype(int) - [226, 26, 44]).max(axis=2) < 6).sum()
    assert red > 2000
