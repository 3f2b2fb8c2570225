"""What the commands really write and print fits the published schemas, and says its version."""

from __future__ import annotations

import ast
import csv
import json
import os
import signal
import subprocess
import sys
import xml.etree.ElementTree as Xml
import zipfile
from pathlib import Path

import numpy as np
import pytest
from icalendar import Calendar
from PIL import Image

import palette
import palette.rules
from palette.cli import app
from palette.formats import ANSWERS, FILES
from palette.page.folder import read_files
from palette.page.zipping import files_to_zip
from tests.conftest import CANYON
from tests.formats.checking import as_json, faults, load

SMALL = """
name = "Small wall"
aims = ["weakest-pair"]

[panel]
name = "Small wall"
size = "600 mm x 400 mm"
section = [
  { name = "low west", left = "5 mm", bottom = "5 mm", width = "290 mm", height = "190 mm" },
  { name = "low east", left = "305 mm", bottom = "5 mm", width = "290 mm", height = "190 mm" },
  { name = "high west", left = "5 mm", bottom = "205 mm", width = "290 mm", height = "190 mm" },
  { name = "high east", left = "305 mm", bottom = "205 mm", width = "290 mm", height = "190 mm" },
]

[[paint]]
name = "moss green"
swatch = { daylight = "#38d64e", blacklight = "#12c85a" }
stock = "0.01 L"

[[paint]]
name = "apricot orange"
swatch = { daylight = "#ff8a3c", blacklight = "#ff6a2a" }
stock = "1 L"

[[paint]]
name = "brick red"
swatch = { daylight = "#ff3a3c", blacklight = "#ff3a2a" }
stock = "1 L"

[[paint]]
name = "chalk white"
swatch = { daylight = "#f4f4f0", blacklight = "#a0b0ff" }

[[rule]]
kind = "clash"
"""
CORNERS = (CANYON / "corners.txt").read_text().strip()
SIZE = "8 ft x 6 ft"

# One rule of each kind the small wall can break, each broken by one paint all over.
BREAKABLE = """
[[rule]]
kind = "families"
apart = [["green", "red"]]
[[rule]]
kind = "pin"
sections = ["low west"]
paint = "brick red"
[[rule]]
kind = "different"
sections = ["low west", "low east"]
[[rule]]
kind = "variety"
at_least = 3
[[rule]]
kind = "quota"
at_least = 1
[[rule]]
kind = "share"
at_most = 0.4
[[rule]]
kind = "spacing"
distance = "300 mm"
[[rule]]
kind = "stock"
[[rule]]
kind = "depth"
by = "order"
[[rule]]
kind = "seam"
side = "right"
facing = [{ from = "0 mm", to = "400 mm", paint = "moss green" }]
"""


@pytest.fixture
def printed(palette_command):
    """Return a function that runs a command with --json and returns what it printed, checked."""

    def run(kind, *args, code=0):
        ran = palette_command(*args, "--json")
        assert ran.code == code, ran.err
        document = json.loads(ran.out)
        assert faults(document, kind) == []
        assert next(iter(document.items())) == ("version", palette.FORMATS[kind].version)
        return document

    return run


@pytest.fixture
def small(tmp_path):
    """Return the brief of a small wall."""
    path = tmp_path / "brief.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def canyon_scheme(tmp_path_factory, canyon_outcome):
    """Return the demo's scheme as a file."""
    path = tmp_path_factory.mktemp("canyon") / "scheme.json"
    return palette.save_scheme(canyon_outcome.scheme, path, brief=CANYON / "brief.toml")


def test_every_command_has_a_schema():
    from typer.main import get_command

    commands = get_command(app).commands
    told = {"photo": "photo", "batch": "summary"}
    for name in commands:
        assert told.get(name, f"answer-{name}") in palette.FORMATS, name
    assert {f"answer-{name}" for name in commands} | set(told.values()) >= set(ANSWERS)


def test_assign_and_its_schemes(printed, small, tmp_path):
    out = tmp_path / "out"
    said = printed("answer-assign", "assign", small, "--out", out, "--width", 300, "--alternatives", 2,
                   "--keep", 0, "--proof", out / "better.drat")  # fmt: skip
    schemes = sorted(out.glob("*.json"))
    assert [path.name for path in schemes] == ["alternative-2.json", "scheme.json"]
    for path in schemes:
        document = load(path)
        assert faults(document, "scheme") == []
        assert next(iter(document)) == "version"
    scheme = load(out / "scheme.json")
    assert scheme["proof"]["levels"]
    assert said["paint_of"] == scheme["paint_of"]
    assert (out / "better.cnf").read_text().startswith("c No scheme of Small wall")


def test_assign_with_a_start_and_a_stop(printed, small, tmp_path):
    half = tmp_path / "half.json"
    half.write_text('{"paint_of": {"low west": "brick red"}}', encoding="utf-8")
    said = printed("answer-assign", "assign", small, "--out", tmp_path / "out", "--started", half,
                   "--width", 300)  # fmt: skip
    assert said["cost"]
    assert said["paint_of"]["low west"] == "brick red"


def test_assign_without_a_scheme(printed, small, tmp_path):
    text = small.read_text("utf-8").replace('kind = "clash"', 'kind = "clash"\nmin_difference = 99')
    small.write_text(text, encoding="utf-8")
    said = printed("answer-assign", "assign", small, "--out", tmp_path / "out", code=1)
    assert said["scheme"] is None
    assert said["ways_out"]


def test_check_tells_every_kind_of_breach(printed, small, tmp_path):
    small.write_text(SMALL + BREAKABLE, encoding="utf-8")
    scheme = tmp_path / "scheme.json"
    scheme.write_text(
        json.dumps({"paint_of": dict.fromkeys(("low west", "low east", "high west"), "moss green")
                    | {"high east": "brick red"}}), encoding="utf-8"
    )  # fmt: skip
    said = printed("answer-check", "check", small, scheme, code=1)
    assert said["clashes"]
    assert {breach["rule"] for breach in said["breaches"]} >= {
        "families", "pin", "different", "variety", "quota", "share", "spacing", "stock", "seam",
    }  # fmt: skip
    # A breach names its sections, whatever figures it has besides.
    assert all(isinstance(breach["sections"], list) for breach in said["breaches"])


def test_the_figures_of_breaches_are_those_the_rules_give():
    given = set()
    for path in Path(palette.rules.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "detail" and path.stem != "clash":
                given |= {key.value for key in node.value.keys}
    told = palette.read_schema("answer-check")["properties"]["breaches"]["items"]["properties"]
    assert given == set(told) - {"rule", "sections", "sentence"}


def test_check_of_the_demo(printed, canyon_scheme):
    assert printed("answer-check", "check", CANYON / "brief.toml", canyon_scheme)["kept"] is True


def test_the_short_answers(printed, small, tmp_path):
    printed("answer-neighbours", "neighbours", CANYON / "wall.toml")
    printed("answer-rules", "rules")
    printed("answer-rules", "rules", small)
    printed("answer-rules", "rules", "--kind", "seam")
    printed("answer-lamps", "lamps", CANYON / "wall.svg", "--plan", CANYON / "plan.toml", "--mean", 40)
    offers = tmp_path / "offers.toml"
    offers.write_text(
        '[[paint]]\nname = "lagoon"\nswatch = { daylight = "#3060ff", blacklight = "#3050e0" }\n'
    )
    printed("answer-buy", "buy", small, offers)


def test_paints(printed, tmp_path):
    said = printed("answer-paints", "paints", CANYON / "paints.toml", "--light", "D65", "--light", "395/15")
    assert said["parameters"]
    printed(
        "answer-paints", "paints", "--light", "led-365", "--card", tmp_path / "card.png", "--width", 600
    )


def test_preview(printed, canyon_scheme, tmp_path):
    brief = CANYON / "brief.toml"
    for light in ("daylight", "both", "change"):
        printed("answer-preview", "preview", brief, canyon_scheme, "--light", light, "--width", 300,
                "--out", tmp_path / f"{light}.png")  # fmt: skip


def test_plan_and_its_papers(printed, canyon_scheme, tmp_path):
    printed("answer-plan", "plan", canyon_scheme, "--plan", CANYON / "plan.toml", "--out", tmp_path)
    # The headings of version 1; a new column would come last.
    headings = {
        "quantities.csv": "product,can,area_m2,area_ft2,coats,spread_m2_per_l,spread_ft2_per_gal,waste,"
        "reserve_l,litres_per_coat,litres,us_gallons,stock_l,buy_l,assumed",
        "sections.csv": "panel,section,paint,can,area_m2,area_ft2",
        "shopping.csv": "product,count,container_l,container_us_gal,price_each,price,currency",
    }
    for name, heading in headings.items():
        with (tmp_path / name).open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
        assert rows[0][: heading.count(",") + 1] == heading.split(","), name
        assert len(rows) > 1
    assert str(Calendar.from_ical((tmp_path / "days.ics").read_bytes())["version"]) == "2.0"
    for path in tmp_path.glob("*.pdf"):
        assert path.read_bytes().startswith(b"%PDF-1."), path.name
    root = Xml.parse(tmp_path / "paint-map.svg").getroot()
    assert root.tag == "{http://www.w3.org/2000/svg}svg"


def test_a_photo_and_its_files(printed, tmp_path):
    said = printed("photo", "photo", CANYON / "painted.jpg", "--paints", CANYON / "paints.toml",
                   "--corners", CORNERS, "--size", SIZE, "--out", tmp_path, "--depth", code=1)  # fmt: skip
    assert load(tmp_path / "photo.json") == said
    assert faults(load(tmp_path / "scheme.json"), "scheme") == []
    with (tmp_path / "sections.csv").open(encoding="utf-8", newline="") as file:
        assert next(csv.reader(file)) == ["section", "paint", "confidence", "next best", "area m2"]
    root = Xml.parse(tmp_path / "panel.svg").getroot()
    assert root.get("data-layout-version") == "1"
    # What was written is read again: last year's wall beside this year's.
    panel = palette.read_layout(tmp_path / "panel.svg")
    assert set(palette.read_scheme(tmp_path / "scheme.json").paint_of) == set(panel.ids)


def test_a_photo_with_a_layout_and_without_paints(printed, tmp_path):
    said = printed("photo", "photo", CANYON / "painted.jpg", "--corners", CORNERS, "--layout",
                   CANYON / "wall.svg", code=1)  # fmt: skip
    # Without a list sections that look alike share a letter.
    assert all(section["paint"].startswith("paint ") for section in said["sections"])
    assert "hatch" in said


def test_compare_and_repaint(printed, canyon_scheme, tmp_path):
    brief = CANYON / "brief.toml"
    said = printed("answer-compare", "compare", CANYON / "painted.jpg", canyon_scheme, "--brief", brief,
                   "--corners", CORNERS, code=1)  # fmt: skip
    assert said["notes"]
    printed("answer-repaint", "repaint", CANYON / "white.jpg", canyon_scheme, "--brief", brief, "--corners",
            CORNERS, "--out", tmp_path)  # fmt: skip


def test_swatches_write_a_paint_file(printed, tmp_path):
    # An invented board: four flat colours with black between, the last an 18 % gray card (sRGB 118).
    pixels = np.full((400, 1200, 3), 8, np.uint8)
    for place, colour in enumerate([(210, 120, 40), (40, 160, 60), (200, 60, 120), (118, 118, 118)]):
        pixels[60:340, 60 + place * 280 : 300 + place * 280] = colour
    Image.fromarray(pixels).save(tmp_path / "board.png")
    out = tmp_path / "paints.toml"
    printed("answer-swatches", "swatches", tmp_path / "board.png", "--corners", "5,5 1195,5 1195,395 5,395",
            "--names", 'apricot, moss, "heather" \\ pink, gray card', "--out", out)  # fmt: skip
    assert faults(load(out), "paints") == []
    assert load(out)["version"] == 1
    assert [paint.id for paint in palette.read_paints(out)] == ["apricot", "moss", '"heather" \\ pink']


def test_the_page_says_where_it_is(tmp_path):
    command = [sys.executable, "-m", "palette", "page", str(tmp_path / "wall"), "--no-browser", "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as page:
        try:
            text = ""
            for line in page.stdout:
                text += line
                if line == "}\n":
                    break
        finally:
            page.send_signal(signal.SIGINT if os.name == "posix" else signal.CTRL_BREAK_EVENT)
            page.wait(timeout=60)
    document = json.loads(text)
    assert faults(document, "answer-page") == []
    assert document["version"] == 1


def test_many_at_once(palette_command, small, tmp_path):
    ran = palette_command("batch", "assign", small, "--out", tmp_path / "hall", "--width", 300, "--json",
                          "--workers", 1)  # fmt: skip
    assert ran.code == 0, ran.err
    assert faults(json.loads(ran.out), "summary") == []
    written = sorted((tmp_path / "hall").rglob("*.json"))
    kinds = {"summary.json": "summary", "job.json": "job", "scheme.json": "scheme"}
    assert {path.name for path in written} == set(kinds)
    for path in written:
        assert faults(load(path), kinds[path.name]) == [], path.name
        assert load(path)["version"] == 1


def test_a_zip_of_the_demo_is_its_files(tmp_path):
    files = read_files(CANYON)
    (tmp_path / "canyon.zip").write_bytes(files_to_zip(files, folder="canyon"))
    with zipfile.ZipFile(tmp_path / "canyon.zip") as archive:
        for name in ("brief.toml", "paints.toml", "plan.toml"):
            archive.extract(f"canyon/{name}", tmp_path)
            kind = name.removesuffix(".toml")
            assert kind in FILES
            assert faults(as_json(load(tmp_path / "canyon" / name)), kind) == []
