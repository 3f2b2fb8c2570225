"""Corrections of a wall, held against areas and shapes worked out by hand."""

from __future__ import annotations

import pytest
import shapely

import palette
from palette.errors import InputError
from palette.page import wall_edits


@pytest.fixture
def panel():
    """Two stones of 400 x 300 mm side by side with a gap of 10, in a face of 1000 x 300."""
    sections = tuple(
        palette.Section(id=name, outline=shapely.box(x, 0, x + 400, 300))
        for name, x in (("left", 0), ("right", 410))
    )
    return palette.Panel(name="wall", width_mm=1000, height_mm=300, sections=sections)


def test_a_section_added_by_its_corners_leaves_others_what_they_have(panel):
    bigger = wall_edits.add_section(panel, [(700, 0), (1200, 0), (1200, 300), (700, 300)])
    fresh = bigger.section("section 1").outline
    assert fresh.area == pytest.approx((1000 - 810) * 300)
    assert fresh.intersection(panel.section("right").outline).area == 0


@pytest.mark.parametrize(
    ("corners", "sentence"),
    [
        ([(0, 0), (1, 1)], "fewer than three"),
        ([(0, 0), (100, 100), (100, 0), (0, 100)], "sides cross"),
        ([(10, 10), (90, 10), (90, 90)], "cover it already"),
    ],
)
def test_a_section_that_cannot_be_is_told_in_a_sentence(panel, corners, sentence):
    with pytest.raises(InputError, match=sentence):
        wall_edits.add_section(panel, corners)


def test_joining_closes_the_gap(panel):
    joined = wall_edits.join_sections(panel, ["left", "right"])
    assert joined.ids == ("left",)
    assert joined.section("left").outline.area == pytest.approx(810 * 300, rel=0.001)


def test_joining_what_lies_apart_is_refused(panel):
    far = wall_edits.add_section(panel, [(960, 0), (1000, 0), (1000, 300)])
    with pytest.raises(InputError, match="side by side"):
        wall_edits.join_sections(wall_edits.delete_sections(far, ["right"]), ["left", "section 1"])


def test_cutting_gives_two_halves_that_do_not_touch(panel):
    cut = wall_edits.cut_section(panel, "left", (200, -50), (200, 350))
    assert cut.ids == ("left", "right", "section 1")
    halves = [cut.section(name).outline for name in ("left", "section 1")]
    assert all(half.area == pytest.approx(200 * 300, rel=0.01) for half in halves)
    assert halves[0].distance(halves[1]) == pytest.approx(1.0, abs=0.01)
    assert cut.section("right").outline.equals(panel.section("right").outline)


def test_a_cut_beside_a_section_is_refused(panel):
    with pytest.raises(InputError, match="only one part"):
        wall_edits.cut_section(panel, "left", (900, 0), (900, 300))


def test_a_section_becomes_trim_or_opening_or_hatch(panel):
    trim = wall_edits.set_role(panel, "left", "trim")
    assert (trim.ids, trim.features[0].role) == (("right",), "trim")
    hatch = wall_edits.set_role(panel, "left", "hatch")
    assert hatch.ids == panel.ids
    assert hatch.hatch.equals(panel.section("left").outline)


def test_names_stay_unique_and_the_last_section_stays(panel):
    with pytest.raises(InputError, match="another section"):
        wall_edits.rename_section(panel, "left", "right")
    with pytest.raises(InputError, match="no section would be left"):
        wall_edits.delete_sections(panel, ["left", "right"])


def test_bare_numbers_follow_the_drawing_and_names_stay(panel):
    panel = wall_edits.rename_section(wall_edits.rename_section(panel, "left", "7"), "right", "sill")
    panel = wall_edits.cut_section(panel, "7", (200, 0), (200, 300))
    numbered, names = wall_edits.renumber(panel)
    assert numbered.ids == ("1", "sill", "3")
    assert names == {"7": "1", "section 1": "3"}


def test_every_corrected_wall_is_an_ordinary_layout(panel, tmp_path):
    panel = wall_edits.cut_section(panel, "left", (0, 150), (400, 150))
    (tmp_path / "wall.svg").write_text(palette.panel_to_svg(panel))
    again = palette.read_layout(tmp_path / "wall.svg")
    assert again.ids == panel.ids
    for name in panel.ids:
        assert again.section(name).outline.symmetric_difference(panel.section(name).outline).area < 1
