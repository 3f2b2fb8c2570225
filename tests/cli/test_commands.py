"""The four commands from outside: what they print, what they write, how they end."""

import json
import os
import subprocess
import sys

import pytest
from PIL import Image

from tests.conftest import CANYON

BRIEF = CANYON / "brief.toml"


@pytest.fixture
def assigned(palette_command, tmp_path):
    ran = palette_command("assign", BRIEF, "--out", tmp_path / "out", "--width", 400, "--json")
    assert (ran.code, ran.err) == (0, "")
    return tmp_path / "out", json.loads(ran.out)


def test_assign_writes_every_file(assigned):
    folder, said = assigned
    names = ["scheme.json", "daylight.png", "blacklight.png", "both.png", "neighbours.png"]
    assert sorted(path.name for path in folder.iterdir()) == sorted(names)
    assert said["files"] == [str(folder / name) for name in names]
    scheme = json.loads((folder / "scheme.json").read_text(encoding="utf-8"))
    assert scheme["paint_of"] == said["paint_of"]
    assert scheme["proof"]["status"] == "optimal"
    assert said["weakest"]["difference"] >= 20


def test_pictures_are_to_scale(assigned):
    folder, _ = assigned
    for name in ("daylight", "blacklight"):
        with Image.open(folder / f"{name}.png") as picture:
            assert picture.size[0] == 400
            across, down = (size / dpi for size, dpi in zip(picture.size, picture.info["dpi"], strict=True))
            # The demo wall is 96 in x 72 in.
            assert across == pytest.approx(96, rel=0.01)
            assert down == pytest.approx(72, rel=0.01)


def test_a_kept_scheme_passes_and_a_spoiled_one_does_not(palette_command, assigned):
    folder, _ = assigned
    ran = palette_command("check", BRIEF, folder / "scheme.json", "--json")
    assert ran.code == 0
    assert json.loads(ran.out)["kept"] is True
    graph = json.loads(palette_command("neighbours", CANYON / "wall.svg", "--json").out)["neighbours"]
    pair = next(edge for edge in graph if not edge["corner"])
    document = json.loads((folder / "scheme.json").read_text(encoding="utf-8"))
    document["paint_of"][pair["a"]] = document["paint_of"][pair["b"]]
    spoiled = folder / "edited.json"
    spoiled.write_text(json.dumps(document), encoding="utf-8")
    ran = palette_command("check", BRIEF, spoiled, "--json")
    assert ran.code == 1
    clashes = json.loads(ran.out)["clashes"]
    told = next(c for c in clashes if {c["a"], c["b"]} == {pair["a"], pair["b"]})
    assert told["border_mm"] == pytest.approx(pair["border_mm"], abs=0.01)
    assert told["difference"] == {"daylight": 0.0, "blacklight": 0.0}
    ran = palette_command("check", BRIEF, spoiled)
    assert ran.code == 1
    assert "BROKEN" in ran.out
    assert pair["a"] in ran.out


def test_neighbours_speaks_the_promised_json(palette_command):
    ran = palette_command(
        "neighbours", CANYON / "wall.toml", "--reach", "6 in", "--min-border", "1 in", "--json"
    )
    assert ran.code == 0
    rows = json.loads(ran.out)["neighbours"]
    assert rows
    assert all(set(row) == {"a", "b", "border_mm", "gap_mm", "corner"} for row in rows)
    ran = palette_command("neighbours", CANYON / "wall.toml")
    assert ran.code == 0
    assert "borders" in ran.out


def test_a_shorter_reach_separates(palette_command):
    def count(reach):
        ran = palette_command("neighbours", CANYON / "wall.svg", "--reach", reach, "--json")
        return sum(not row["corner"] for row in json.loads(ran.out)["neighbours"])

    # The demo's gaps are about a quarter inch, 6.35 mm: a reach of 3 mm spans none of them.
    assert count("3 mm") == 0
    assert count("12 mm") > 18


def test_preview_draws_any_light(palette_command, assigned, tmp_path):
    folder, _ = assigned
    for light, width in (("daylight", 300), ("both", 900), ("both", 300), ("both", 1601)):
        out = tmp_path / f"{light}-here.png"
        ran = palette_command(
            "preview",
            BRIEF,
            folder / "scheme.json",
            "--light",
            light,
            "--width",
            width,
            "--out",
            out,
            "--json",
        )
        assert ran.code == 0
        said = json.loads(ran.out)
        with Image.open(out) as picture:
            assert picture.size == (said["width_px"], said["height_px"])
            assert said["width_px"] == width


def test_two_rules_of_one_kind_are_judged_apart(palette_command, assigned, tmp_path):
    folder, said = assigned
    text = BRIEF.read_text(encoding="utf-8").replace("wall.svg", (CANYON / "wall.svg").as_posix())
    text = text.replace('"paints.toml"', f'"{(CANYON / "paints.toml").as_posix()}"')
    more = '\n[[rule]]\nkind = "clash"\nmin_difference = 95\nmin_hue_angle = "off"\n'
    brief = tmp_path / "brief.toml"
    brief.write_text(text + more, encoding="utf-8")
    ran = palette_command("check", brief, folder / "scheme.json")
    assert ran.code == 1
    judged = [line.split()[0] for line in ran.out.splitlines() if line.startswith(("kept", "BROKEN"))]
    assert judged.count("BROKEN") == 1
    assert judged.index("BROKEN") == len(judged) - 1
    assert said["weakest"]["difference"] < 95


def test_lights_with_signs_in_their_names_make_sound_file_names(palette_command, tmp_path):
    text = BRIEF.read_text(encoding="utf-8").replace("wall.svg", (CANYON / "wall.svg").as_posix())
    text = text.replace('"paints.toml"', f'"{(CANYON / "paints.toml").as_posix()}"')
    brief = tmp_path / "brief.toml"
    text = text.replace('lights = ["daylight", "blacklight"]', 'lights = ["daylight", "365/12"]')
    brief.write_text(text, encoding="utf-8")
    ran = palette_command("assign", brief, "--out", tmp_path / "out", "--width", 300, "--json")
    assert (ran.code, ran.err) == (0, "")
    assert (tmp_path / "out" / "365-12.png").exists()


def test_the_version_is_told(palette_command):
    ran = palette_command("--version")
    assert (ran.code, ran.out.split()[0]) == (0, "palette")


def test_names_are_said_where_the_terminal_is_narrow(tmp_path):
    layout = tmp_path / "wall.toml"
    stone = '[[section]]\nname = "{}"\nleft = "{} mm"\nbottom = "0 mm"\nwidth = "40 mm"\nheight = "80 mm"\n'
    layout.write_text(
        'size = "100 mm x 80 mm"\n' + stone.format("große Stufe", 0) + stone.format("石", 46), "utf-8"
    )
    ran = subprocess.run(
        [sys.executable, "-m", "palette", "neighbours", str(layout), "--json"],
        capture_output=True,
        env=os.environ | {"PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"},
        check=True,
    )
    assert json.loads(ran.stdout.decode("utf-8"))["neighbours"][0]["b"] == "石"


def test_every_command_helps_with_an_example(palette_command):
    for command in ("assign", "neighbours", "check", "preview"):
        ran = palette_command(command, "--help")
        assert ran.code == 0
        assert f"palette {command}" in ran.out
        assert "Example" in ran.out


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("assign", "none.toml", "--out", "OUT"), "none.toml: there is no such file; check the name"),
        (("neighbours", "none.svg"), "none.svg: there is no such file"),
        (
            ("neighbours", CANYON / "wall.svg", "--reach", "7 furlongs"),
            '--reach: "furlongs" in "7 furlongs" is not',
        ),
        (("check", BRIEF, "none.json"), "none.json: there is no such file"),
        (("assign", BRIEF, "--out", "OUT", "--width", "20"), "a picture 20 pixels wide cannot be drawn"),
    ],
)
def test_wrong_input_is_one_sentence_and_exit_2(palette_command, tmp_path, args, words):
    out = tmp_path / "out"
    ran = palette_command(*(out if arg == "OUT" else arg for arg in args))
    assert ran.code == 2
    assert words in ran.err
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    assert "Traceback" not in ran.err
    assert not out.exists()


def test_an_impossible_brief_ends_with_1_and_a_sentence(palette_command, tmp_path):
    text = BRIEF.read_text(encoding="utf-8").replace("wall.svg", str(CANYON / "wall.svg"))
    text = text.replace('"paints.toml"', f'"{CANYON / "paints.toml"}"')
    brief = tmp_path / "brief.toml"
    brief.write_text(
        text.replace('kind = "clash"', 'kind = "clash"\nmin_difference = 90'), encoding="utf-8"
    )
    ran = palette_command("assign", brief, "--out", tmp_path / "out")
    assert ran.code == 1
    assert ran.out.startswith("There is no scheme for ")
    assert "clash" in ran.out.splitlines()[0]
    # The reasons are drawn; a scheme and pictures of one there are not.
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["reasons.png"]


def test_python_m_palette_works():
    ran = subprocess.run(
        [sys.executable, "-m", "palette", "--help"], capture_output=True, text=True, check=True
    )
    assert "neighbours" in ran.stdout
