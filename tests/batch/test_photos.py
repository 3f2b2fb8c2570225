"""Many photos: the same answers as one by one, and a faulty one among them."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

import palette
from palette.batch.job import fingerprint_of
from tests.batch.conftest import contents
from tests.conftest import CANYON
from tests.formats.checking import faults

SHARED = Path(__file__).resolve().parents[2] / "../shared/data/photos"


def test_photos_are_judged_as_one_by_one(tmp_path, palette_command, monkeypatch):
    if not SHARED.is_dir():
        pytest.skip("there is no folder of measured photos beside the checkout")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "D01.jpg").write_bytes((SHARED / "D01.jpg").read_bytes())
    (tmp_path / "D02.jpg").write_bytes((SHARED / "D02.jpg").read_bytes()[:4000])
    truth = json.loads((SHARED / "D01.json").read_text())
    single = palette_command("photo", "D01.jpg", "--light", truth["light"], "--out", "single/D01")
    (tmp_path / "list.toml").write_text(f'[[job]]\nphoto = "D01.jpg"\nlight = "{truth["light"]}"\n')
    ran = palette_command("batch", "photo", "D02.jpg", "list.toml", "--out", "out", "--json")
    summary = json.loads(ran.out)
    assert ran.code == 2
    assert faults(summary, "summary") == []
    cut, whole = summary["jobs"]
    assert (cut["id"], cut["state"], whole["id"]) == ("D02", "wrong-input", "D01")
    assert "damaged or cut short" in cut["sentence"]
    assert contents(tmp_path / "out" / "D01") == contents(tmp_path / "single" / "D01")
    assert (whole["state"] == "good") == (single.code == 0)
    # Rendered with exact truth: so many sections are on the panel.
    assert whole["sections"] == len(truth["sections"])


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


def test_all_that_is_known_of_a_photo_counts(tmp_path):
    for name in ("a.jpg", "b.jpg", "paints.toml", "other.toml", "wall.svg"):
        (tmp_path / name).write_bytes(name.encode())
    known = {"photo": tmp_path / "a.jpg", "paints": tmp_path / "paints.toml"}
    corners = np.array([[0.0, 0], [9, 0], [9, 9], [0, 9]])
    changes = [
        {},
        {"photo": tmp_path / "b.jpg"},
        {"paints": tmp_path / "other.toml"},
        {"paints": None},
        {"light": "blacklight"},
        {"corners": corners},
        {"corners": corners + 1},
        {"size_mm": (1000.0, 2000.0)},
        {"layout": tmp_path / "wall.svg"},
        {"labels": tmp_path / "wall.svg"},
        {"depth": True},
    ]
    jobs = [palette.PhotoJob(id="a", request=palette.PhotoRequest(**known | change)) for change in changes]
    jobs.append(palette.PhotoJob(id="a", name="Gate", request=palette.PhotoRequest(**known)))
    found = [fingerprint_of(job, tmp_path / "out" / "a") for job in jobs]
    assert len(set(found)) == len(jobs)
    (tmp_path / "paints.toml").write_bytes(b"changed")
    assert fingerprint_of(jobs[0], tmp_path / "out" / "a") not in found


def test_a_faulty_paint_list_is_told_once(tmp_path, palette_command):
    (tmp_path / "paints.toml").write_text("[[paint]]\n")
    ran = palette_command(
        "batch", "photo", tmp_path, "--paints", tmp_path / "paints.toml", "--out", tmp_path / "o"
    )
    assert (ran.code, (tmp_path / "o").exists()) == (2, False)
    assert ran.err.count("\n") == 1
