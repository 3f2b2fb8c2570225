"""Many walls: the same answers as one by one, whatever goes wrong with one of them."""

from __future__ import annotations

import csv
import io
import json

import colour
import numpy as np
import pytest

import palette
from tests.batch.conftest import RULES, SHARED, contents, start_palette, wall_svg
from tests.formats.checking import faults

SMALL = ("--width", 300)


def test_many_walls_are_answered_as_one_by_one_by_any_number_of_workers(hall, palette_command):
    for name in ("east", "north", "south"):
        (hall / f"{name}.toml").write_text(f'panel = "walls/{name}.svg"\n' + SHARED)
        ran = palette_command("assign", f"{name}.toml", "--out", f"single/{name}", *SMALL)
        assert ran.code == 0
    briefs = ("south.toml", "east.toml", "north.toml")
    ran = palette_command("batch", "assign", *briefs, "--out", "one", "--workers", 1, *SMALL)
    assert (ran.code, ran.err.count("\n")) == (0, 3)
    two = start_palette("batch", "assign", *briefs, "--out", "two", "--workers", 2, *SMALL, folder=hall)
    _, said = two.communicate(timeout=120)
    assert two.returncode == 0, said
    for name in ("east", "north", "south"):
        single = contents(hall / "single" / name)
        assert set(single) == {
            "scheme.json",
            "daylight.png",
            "blacklight.png",
            "both.png",
            "neighbours.png",
        }
        assert contents(hall / "one" / name) == single
        assert contents(hall / "two" / name) == single
    # The order is the one in which the walls were named, whoever finished first.
    for folder in ("one", "two"):
        jobs = json.loads((hall / folder / "summary.json").read_text())["jobs"]
        assert [job["id"] for job in jobs] == ["south", "east", "north"]
        rows = list(csv.DictReader(io.StringIO((hall / folder / "summary.csv").read_text())))
        assert [row["folder"] for row in rows] == ["south", "east", "north"]


def test_one_walls_fault_is_told_and_the_others_go_on(hall, palette_command):
    (hall / "walls" / "east.svg").write_text("<svg")
    # Every slab looks at two others across a joint; with one paint for the upper two, they clash.
    (hall / "walls" / "north.toml").write_text(
        'panel = "north.svg"\npaints = "../paints.toml"\n' + RULES
        + '[[rule]]\nkind = "only"\nsections = "cap *"\npaints = ["moss"]\n'
    )  # fmt: skip
    (hall / "walls" / "south.toml").write_text('panel = "south.svg"\npaints = "../paints.toml"\n' + RULES)
    (hall / "walls" / "east.toml").write_text('panel = "east.svg"\npaints = "../paints.toml"\n' + RULES)
    ran = palette_command("batch", "assign", "walls", "--out", "out", "--workers", 1, "--json", *SMALL)
    assert (ran.code, ran.err) == (2, "")
    summary = json.loads(ran.out)
    assert faults(summary, "summary") == []
    assert summary == json.loads((hall / "out" / "summary.json").read_text())
    east, north, south = summary["jobs"]
    assert (east["state"], north["state"], south["state"]) == ("wrong-input", "no-scheme", "good")
    assert east["sentence"].startswith("walls/east.svg")
    assert north["sentence"].startswith("There is no scheme for North wall")
    assert north["files"] == ["reasons.png"]
    assert not (hall / "out" / "east").exists()
    assert faults(json.loads((hall / "out" / "south" / "job.json").read_text()), "job") == []
    assert (hall / "out" / "contact-sheet.pdf").read_bytes().startswith(b"%PDF")

    (hall / "walls" / "east.toml").unlink()
    again = palette_command("batch", "assign", "walls", "--out", "out", "--workers", 1, *SMALL)
    assert again.code == 1
    assert "1 good · 1 without a scheme. 2 of 2 were done already." in again.out


def test_the_table_tells_what_is_on_the_wall(hall, palette_command):
    # Two slabs and two paints leave one choice: the weakest pair is those two paints' difference.
    (hall / "walls" / "gate.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="400mm" viewBox="0 0 600 400">'
        '<title>=Gate</title><rect width="297" height="400"/><rect x="303" width="297" height="400"/></svg>'
    )
    (hall / "two.toml").write_text(
        'name = "=Gate"\npanel = "walls/gate.svg"\nlights = ["daylight"]\n'
        + RULES
        + '[[paint]]\nname = "pale"\nswatch = { daylight = [80, 10, 20] }\n'
        + '[[paint]]\nname = "deep"\nswatch = { daylight = [40, -30, -20] }\n'
    )
    ran = palette_command("batch", "assign", "two.toml", "--out", "out", *SMALL)
    assert ran.code == 0
    # CIEDE2000 of the two swatches by colour-science, whose formula is held against Sharma et al. 2005.
    apart = float(colour.delta_E(np.array([80, 10, 20]), np.array([40, -30, -20]), method="CIE 2000"))
    row = next(csv.DictReader(io.StringIO((hall / "out" / "summary.csv").read_text())))
    assert float(row["difference CIEDE2000"]) == pytest.approx(apart, abs=0.006)
    assert float(row["at best CIEDE2000"]) == pytest.approx(apart, abs=0.006)
    assert (row["sections"], row["paints used"], row["clashes"]) == ("2", "2", "0")
    assert (row["rules kept"], row["rules broken"]) == ("1", "0")
    # A spreadsheet would run a cell that begins with "=" (OWASP, CSV injection).
    assert row["name"] == "'=Gate"


def test_a_shared_brief_answers_every_layout_and_leaves_a_brief_that_does_the_same(hall, palette_command):
    ran = palette_command(
        "batch", "assign", "walls", "--brief", "hall.toml", "--out", "out", "--workers", 1, *SMALL
    )
    assert ran.code == 0
    jobs = json.loads((hall / "out" / "summary.json").read_text())["jobs"]
    assert [job["name"] for job in jobs] == ["East wall", "North wall", "South wall", "West wall"]
    made = hall / "out" / "north" / "brief.toml"
    assert palette_command("assign", made, "--out", hall / "once" / "north", *SMALL).code == 0
    once = json.loads((hall / "once" / "north" / "scheme.json").read_text())
    many = json.loads((hall / "out" / "north" / "scheme.json").read_text())
    assert many["brief"] == "brief.toml"
    assert once["paint_of"] == many["paint_of"]
    # Other commands go on from there.
    assert palette_command("check", made, hall / "out" / "north" / "scheme.json").code == 0


def test_a_fault_of_the_shared_brief_names_the_shared_brief(hall, palette_command):
    (hall / "hall.toml").write_text(SHARED + 'colour = "red"\n')
    ran = palette_command(
        "batch", "assign", "walls/north.svg", "--brief", "hall.toml", "--out", "out", "--json"
    )
    (job,) = json.loads(ran.out)["jobs"]
    assert ran.code == 2
    assert job["sentence"].startswith("hall.toml, rule 1 (clash): ")
    assert "brief.toml" not in job["sentence"]


def test_a_file_changed_in_the_midst_leaves_no_mark(hall):
    layout = hall / "walls" / "north.svg"
    (hall / "north.toml").write_text('panel = "walls/north.svg"\n' + SHARED)

    class Meddled(palette.BriefJob):
        """A job during which somebody draws on."""

        __slots__ = ()

        def do(self, folder):
            result = palette.BriefJob.do(self, folder)
            layout.write_text(wall_svg("North wall", split=333))
            return result

    job = Meddled(id="north", brief=hall / "north.toml", options=palette.AssignOptions(width_px=300))
    batch = palette.run_batch([job], hall / "out", workers=1)
    assert batch.results[0].state == "wrong-input"
    assert "was changed while it was worked on" in batch.results[0].sentence
    assert not (hall / "out" / "north" / "job.json").exists()


def test_a_fault_of_our_own_is_told_as_ours(hall):
    class Faulty(palette.BriefJob):
        """A job with a slip in its code."""

        __slots__ = ()

        def do(self, folder):
            raise ZeroDivisionError("nought")

    bad = Faulty(id="bad", brief=hall / "hall.toml", options=palette.AssignOptions())
    (good,) = palette.list_layouts(
        [hall / "walls" / "west.svg"], hall / "hall.toml", options=palette.AssignOptions(width_px=300)
    )
    batch = palette.run_batch([bad, good], hall / "out", workers=1)
    assert [result.state for result in batch.results] == ["failed", "good"]
    assert "palette itself failed here (ZeroDivisionError: nought)" in batch.results[0].sentence


def test_options_are_refused_before_anything_is_begun(hall, palette_command):
    ran = palette_command(
        "batch", "assign", "walls", "--brief", "hall.toml", "--out", "out", "--seconds", 0
    )
    assert (ran.code, (hall / "out").exists()) == (2, False)
    assert ran.err == "--seconds: 0 is no time to search in; write a number above 0.\n"
