"""The demo wall: one list of slabs, shipped as a drawing, a tape-measure layout and a label image."""

from __future__ import annotations

import runpy
from itertools import combinations
from pathlib import Path

import pytest

import palette

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"


@pytest.fixture(scope="module")
def walls():
    return {kind: palette.read_layout(CANYON / f"wall.{kind}") for kind in ("svg", "toml", "png")}


def test_the_three_forms_have_the_same_slabs(walls):
    drawing, tape, picture = walls.values()
    assert len(drawing.sections) == 18
    assert set(drawing.ids) == set(tape.ids) == set(picture.ids)
    for wall in walls.values():
        assert wall.name == "North wall"
        assert (wall.width_mm, wall.height_mm) == pytest.approx((2438.4, 1828.8))
    for section in drawing.sections:
        assert tape.section(section.id).outline.symmetric_difference(section.outline).area < 1e-6
        outline = picture.section(section.id).outline
        assert outline.area == pytest.approx(section.outline.area, rel=0.01)
        assert outline.symmetric_difference(section.outline).area < 0.02 * section.outline.area


def test_the_three_forms_have_the_same_neighbours(walls):
    borders = {
        kind: {
            frozenset((contact.a, contact.b)): contact.border_mm
            for contact in palette.find_neighbours(wall).neighbours
        }
        for kind, wall in walls.items()
    }
    assert borders["svg"] == borders["toml"]
    assert len(borders["svg"]) in (38, 39)
    # One pair is within two pixels of 25 mm, the least border that counts.
    unsure = borders["svg"].keys() ^ borders["png"].keys()
    assert len(unsure) <= 1
    for pair in unsure:
        border = borders["svg"].get(pair) or borders["png"][pair]
        assert border == pytest.approx(25, abs=3.2)


def test_a_drawing_and_a_tape_measure_give_the_same_numbers_to_the_last_bit(walls):
    drawing, tape = walls["svg"], walls["toml"]
    assert (drawing.width_mm, drawing.height_mm) == (tape.width_mm, tape.height_mm) == (2438.4, 1828.8)
    for section in drawing.sections:
        assert tape.section(section.id).outline.normalize().wkb == section.outline.normalize().wkb


def test_joints_are_a_quarter_of_an_inch(walls):
    # Common practice: gaps of 1/4 in (6.35 mm). On a grid of 1/8 in a slanted joint comes within
    # a sixteenth of it; slabs that are farther apart meet at a corner only.
    outlines = [section.outline for section in walls["svg"].sections]
    joints = [a.distance(b) for a, b in combinations(outlines, 2)]
    assert min(joints) > 6.35 - 1.5875
    assert all(abs(joint - 6.35) < 1.5875 for joint in joints if joint < 20)


def test_the_hatch_runs_in_the_joints(walls):
    wall = walls["svg"]
    assert wall.hatch is not None
    inside = [section.id for section in wall.sections if wall.hatch.contains(section.outline)]
    assert inside == ["lintel", "jamb", "door stone"]
    assert not any(wall.hatch.exterior.intersects(section.outline) for section in wall.sections)


def test_the_script_writes_the_shipped_files(tmp_path):
    script = runpy.run_path(str(CANYON / "make_wall.py"))
    script["write_drawing"](tmp_path / "wall.svg")
    script["write_tape"](tmp_path / "wall.toml")
    script["write_label_image"](tmp_path / "wall.png")
    for name in ("wall.svg", "wall.toml"):
        assert (tmp_path / name).read_text() == (CANYON / name).read_text()
    fresh, shipped = (palette.read_layout(folder / "wall.png") for folder in (tmp_path, CANYON))
    assert fresh.ids == shipped.ids
    assert (fresh.label_image.labels == shipped.label_image.labels).all()
