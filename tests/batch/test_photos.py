"""Many photos: the same answers as one by one, and a faulty one among them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.batch.conftest import contents
from tests.conftest import CANYON
from tests.formats.checking import faults

SHARED = Path(__file__).resolve().parents[2] / "../shared/data/photos"


def test_photos_are_judged_as_one_by_one(tmp_path, palette_command, monkeypatch):
    if not SHARED.is_dir():
        pytest.skip("there is no folder of measured photos beside the checkout")
    monkeypatch.chdir(tmp_path)
    for name in ("D01", "D03"):
        (tmp_path / f"{name}.jpg").write_bytes((SHARED / f"{name}.jpg").read_bytes())
    (tmp_path / "D02.jpg").write_bytes((SHARED / "D02.jpg").read_bytes()[:4000])
    truth = {name: json.loads((SHARED / f"{name}.json").read_text()) for name in ("D01", "D03")}
    single = {
        name: palette_command(
            "photo", f"{name}.jpg", "--light", truth[name]["light"], "--out", f"single/{name}"
        )
        for name in truth
    }
    (tmp_path / "list.toml").write_text(
        "".join(
            f'[[job]]\nphoto = "{name}.jpg"\nlight = "{truth[name]["light"]}"\n' for name in ("D01", "D03")
        )
    )
    ran = palette_command("batch", "photo", "list.toml", "D02.jpg", "--out", "out", "--json")
    summary = json.loads(ran.out)
    assert ran.code == 2
    assert faults(summary, "summary") == []
    d01, d03, d02 = summary["jobs"]
    assert (d01["id"], d03["id"], d02["id"]) == ("D01", "D03", "D02")
    assert d02["state"] == "wrong-input"
    assert "damaged or cut short" in d02["sentence"]
    for job in (d01, d03):
        assert contents(tmp_path / "out" / job["id"]) == contents(tmp_path / "single" / job["id"])
        assert (job["state"] == "good") == (single[job["id"]].code == 0)
        # Rendered with exact truth: so many sections are on the panel.
        assert job["sections"] == len(truth[job["id"]]["sections"])
    assert palette_command("batch", "photo", "list.toml", "--out", "out", "--json").err == ""


def test_the_demos_photo_clashes_where_two_slabs_have_one_paint(tmp_path, palette_command):
    given = ("--paints", CANYON / "paints.toml", "--size", "8 ft x 6 ft")
    corners = ("--corners", (CANYON / "corners.txt").read_text().strip())
    ran = palette_command(
        "batch", "photo", CANYON / "painted.jpg", *given, *corners, "--out", tmp_path / "out"
    )
    assert ran.code == 1
    (job,) = json.loads((tmp_path / "out" / "summary.json").read_text())["jobs"]
    # The demo's photo is drawn with two neighbouring slabs in one paint (examples/canyon/make_photos.py).
    assert (job["state"], job["clashes"], job["weakest"]["difference"]) == ("broken", 1, 0.0)
    assert (job["rules_kept"], job["rules_broken"]) == (0, 1)
    assert job["sentence"] == "8 and 12 are both heather pink."
    assert "1 clash" in ran.out
    # The sheet shows the photo without the words below it: 4 wide to 3 high, as it was drawn.
    assert job["pictures"] == [{"file": "marked.png", "aspect": pytest.approx(0.75, abs=0.1)}]
    again = palette_command(
        "batch", "photo", CANYON / "painted.jpg", *given, *corners, "--out", tmp_path / "out"
    )
    assert "1 of 1 were done already" in again.out
    night = palette_command(
        "batch", "photo", CANYON / "painted.jpg", *given, *corners, "--depth", "--out", tmp_path / "out"
    )
    assert "were done already" not in night.out


def test_a_faulty_paint_list_is_told_once(tmp_path, palette_command):
    (tmp_path / "paints.toml").write_text("[[paint]]\n")
    ran = palette_command(
        "batch", "photo", tmp_path, "--paints", tmp_path / "paints.toml", "--out", tmp_path / "o"
    )
    assert (ran.code, (tmp_path / "o").exists()) == (2, False)
    assert ran.err.count("\n") == 1
