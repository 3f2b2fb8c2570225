"""Walls as they are built.

Common practice, no source: gaps of 1/4 in, between two sections as round a door; trim boards of
1 to 2 1/2 in, so that two fields may stand 5 1/4 in apart and are neighbours still.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely import box
from stonework import draw_labels, make_panel, side_pairs

from palette.adjacency import find_neighbours
from palette.layouts import read_layout

INCH = 25.4
CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"


@pytest.fixture(params=["outlines", "pixels"])
def as_drawn(request):
    """Return what turns a panel into one that is judged by outlines, or by pixels."""
    return (lambda panel: panel) if request.param == "outlines" else (lambda panel: draw_labels(panel, 1.0))


def test_quarter_inch_gaps_part_neither_stones_nor_a_door_from_its_wall(as_drawn):
    gap = INCH / 4
    door = box(400, 300, 700, 1000)
    left, right = box(0, 0, 400 - gap, 1000), box(700 + gap, 0, 1100, 1000)
    above = box(400, 0, 700, 300 - gap)
    panel = make_panel([left, door, right, above], 1100, 1000)
    contacts = {(c.a, c.b): c for c in find_neighbours(as_drawn(panel)).neighbours}
    assert set(contacts) == {("s0", "s1"), ("s1", "s2"), ("s0", "s3"), ("s2", "s3"), ("s1", "s3")}
    assert contacts["s0", "s1"].gap_mm == pytest.approx(gap, abs=1.0)
    assert contacts["s0", "s1"].border_mm == pytest.approx(700, abs=4)


@pytest.mark.parametrize("trim_in", [1.0, 1.5, 2.0, 2.5])
def test_fields_behind_two_boards_and_a_gap_are_neighbours(as_drawn, trim_in):
    apart = (2 * trim_in + 0.25) * INCH
    panel = make_panel([box(50, 50, 450, 650), box(450 + apart, 50, 850 + apart, 650)], 900 + apart, 700)
    (contact,) = find_neighbours(as_drawn(panel)).contacts
    assert not contact.corner
    assert contact.gap_mm == pytest.approx(apart, abs=1.0)
    # At either free end it runs on by half the gap times tan 20 degrees.
    assert contact.border_mm == pytest.approx(600 + 0.364 * apart, abs=3)


@pytest.mark.parametrize(("apart", "sides"), [(155.0, 1), (165.0, 0), (300.0, 0)])
def test_a_black_area_wider_than_reach_separates(as_drawn, apart, sides):
    panel = make_panel([box(50, 50, 450, 650), box(450 + apart, 50, 850 + apart, 650)], 900 + apart, 700)
    adjacency = find_neighbours(as_drawn(panel))
    assert (len(adjacency.neighbours), len(adjacency.corners)) == (sides, 0)


def test_a_border_counts_only_where_the_two_are_within_reach(as_drawn):
    # The right one is stepped: 60 mm away for its upper 200 mm, 300 mm for the rest.
    stepped = box(460, 0, 900, 200).union(box(700, 200, 900, 600))
    panel = make_panel([box(0, 0, 400, 600), stepped], 900, 600)
    (contact,) = find_neighbours(as_drawn(panel)).contacts
    assert contact.gap_mm == pytest.approx(60, abs=1.5)
    # Below the step's corner the mid-line bends away from it: 0.372 gaps until it faces no more.
    assert contact.border_mm == pytest.approx(200 + 0.372 * 60, abs=3)


def test_fields_round_a_black_opening_meet_only_where_they_face(as_drawn):
    # Four fields like a picture frame round an opening 400 wide: left and right do not meet
    # across it, nor do top and bottom.
    panel = make_panel(
        [
            box(0, 0, 800, 194),
            box(0, 200, 194, 600),
            box(606, 200, 800, 600),
            box(0, 606, 800, 800),
        ],
        800,
        800,
    )
    adjacency = find_neighbours(as_drawn(panel))
    assert side_pairs(adjacency) == {("s0", "s1"), ("s0", "s2"), ("s1", "s3"), ("s2", "s3")}
    assert [c.border_mm for c in adjacency.neighbours] == pytest.approx([194.0] * 4, abs=4)


def test_the_demo_wall_has_the_same_neighbours_in_all_three_forms():
    svg, toml, png = (
        {
            frozenset((contact.a, contact.b)): contact
            for contact in find_neighbours(read_layout(CANYON / f"wall.{form}")).contacts
        }
        for form in ("svg", "toml", "png")
    )
    assert svg.keys() == toml.keys()
    for pair, contact in svg.items():
        assert toml[pair].corner == contact.corner
        assert toml[pair].border_mm == pytest.approx(contact.border_mm, abs=1e-3)
        assert toml[pair].gap_mm == pytest.approx(contact.gap_mm, abs=1e-3)
    pixel = 1.6
    assert svg.keys() == png.keys()
    for pair, contact in svg.items():
        assert png[pair].corner == contact.corner
        border = contact.border_mm
        assert png[pair].border_mm == pytest.approx(border, abs=max(3 * pixel, 0.03 * border))
        if not contact.corner:
            assert png[pair].gap_mm == pytest.approx(contact.gap_mm, abs=2 * pixel)
