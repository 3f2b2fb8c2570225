"""``palette preview``: styles, splits, moving pictures."""

import numpy as np
import pytest
from PIL import Image

import palette
from tests.conftest import CANYON

BRIEF = CANYON / "brief.toml"


@pytest.fixture(scope="module")
def scheme(canyon_outcome, tmp_path_factory):
    return palette.save_scheme(canyon_outcome.scheme, tmp_path_factory.mktemp("s") / "scheme.json")


def shot(palette_command, scheme, tmp_path, *words):
    out = tmp_path / "out.png"
    ran = palette_command("preview", BRIEF, scheme, "--width", "400", "--out", out, *words)
    assert (ran.code, ran.err) == (0, "")
    with Image.open(out) as picture:
        return np.asarray(picture.convert("RGB")).astype(int)


def test_glare_lights_the_joints_and_flat_does_not(palette_command, scheme, tmp_path):
    flat = shot(palette_command, scheme, tmp_path, "--light", "blacklight", "--flat")
    lit = shot(palette_command, scheme, tmp_path, "--light", "blacklight")
    dark = flat.max(axis=-1) < 8
    assert dark.any()
    assert lit[dark].mean() > flat[dark].mean() + 5


def test_a_split_is_day_on_the_left_and_dark_on_the_right(palette_command, scheme, tmp_path):
    day = shot(palette_command, scheme, tmp_path, "--light", "daylight", "--flat")
    split = shot(palette_command, scheme, tmp_path, "--light", "split", "--flat")
    dark = shot(palette_command, scheme, tmp_path, "--light", "blacklight", "--flat")
    assert np.abs(split[:, :120] - day[:, :120]).max() <= 1
    assert np.abs(split[:, 280:] - dark[:, 280:]).max() <= 1


def test_lamps_light_the_dark_picture_only(palette_command, scheme, tmp_path):
    plan = ("--lamps", CANYON / "plan.toml", "--flat")
    day = shot(palette_command, scheme, tmp_path, "--light", "daylight", *plan)
    assert np.array_equal(day, shot(palette_command, scheme, tmp_path, "--light", "daylight", "--flat"))
    dark = shot(palette_command, scheme, tmp_path, "--light", "blacklight", *plan)
    even = shot(palette_command, scheme, tmp_path, "--light", "blacklight", "--flat")
    # The demo's floods hang above the wall: it fades toward the floor.
    top, bottom = (slice(0, 60), slice(230, 280))
    assert dark[top].sum() / even[top].sum() > 1.2 * dark[bottom].sum() / even[bottom].sum()


def test_any_light_can_be_tried(palette_command, scheme, tmp_path):
    dark = shot(palette_command, scheme, tmp_path, "--light", "blacklight", "--flat")
    violet = shot(palette_command, scheme, tmp_path, "--light", "395/15", "--flat")
    lamp = tmp_path / "lamp.toml"
    lamp.write_text("peaks = [{ nm = 395, width = 15 }]")
    from_file = shot(palette_command, scheme, tmp_path, "--light", str(lamp), "--flat")
    assert np.abs(violet - dark).max() > 20
    assert np.abs(violet - from_file).max() <= 1


def test_the_change_moves(palette_command, scheme, tmp_path):
    out = tmp_path / "change.png"
    ran = palette_command("preview", BRIEF, scheme, "--light", "change", "--width", "300", "--out", out)
    assert ran.code == 0
    with Image.open(out) as picture:
        assert picture.n_frames > 20


def test_grain_and_trim_and_eye_change_the_picture(palette_command, scheme, tmp_path):
    plain = shot(palette_command, scheme, tmp_path, "--light", "daylight", "--flat")
    for words in (("--grain", "3"), ("--trim", "uv-white"), ("--eye", "protan")):
        other = shot(palette_command, scheme, tmp_path, "--light", "daylight", "--flat", *words)
        assert np.abs(other - plain).max() > 10


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--light", "moonlight"), 'the brief has no light "moonlight"'),
        (("--light", "900/12"), "the peak 900 nm is out of range"),
        (("--eye", "cat"), 'there is no eye "cat"'),
        (("--trim", "velvet"), 'there is no ground "velvet"'),
        (("--lamps", "nowhere.toml"), "there is no such file"),
    ],
)
def test_wrong_words_are_told(palette_command, scheme, tmp_path, words, told):
    out = tmp_path / "out.png"
    ran = palette_command("preview", BRIEF, scheme, "--out", out, *words)
    assert ran.code == 2
    assert told in ran.err
    assert not out.exists()
