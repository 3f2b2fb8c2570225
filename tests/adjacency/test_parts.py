"""The parts the neighbours are made of, each against shapely or against school geometry."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from scipy import ndimage
from shapely import Polygon, box
from stonework import corner_pairs, draw_labels, make_panel, side_pairs

from palette.adjacency import find_neighbours
from palette.adjacency.borders import are_opposite
from palette.adjacency.mid_line import _clip_to_panel, _unit, trace_mid_lines
from palette.adjacency.outline import (
    LARGEST_STEP_MM,
    LEAST_STEP_MM,
    STEP_PER_GAP,
    _nearest_on,
    divide,
    sample_outlines,
)
from palette.adjacency.raster import _find_crossings, _find_sides, _pixel_gap
from palette.adjacency.vector import _find_shared, _sample_free_outlines


def random_segments(seed, count=400):
    """Return segments in and around a panel of 100 x 60, some upright, some level, some a point."""
    rng = np.random.default_rng(seed)
    starts, stops = rng.uniform(-60, 160, (2, count, 2)).round(1)
    stops[::7, 0] = starts[::7, 0]
    stops[::11, 1] = starts[::11, 1]
    return starts, stops


def test_segments_are_clipped_as_shapely_clips_them():
    panel = make_panel([box(0, 0, 100, 60)], 100, 60)
    starts, stops = random_segments(1)
    begin, end, inside = _clip_to_panel(starts, stops, panel)
    clipped = shapely.intersection(
        shapely.linestrings(np.stack([starts, stops], axis=1)), box(0, 0, 100, 60)
    )
    assert inside.tolist() == (shapely.length(clipped) > 0).tolist()
    assert 80 < inside.sum() < 320
    for k in np.flatnonzero(inside):
        assert np.concatenate([begin[k], end[k]]) == pytest.approx(
            np.ravel(clipped[k].coords), abs=1e-9
        ) or np.concatenate([end[k], begin[k]]) == pytest.approx(np.ravel(clipped[k].coords), abs=1e-9)
        # The way it runs is kept.
        assert (end[k] - begin[k]) @ (stops[k] - starts[k]) > 0


def test_a_segment_along_the_panels_edge_is_on_the_panel():
    panel = make_panel([box(0, 0, 100, 60)], 100, 60)
    starts = np.array([[0.0, -5], [100, 10], [-5, 60], [20, 0]])
    stops = np.array([[0.0, 20], [100, 90], [50, 60], [20, 30]])
    begin, end, inside = _clip_to_panel(starts, stops, panel)
    assert inside.all()
    assert begin == pytest.approx(np.array([[0.0, 0], [100, 10], [0, 60], [20, 0]]))
    assert end == pytest.approx(np.array([[0.0, 20], [100, 60], [50, 60], [20, 30]]))


@pytest.mark.parametrize(
    ("longest", "counts"), [(10.0, [3, 1, 1, 2]), (15.0, [2, 1, 1, 1]), (30.0, [1] * 4)]
)
def test_segments_are_divided_into_equal_parts(longest, counts):
    starts = np.array([[0.0, 0], [5, 5], [9, 9], [0, 0]])
    stops = np.array([[30.0, 0], [5, 5], [9, 19], [9, 12]])
    first, last, parent = divide(starts, stops, longest)
    assert parent.tolist() == np.repeat(np.arange(4), counts).tolist()
    for k, count in enumerate(counts):
        own = parent == k
        ends = np.concatenate([first[own], last[own][-1:]])
        assert ends == pytest.approx(np.linspace(starts[k], stops[k], count + 1))
        assert (last[own][-1] == stops[k]).all()  # exactly, so that parts of two lines still meet
    # One limit for each segment.
    _, _, parent = divide(starts, stops, np.array([10.0, 10.0, 4.0, 30.0]))
    assert np.bincount(parent).tolist() == [3, 1, 3, 1]


def test_the_nearest_point_of_a_segment_is_shapelys():
    starts, stops = random_segments(2)
    x = np.random.default_rng(3).uniform(-60, 160, (len(starts), 2))
    found = _nearest_on(starts, stops, x)
    lines = shapely.linestrings(np.stack([starts, stops], axis=1))
    assert np.hypot(*(found - x).T) == pytest.approx(shapely.distance(lines, shapely.points(x)), abs=1e-9)
    assert shapely.distance(lines, shapely.points(found)).max() < 1e-9
    point = np.array([[3.0, 4.0]])
    assert (_nearest_on(point, point, np.array([[9.0, 9.0]])) == point).all()


def test_lines_of_length_one_and_none():
    assert _unit(np.array([[3.0, 4], [0, 0], [-5, 0]])).tolist() == [[0.6, 0.8], [0, 0], [-1, 0]]


@pytest.mark.parametrize(
    ("turn", "opposite"), [(0.0, True), (39.9, True), (-39.9, True), (40.1, False), (90, False)]
)
def test_opposite_is_within_forty_degrees(turn, opposite):
    angle = np.radians(180 + turn)
    for size in (0.2, 1.0, 30.0):
        to_a, to_b = np.array([[1.0, 0]]), size * np.array([[np.cos(angle), np.sin(angle)]])
        assert are_opposite(to_a, to_b).tolist() == [opposite]
        assert are_opposite(7 * to_b, to_a).tolist() == [opposite]
    # Where a point lies on one of the two, nothing can be said.
    assert are_opposite(np.zeros((1, 2)), np.array([[1.0, 0]])).tolist() == [False]


def outlines_of(polygons):
    polygons = np.array(polygons, dtype=object)
    return polygons, shapely.STRtree(polygons)


def test_an_outline_becomes_a_ring_of_points_dense_where_another_is_close():
    """100 x 100 with a second one 2 mm away on its right, a hole in the first."""
    ring = box(0, 0, 100, 100) - box(40, 40, 60, 60)
    polygons, tree = outlines_of([ring, box(102, 0, 202, 100)])
    parts, owner = shapely.get_parts(shapely.boundary(polygons), return_index=True)
    samples = sample_outlines(parts, owner, polygons, tree)
    spots = {tuple(point) for point in samples.points.round(6).tolist()}
    assert len(spots) == len(samples.points)
    for polygon in polygons:
        assert {tuple(corner) for corner in shapely.get_coordinates(polygon).tolist()} <= spots
    rims = shapely.boundary(polygons)
    assert shapely.distance(shapely.points(samples.points), rims[samples.owner]).max() < 1e-9
    ahead = np.hypot(*(samples.after - samples.points).T)
    back = np.hypot(*(samples.before - samples.points).T)
    assert ahead.max() <= LARGEST_STEP_MM + 1e-9
    assert sorted(ahead.round(6)) == sorted(back.round(6))
    # On the sides that face across 2 mm: 1.9 times the gap.
    facing = (samples.points[:, 0] == 100) & (samples.points[:, 1] > 30) & (samples.points[:, 1] < 70)
    assert LEAST_STEP_MM <= ahead[facing].max() <= STEP_PER_GAP * 2 + 1e-9
    far = (samples.points[:, 0] == 0) & (samples.points[:, 1] > 10)
    assert ahead[far].min() > STEP_PER_GAP * 2
    # All steps ahead, added up, are the outlines.
    for place in range(2):
        assert ahead[samples.owner == place].sum() == pytest.approx(rims[place].length)
        assert back[samples.owner == place].sum() == pytest.approx(rims[place].length)


def test_an_open_stretch_ends_in_points_of_its_own():
    polygons, tree = outlines_of([box(0, 0, 30, 30), box(500, 0, 530, 30)])
    lines = np.array(
        [shapely.LineString([(30, 0), (0, 0), (0, 30)]), shapely.boundary(polygons[1])], object
    )
    samples = sample_outlines(lines, np.array([0, 1]), polygons, tree)
    own = samples.owner == 0
    points, before, after = samples.points[own], samples.before[own], samples.after[own]
    at = {tuple(point): k for k, point in enumerate(points.round(6).tolist())}
    first, last = at[30.0, 0.0], at[0.0, 30.0]
    assert (before[first] == points[first]).all()
    assert (after[last] == points[last]).all()
    assert np.hypot(*(after - points).T).sum() == pytest.approx(60)
    assert np.hypot(*(before - points).T).sum() == pytest.approx(60)
    # The feet of points about the corner lie on the stretch, whichever way it goes on.
    for x in ((-5.0, 12.0), (12.0, -5.0), (-3.0, -4.0), (35.0, -1.0), (9.0, 11.0)):
        near = int(np.argmin(np.hypot(*(points - x).T)))
        foot = samples.feet(np.flatnonzero(own)[[near]], np.array([x]))[0]
        assert np.hypot(*(foot - x)) == pytest.approx(lines[0].distance(shapely.Point(x)))


def traced(panel, reach_mm=160.0):
    polygons, tree = outlines_of([section.outline for section in panel.sections])
    samples = _sample_free_outlines(polygons, tree, *_find_shared(polygons, tree))
    return trace_mid_lines(samples, panel, tree, reach_mm)


@pytest.mark.parametrize("gap", [6.35, 20.0, 60.0, 120.0])
def test_three_zones_meet_where_all_three_are_equally_far(gap):
    """Two slabs over a third, gaps g. Below their corners by t, sqrt(g²/4 + t²) = g - t, so t = 3g/8."""
    middle = 400.0
    panel = make_panel(
        [
            box(0, 0, middle - gap / 2, 300),
            box(middle + gap / 2, 0, 800, 300),
            box(0, 300 + gap, 800, 600),
        ],
        800,
        600,
    )
    pieces, crossings = traced(panel)
    zone = {
        pair: pieces.zone_mm[(pieces.pairs == pair).all(axis=1)].sum() for pair in ((0, 1), (0, 2), (1, 2))
    }
    assert zone[0, 1] == pytest.approx(300 + 3 * gap / 8, abs=0.01)
    # From the edge straight to the corner, then the parabola y = x²/2g, 0 at the corner, to x = g/2.
    bent = gap / 2 * (0.5 * np.hypot(1, 0.5) + np.arcsinh(0.5))
    assert zone[0, 2] == pytest.approx(middle - gap / 2 + bent, abs=0.15)
    assert zone[1, 2] == pytest.approx(zone[0, 2], abs=0.01)
    assert {tuple(pair) for pair in np.sort(crossings, axis=1).tolist()} == {(0, 1), (0, 2), (1, 2)}
    assert pieces.gap_mm[pieces.border_mm > 0].min() == pytest.approx(gap, abs=1e-3)


@pytest.mark.parametrize("turn", [0.0, 30.0])
@pytest.mark.parametrize("gap", [10.0, 50.0])
def test_three_stones_round_a_point_meet_in_it(gap, turn):
    """Three sectors of 120 degrees, each drawn back by half the gap: all borders end at the middle."""
    centre, stones = np.array([500.0, 500.0]), []
    for k in range(3):
        angles = np.radians(turn + 120 * k + np.linspace(0, 120, 25))
        rim = centre + 400 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
        stones.append(Polygon([centre, *rim]).buffer(-gap / 2, join_style="mitre"))
    contacts = find_neighbours(make_panel(stones, 1000, 1000)).neighbours
    assert len(contacts) == 3
    for contact in contacts:
        assert contact.gap_mm == pytest.approx(gap, abs=0.6)
        # The stones' inner corners stand gap / sqrt(3) from the middle, where two feet lie 120 degrees
        # apart; the border ends before that, where they are 40 degrees from opposite.
        ends = shapely.get_coordinates(contact.mid_line)
        assert 0 < np.hypot(*(ends - centre).T).min() < gap / 3**0.5


def test_pixels_are_squares_with_free_space_between():
    one = np.array([[0.0, 0], [0, 0], [0, 0], [3, 3]])
    two = np.array([[1.0, 0], [3, 0], [4, 5], [3, 3]])
    assert _pixel_gap(one, two).tolist() == [0.0, 2.0, 5.0, 0.0]
    assert _pixel_gap(two, one).tolist() == [0.0, 2.0, 5.0, 0.0]


QUARTERS = np.repeat(np.repeat([[1, 2], [3, 4]], 3, axis=0), 3, axis=1).astype(np.int32)
OWN_PIXEL = np.arange(36, dtype=np.int32).reshape(6, 6)


def test_the_sides_between_pixels_of_different_zones():
    """Four quarters of 3 x 3 pixels, worked by hand; x, y of pixel centres."""
    places = np.array([-1, 0, 1, 2, 3])
    level = _find_sides(QUARTERS, OWN_PIXEL, places, 0)
    assert level.pairs.tolist() == [[0, 2]] * 3 + [[1, 3]] * 3
    assert level.middle.tolist() == [[x, 2.5] for x in range(6)]
    assert level.along.tolist() == [[0.5, 0.0]] * 6
    assert level.way.tolist() == [1.0] * 6
    assert level.foot_a.tolist() == [[x, 2] for x in range(6)]
    assert level.foot_b.tolist() == [[x, 3] for x in range(6)]
    upright = _find_sides(QUARTERS, OWN_PIXEL, places, 1)
    assert upright.pairs.tolist() == [[0, 1]] * 3 + [[2, 3]] * 3
    assert upright.middle.tolist() == [[2.5, y] for y in range(6)]
    assert upright.along.tolist() == [[0.0, 0.5]] * 6
    # With the quarters named the other way round a is below, or on the right.
    turned = _find_sides(QUARTERS, OWN_PIXEL, np.array([-1, 3, 2, 1, 0]), 1)
    assert turned.pairs.tolist() == [[2, 3]] * 3 + [[0, 1]] * 3
    assert turned.way.tolist() == [-1.0] * 6
    assert turned.foot_a.tolist() == [[3, y] for y in range(6)]
    assert turned.foot_b.tolist() == [[2, y] for y in range(6)]


def test_four_quarters_meet_at_one_crossing():
    pairs, gaps = _find_crossings(QUARTERS, OWN_PIXEL, np.array([-1, 0, 1, 2, 3]), 10.0)
    assert {tuple(pair) for pair in pairs.tolist()} == {(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)}
    assert min(gaps[(pairs == (0, 3)).all(axis=1)]) == min(gaps[(pairs == (1, 2)).all(axis=1)]) == 0
    assert len(_find_crossings(QUARTERS[:3], OWN_PIXEL[:3], np.array([-1, 0, 1, 2, 3]), 10.0)[0]) == 0


@pytest.mark.parametrize("quarter_turns", range(4))
def test_a_crossing_beside_the_pictures_edge_is_seen(quarter_turns):
    """Two zones over a strip one pixel high, at each edge in turn."""
    zones = np.ones((8, 8), np.int32)
    zones[:, 4:] = 2
    zones[7] = 3
    zones = np.rot90(zones, quarter_turns).copy()
    foot = np.arange(64, dtype=np.int32).reshape(8, 8)
    pairs, _ = _find_crossings(zones, foot, np.array([-1, 0, 1, 2]), 10.0)
    assert {tuple(pair) for pair in pairs.tolist()} == {(0, 1), (0, 2), (1, 2)}


@pytest.mark.parametrize("mm_per_px", [1.0, 2.0])
def test_squares_across_a_crossing_of_gaps_meet_at_a_corner(mm_per_px):
    """Gaps of 8 mm: across the crossing the squares stand 8 times the square root of 2 apart."""
    squares = [box(x, y, x + 60, y + 60) for y in (0, 68) for x in (0, 68)]
    panel = make_panel(squares, 128, 128)
    adjacency = find_neighbours(draw_labels(panel, mm_per_px), reach_mm=20)
    assert side_pairs(adjacency) == {("s0", "s1"), ("s0", "s2"), ("s1", "s3"), ("s2", "s3")}
    assert corner_pairs(adjacency) == {("s0", "s3"), ("s1", "s2")}
    for contact in adjacency.corners:
        assert contact.gap_mm == pytest.approx(8 * 2**0.5, abs=0.01)
    for contact in adjacency.neighbours:
        assert contact.border_mm == pytest.approx(60 + 8 * np.tan(np.radians(20)) / 2, abs=3)
    # Beyond reach times the square root of 2 they no longer meet, but within it they do.
    assert len(find_neighbours(draw_labels(panel, mm_per_px), reach_mm=8).corners) == 2


@pytest.mark.parametrize("mm_per_px", [1.0, 2.0])
@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_border_seen_in_pixels_lies_halfway_whichever_is_named_first(order, mm_per_px):
    """Two slabs 20 mm apart and 200 mm tall, then the same cut aslant by 3 in 4."""
    upright = [box(20, 40, 140, 240), box(160, 40, 280, 240)]
    panel = make_panel([upright[k] for k in order], 300, 280)
    (contact,) = find_neighbours(draw_labels(panel, mm_per_px)).contacts
    left, top, right, bottom = contact.mid_line.bounds
    assert (left + right) / 2 == pytest.approx(150, abs=mm_per_px)
    # At either end it runs on by half the gap times tan 20 degrees.
    assert (top, bottom) == pytest.approx((40 - 3.64, 240 + 3.64), abs=1.5 * mm_per_px)
    assert contact.border_mm == pytest.approx(207.3, abs=2 * mm_per_px)
    assert contact.mid_line.length == pytest.approx(contact.border_mm, abs=2 * mm_per_px)
    slant = [
        Polygon([(20, 20), (100, 20), (220, 180), (20, 180)]),
        Polygon([(125, 20), (300, 20), (300, 180), (245, 180)]),
    ]
    panel = make_panel([slant[k] for k in order], 320, 200)
    (contact,) = find_neighbours(draw_labels(panel, mm_per_px)).contacts
    # The edges are 200 mm long and 25 x 0.8 = 20 mm apart; shifted by 15 along, they face for 185.
    assert contact.gap_mm == pytest.approx(20, abs=mm_per_px)
    drawn = find_neighbours(panel).contacts[0].border_mm
    assert 185 < drawn < 185 + 20
    assert contact.border_mm == pytest.approx(drawn, abs=3 * mm_per_px)


@pytest.mark.parametrize(("gap", "sides"), [(160.0, 1), (161.0, 0)])
def test_just_so_far_apart_is_within_reach(gap, sides):
    panel = make_panel([box(20, 20, 220, 220), box(220 + gap, 20, 420 + gap, 220)], 440 + gap, 240)
    for drawn in (panel, draw_labels(panel, 1.0)):
        assert len(find_neighbours(drawn, reach_mm=160).neighbours) == sides


@pytest.mark.parametrize(("gap", "reach"), [(30.0, 40.0), (9.0, 10.0), (3.0, 3.0), (0.5, 0.6)])
def test_a_short_reach_is_enough_for_a_small_gap(gap, reach):
    panel = make_panel([box(20, 20, 220, 220), box(220 + gap, 20, 420 + gap, 220)], 440 + gap, 240)
    (contact,) = find_neighbours(panel, reach_mm=reach).contacts
    assert contact.gap_mm == pytest.approx(gap, abs=0.01)
    assert not contact.corner
    assert find_neighbours(panel, reach_mm=gap * 0.9).contacts == ()


def test_scipys_zones_are_what_the_mid_line_parts():
    """Every pixel on the left of a traced mid-line is nearer to the left stone, by scipy's own measure."""
    panel = make_panel(
        [box(20, 20, 140, 180), Polygon([(190, 20), (280, 20), (280, 180), (160, 180)])], 300, 200
    )
    (contact,) = find_neighbours(panel).contacts
    labels = np.zeros((200, 300), int)
    rows, columns = np.mgrid[:200, :300]
    for number, section in enumerate(panel.sections, 1):
        labels[shapely.contains_xy(section.outline, columns + 0.5, rows + 0.5)] = number
    _, (down, across) = ndimage.distance_transform_edt(labels == 0, return_indices=True)
    zones = labels[down, across]
    for x, y in shapely.get_coordinates(contact.mid_line.segmentize(5.0)):
        row = min(int(y), 199)
        assert zones[row, int(x) - 2] == 1
        assert zones[row, int(x) + 2] == 2
