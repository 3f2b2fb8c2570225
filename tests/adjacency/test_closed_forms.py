"""Borders whose length follows from school geometry; and the chart grid, counted by formula.

At the free end of a joint of width g the mid-line runs on until its two feet lie 40 degrees from
opposite. Beside an edge that goes on it is a parabola with the corner as its focus: y = x²/2g. The
foot's direction is t degrees off the upright at x = g tan(t/2), so the arc ends at x = g tan 20,
and its length is g/2 (k sqrt(1 + k²) + asinh k) with k = tan 20. Beside another corner it is
straight, square to the line between the two, and ends g/2 tan 20 from it.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import Polygon, affinity, box
from stonework import (
    brick_wall,
    chart_grid,
    corner_pairs,
    draw_labels,
    make_panel,
    side_pairs,
    stone_wall,
    turn_panel,
)

from palette.adjacency import find_neighbours, find_neighbours_by_pixels
from palette.errors import InputError

TAN_20 = np.tan(np.radians(20))
BESIDE_AN_EDGE = (TAN_20 * np.hypot(1, TAN_20) + np.arcsinh(TAN_20)) / 2
BESIDE_A_CORNER = TAN_20 / 2

CHORDS_MM = 0.15  # what a bent end loses by being measured along chords


def only_contact(panel, **options):
    (contact,) = find_neighbours(panel, **options).contacts
    return contact


def facing_boxes(overlap, gap):
    return make_panel([box(300, 100, 500, 300), box(500 - overlap, 300 + gap, 700, 500 + gap)], 1000, 800)


def facing_length(overlap, gap):
    """Return how long the boxes face each other; all of 200, they end together at the left."""
    if gap == 160:  # beside an edge the two are at once farther apart than reach
        return overlap + BESIDE_A_CORNER * gap * (overlap == 200)
    return overlap + (BESIDE_AN_EDGE + (BESIDE_A_CORNER if overlap == 200 else BESIDE_AN_EDGE)) * gap


@pytest.mark.parametrize("gap", [0.0, 0.1, 0.5, 1.0, 6.35, 20.0, 76.2, 133.35, 160.0])
@pytest.mark.parametrize("overlap", [30.0, 77.0, 200.0])
def test_two_rectangles_share_exactly_their_overlap(overlap, gap):
    # Points on the outlines are 2 mm apart at the least, so the ends of a border across a hairline
    # are uncertain by such a step each, or a little more.
    sure = 5.0 if 0 < gap < 2 else CHORDS_MM
    contact = only_contact(facing_boxes(overlap, gap))
    assert not contact.corner
    assert contact.border_mm == pytest.approx(facing_length(overlap, gap), abs=sure)
    assert contact.mid_line.length == pytest.approx(facing_length(overlap, gap), abs=sure)
    # Along the parabola the feet are g sqrt(1 + (x/g)²) apart, which adds g² (k + k³/3) in all.
    extra = (TAN_20 + TAN_20**3 / 3 - BESIDE_AN_EDGE) * gap * gap * (1 if overlap == 200 else 2)
    mean = gap if gap == 160 else gap + extra / facing_length(overlap, gap)
    assert contact.gap_mm == pytest.approx(mean, abs=0.1)


def test_two_rectangles_share_exactly_their_overlap_in_pixels_too():
    for overlap, gap in ((77.0, 6.0), (77.0, 60.0), (77.0, 133.0), (200.0, 20.0)):
        (contact,) = find_neighbours(draw_labels(facing_boxes(overlap, gap), 1.0)).contacts
        assert contact.border_mm == pytest.approx(facing_length(overlap, gap), abs=3)


@pytest.mark.parametrize(("overlap", "gap"), [(20.0, 0.0), (20.0, 6.35), (5.0, 20.0), (1.0, 30.0)])
def test_a_border_shorter_than_the_least_that_counts_is_a_corner(overlap, gap):
    border = overlap + 2 * BESIDE_AN_EDGE * gap
    contact = only_contact(facing_boxes(overlap, gap))
    assert contact.corner
    assert contact.border_mm == pytest.approx(border, abs=CHORDS_MM)
    assert contact.gap_mm == pytest.approx(gap, abs=1e-6)
    assert not only_contact(facing_boxes(overlap, gap), min_border_mm=border - CHORDS_MM).corner


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0])
@pytest.mark.parametrize("gap", [6.0, 60.0])
def test_a_slanting_joint_is_as_long_as_a_level_one(turn, gap):
    level = facing_boxes(90.0, gap)
    outlines = [affinity.rotate(section.outline, turn, origin=(500, 350)) for section in level.sections]
    contact = only_contact(make_panel(outlines, 1000, 800))
    assert contact.border_mm == pytest.approx(90.0 + 2 * BESIDE_AN_EDGE * gap, abs=CHORDS_MM)
    assert contact.gap_mm == pytest.approx(only_contact(level).gap_mm, abs=0.02)


@pytest.mark.parametrize("offset", [6.0, 20.0, 45.0, 60.0, 106.0])
def test_squares_corner_to_corner_face_each_other_for_a_third_of_their_gap(offset):
    panel = make_panel([box(100, 100, 300, 300), box(300 + offset, 300 + offset, 500, 500)], 800, 800)
    gap = offset * 2**0.5
    for contact, blur in (
        (only_contact(panel), 0.02),
        (only_contact(draw_labels(panel, 1.0)), 2.0),
    ):
        assert contact.border_mm == pytest.approx(gap * TAN_20, abs=blur)
        assert contact.corner == (gap < 25 / TAN_20)  # 68.7 mm
        assert contact.gap_mm == pytest.approx(gap, abs=0.01)


def test_squares_corner_to_corner_beyond_reach_do_not_meet():
    panel = make_panel([box(100, 100, 300, 300), box(420, 420, 500, 500)], 800, 800)
    assert find_neighbours(panel).contacts == ()


@pytest.mark.parametrize(("inner", "outer"), [(200.0, 206.0), (200.0, 260.0), (100.0, 220.0)])
def test_concentric_arcs_share_the_arc_halfway(inner, outer):
    # Length of the arc halfway, angle times mean radius, and two free ends, corner beside corner.
    angles = np.linspace(np.radians(200), np.radians(340), 141)
    rim = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    centre = np.array([500.0, 600.0])
    inside = Polygon(np.concatenate([centre + 50 * rim, (centre + inner * rim)[::-1]]))
    outside = Polygon(np.concatenate([centre + outer * rim, (centre + 400 * rim)[::-1]]))
    gap = outer - inner
    halfway = np.radians(140) * (inner + outer) / 2 + 2 * BESIDE_A_CORNER * gap
    panel = make_panel([inside, outside], 1000, 800)
    contact = only_contact(panel)
    assert contact.border_mm == pytest.approx(halfway, rel=0.001)
    assert contact.gap_mm == pytest.approx(gap, abs=0.05)
    assert only_contact(draw_labels(panel, 1.0)).border_mm == pytest.approx(halfway, abs=3.0)


def test_a_ring_faces_what_it_encloses_all_round():
    # Four sides, and round each corner of the inner square two parabolas, cut at 40 of 45 degrees.
    ring = box(100, 100, 700, 700).difference(box(200, 200, 600, 600))
    contact = only_contact(make_panel([ring, box(220, 220, 580, 580)], 800, 800))
    assert contact.border_mm == pytest.approx(4 * 360 + 8 * BESIDE_AN_EDGE * 20, abs=4 * CHORDS_MM)
    assert 20 <= contact.gap_mm < 20.2


@pytest.mark.parametrize(("inner", "outer", "turn"), [(64, 64, 0.0), (64, 48, 2.0), (32, 40, 0.0)])
def test_a_disc_set_into_a_plate_touches_all_round(inner, outer, turn):
    # The two circles are cut to different chords, so that they touch here and gape there. The
    # circumference is the length; chords and hairlines cost a few per cent.
    disc = affinity.rotate(shapely.Point(500, 500).buffer(200, quad_segs=inner // 4), turn)
    hole = shapely.Point(500, 500).buffer(200, quad_segs=outer // 4)
    plate = box(100, 100, 900, 900).difference(hole).difference(disc)
    contact = only_contact(make_panel([disc, plate], 1000, 1000))
    assert not contact.corner
    assert contact.border_mm == pytest.approx(2 * np.pi * 200, rel=0.03)
    assert contact.gap_mm < 0.5


def test_touching_stones_still_touch_when_the_wall_is_turned():
    # Turning leaves rounding in the last digits: edges that were one are so no more.
    panel = stone_wall(30, 4, gap_mm=0.0)
    level, turned = find_neighbours(panel), find_neighbours(turn_panel(panel, 33))
    assert side_pairs(level) == side_pairs(turned)
    assert corner_pairs(level) == corner_pairs(turned)
    for one, two in zip(level.neighbours, turned.neighbours, strict=True):
        assert two.border_mm == pytest.approx(one.border_mm, abs=0.01)
        assert two.gap_mm == 0


def test_a_touching_stretch_that_opens_to_a_wedge_counts_in_both_parts():
    # Touch for 100, then open at 20 degrees along edges of 150. The mid-line halves the angle, even
    # beyond the edges' ends, which are 300 sin 10 apart: there it is 150 cos 10 long and runs on
    # as between any two corners. Where it begins the gap is a hairline, so 2 mm are unsure.
    slope = np.radians(20)
    tip = np.array([500 + 150 * np.cos(slope), 300 - 150 * np.sin(slope)])
    upper = Polygon([(400, 300), (500, 300), tip, (tip[0], 100), (400, 100)])
    lower = box(400, 300, 500 + 150, 500)
    contact = only_contact(make_panel([upper, lower], 1000, 800))
    ten = np.radians(10)
    expected = 100 + 150 * np.cos(ten) + 300 * np.sin(ten) * BESIDE_A_CORNER
    assert contact.border_mm == pytest.approx(expected, abs=2.0)
    assert not contact.corner


@pytest.mark.parametrize("gap", [0.0, 1.0, 6.35, 19.0, 64.0, 100.0, 133.0])
def test_the_chart_grid_has_38_sides_and_30_corners(gap):
    # m rows of n: m(n-1) + n(m-1) sides and 2(m-1)(n-1) diagonal pairs, for 4 x 6.
    panel = chart_grid(gap)
    adjacency = find_neighbours(panel)
    side = 200 + 2 * BESIDE_A_CORNER * gap
    assert (len(adjacency.neighbours), len(adjacency.corners)) == (38, 30)
    assert [contact.border_mm for contact in adjacency.neighbours] == pytest.approx(
        [side] * 38, abs=0.4 if 0 < gap < 2 else 0.02
    )
    assert {(c.a, c.b) for c in adjacency.corners} == {
        (f"s{6 * row + column}", f"s{6 * (row + 1) + column + step}")
        for row in range(3)
        for column in range(6)
        for step in (-1, 1)
        if 0 <= column + step < 6
    }


@pytest.mark.parametrize("gap", [0.0, 1.0, 6.0, 19.0, 64.0, 133.0])
def test_the_chart_grid_of_pixels_has_38_sides_and_30_corners(gap):
    adjacency = find_neighbours_by_pixels(draw_labels(chart_grid(gap), 1.0), reach_mm=160, min_border_mm=25)
    assert (len(adjacency.neighbours), len(adjacency.corners)) == (38, 30)
    assert [c.border_mm for c in adjacency.neighbours] == pytest.approx(
        [200 + 2 * BESIDE_A_CORNER * gap] * 38, abs=3
    )
    assert [c.gap_mm for c in adjacency.neighbours] == pytest.approx([gap] * 38, abs=0.5)


@pytest.mark.parametrize("gap", [0.0, 6.35, 40.0, 120.0])
def test_staggered_courses_have_no_false_sides(gap):
    # Each course of whole bricks: 5, then 4 whole and 2 halves. Sides within a course are bricks
    # less one; between courses each brick rests on two, so both joints count: 10 for 5 over 6.
    panel = brick_wall(5, 4, gap_mm=gap)
    rows = [5, 6, 5, 6]
    expected = sum(count - 1 for count in rows) + 3 * 10
    for adjacency in (find_neighbours(panel), find_neighbours(draw_labels(panel, 2.0))):
        assert (len(adjacency.neighbours), len(adjacency.corners)) == (expected, 0)


def test_gaps_do_not_leak_round_the_panel():
    # Three tall slabs from edge to edge: the outer two never meet, not even above the wall.
    panel = make_panel([box(0, 0, 100, 500), box(106, 0, 206, 500), box(212, 0, 312, 500)], 312, 500)
    assert side_pairs(find_neighbours(panel)) == {("s0", "s1"), ("s1", "s2")}
    assert corner_pairs(find_neighbours(panel)) == set()


def test_one_section_alone_has_no_contacts():
    panel = make_panel([box(0, 0, 100, 100)], 200, 200)
    assert find_neighbours(panel).contacts == ()
    assert find_neighbours(draw_labels(panel, 1.0)).contacts == ()


def test_the_graph_carries_what_the_contacts_say():
    adjacency = find_neighbours(chart_grid(6.0))
    graph = adjacency.to_networkx()
    assert graph.number_of_nodes() == 24
    assert graph.number_of_edges() == 38
    edge = graph.edges["s0", "s1"]
    assert edge["gap_mm"] == pytest.approx(6.0)
    # Halfway across the first joint, from top to bottom of the patches and a little beyond.
    top, bottom = 50 - 6 * BESIDE_A_CORNER, 250 + 6 * BESIDE_A_CORNER
    assert shapely.equals_exact(
        shapely.normalize(edge["mid_line"]),
        shapely.normalize(shapely.MultiLineString([[(253, top), (253, bottom)]])),
        tolerance=0.01,
    )
    assert adjacency.to_networkx(corners=True).number_of_edges() == 68


@pytest.mark.parametrize("bad", [{"reach_mm": -1.0}, {"min_border_mm": float("nan")}])
def test_a_length_that_is_none_is_refused(bad):
    with pytest.raises(InputError, match="give 0 or more"):
        find_neighbours(chart_grid(6.0), **bad)
