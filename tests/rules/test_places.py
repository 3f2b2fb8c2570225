"""Spacing, stripes, seams, any order, families and the hatch."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
import shapely
from colormath.color_conversions import convert_color
from colormath.color_objects import LabColor, sRGBColor
from grounds import distinct_labs, make_survey

from palette.demands import check_scheme
from palette.errors import InputError
from palette.rules import AnyOrder, Families, Hatch, Seam, Spacing, Stripe, outline_contrast
from palette.rules.families import family_of
from palette.scheme import Scheme
from palette.solving import solve


def painted(*paints: int) -> Scheme:
    return Scheme(paint_of=MappingProxyType({f"s{k:03d}": f"paint-{p}" for k, p in enumerate(paints)}))


ROW = make_survey([shapely.box(k * 106, 0, k * 106 + 100, 100) for k in range(4)], [], distinct_labs(3))


@pytest.mark.parametrize(
    ("distance", "paints", "broken"),
    [
        (6.0, (0, 0, 1, 2), []),
        (6.1, (0, 0, 1, 2), [("s000", "s001")]),
        (112.0, (0, 1, 0, 2), []),
        (112.1, (0, 1, 0, 2), [("s000", "s002")]),
    ],
)
def test_spacing_is_edge_to_edge(distance, paints, broken):
    rule = Spacing(distance=distance)
    assert [b.sections for b in check_scheme(ROW, [rule], painted(*paints)).breaches] == broken
    scheme = solve(ROW, [rule])
    assert check_scheme(ROW, [rule], scheme).kept


def test_three_in_a_line_are_a_stripe_and_three_round_a_corner_are_not():
    assert not check_scheme(ROW, [Stripe()], painted(0, 0, 0, 1)).kept
    assert check_scheme(ROW, [Stripe()], painted(0, 0, 1, 0)).kept
    corner = make_survey(
        [shapely.box(0, 0, 100, 100), shapely.box(106, 0, 206, 100), shapely.box(106, 106, 206, 206)],
        [],
        distinct_labs(2),
    )
    assert check_scheme(corner, [Stripe()], painted(0, 0, 0)).kept


def test_a_diagonal_ladder_is_a_stripe():
    ladder = make_survey(
        [shapely.box(k * 106, k * 106, k * 106 + 100, k * 106 + 100) for k in range(3)],
        [],
        distinct_labs(2),
    )
    assert not check_scheme(ladder, [Stripe()], painted(1, 1, 1)).kept


def column() -> object:
    """Two sections, one over the other, 300 mm each, on a panel 600 mm high."""
    return make_survey([shapely.box(0, 0, 300, 297), shapely.box(0, 303, 300, 600)], [], distinct_labs(3))


def test_a_seam_is_measured_from_the_floor():
    rule = Seam(
        side="right", facing=((0.0, 300.0, "paint-0"), (300.0, 600.0, "paint-1")), min_hue_angle=None
    )
    assert check_scheme(column(), [rule], painted(0, 1)).kept
    broken = check_scheme(column(), [rule], painted(1, 0)).breaches
    assert [breach.sections for breach in broken] == [("s000",), ("s001",)]
    assert broken[0].sentence == "s000 (paint-1) and paint-1 beside the right edge both are paint-1."


def test_a_seam_shorter_than_a_brush_is_no_seam():
    rule = Seam(side="left", facing=((0.0, 20.0, "paint-0"), (320.0, 600.0, "paint-2")), min_hue_angle=None)
    assert check_scheme(column(), [rule], painted(0, 0)).kept


def test_a_seam_that_faces_nothing_is_a_fault():
    rule = Seam(side="left", facing=((700.0, 900.0, "paint-0"),))
    assert "so it can never bind" in str(next(iter(rule.faults(column()))))


def two_panels():
    """Two panels of one section over another; the second panel's upper section reaches lower."""
    boxes = [
        shapely.box(0, 0, 300, 300),
        shapely.box(0, 300, 300, 600),
        shapely.box(300, 0, 600, 400),
        shapely.box(300, 400, 600, 600),
    ]
    members = [("west", 0.0, 300.0, (0, 1)), ("east", 300.0, 300.0, (2, 3))]
    return make_survey(boxes, [], distinct_labs(4), members=members)


def test_any_order_keeps_every_facing_pair_apart():
    rule = AnyOrder(min_hue_angle=None)
    wall = two_panels()
    assert check_scheme(wall, [rule], painted(0, 1, 2, 3)).kept
    # s000 faces s002; s001 faces s002 over 100 mm and s003: only s000 and s003 never meet.
    for a, b, meet in [
        (0, 2, True),
        (1, 2, True),
        (1, 3, True),
        (0, 3, False),
        (0, 1, False),
        (2, 3, False),
    ]:
        paints = [0, 1, 2, 3]
        paints[b] = paints[a]
        assert check_scheme(wall, [rule], painted(*paints)).kept is not meet


def test_any_order_of_three_brings_the_outer_two_together():
    boxes = [shapely.box(300 * k, 0, 300 * k + 300, 600) for k in range(3)]
    members = [("west", 0.0, 300.0, (0,)), ("middle", 300.0, 300.0, (1,)), ("east", 600.0, 300.0, (2,))]
    wall = make_survey(boxes, [], distinct_labs(3), members=members)
    rule = AnyOrder(min_hue_angle=None)
    (breach,) = check_scheme(wall, [rule], painted(0, 1, 0)).breaches
    assert set(breach.sections) == {"s000", "s002"}
    assert check_scheme(wall, [rule], painted(0, 1, 2)).kept
    assert len(set(solve(wall, [rule]).paint_of.values())) == 3


def test_mirrored_panels_meet_edge_to_same_edge():
    boxes = [shapely.box(0, 0, 100, 300), shapely.box(100, 0, 300, 300)]
    boxes += [shapely.box(300, 0, 400, 300), shapely.box(400, 0, 600, 300)]
    members = [("west", 0.0, 300.0, (0, 1)), ("east", 300.0, 300.0, (2, 3))]
    wall = make_survey(boxes, [], distinct_labs(3), members=members)
    # The two left edges meet only when one panel is turned round.
    assert check_scheme(wall, [AnyOrder(min_hue_angle=None)], painted(0, 1, 0, 2)).kept
    assert not check_scheme(wall, [AnyOrder(min_hue_angle=None, mirrored=True)], painted(0, 1, 0, 2)).kept


@pytest.mark.parametrize(
    ("name", "code"),
    # CSS Color Module Level 4, named colours.
    [
        ("red", "#ff0000"),
        ("orange", "#ffa500"),
        ("yellow", "#ffff00"),
        ("green", "#008000"),
        ("turquoise", "#40e0d0"),
        ("blue", "#0000ff"),
        ("violet", "#ee82ee"),
        ("pink", "#ff69b4"),
    ],
)
def test_plain_colour_names_fall_where_they_say(name, code):
    lab = convert_color(sRGBColor.new_from_rgb_hex(code), LabColor, target_illuminant="d65")
    assert family_of(float(np.degrees(np.arctan2(lab.lab_b, lab.lab_a)) % 360)) == name


def test_no_red_beside_orange():
    labs = np.array([[[50, 60, 45]], [[70, 30, 70]], [[50, 0, 0]]], float)  # hue 37, 67, grey
    wall = make_survey([shapely.box(k * 100, 0, k * 100 + 90, 90) for k in range(2)], [(0, 1, 90.0)], labs)
    rule = Families(apart=(("red", "orange"),))
    (breach,) = check_scheme(wall, [rule], painted(1, 0)).breaches
    assert breach.sentence == "s000 (paint-1) and s001 (paint-0) are orange beside red under daylight."
    assert check_scheme(wall, [rule], painted(0, 2)).kept
    assert check_scheme(wall, [rule], painted(0, 0)).kept


def hatch_wall():
    """A hatch of two pieces, one over the other, with two outside pieces on its right."""
    boxes = [
        shapely.box(0, 0, 100, 100),
        shapely.box(0, 106, 100, 206),
        shapely.box(106, 0, 206, 100),
        shapely.box(106, 106, 206, 206),
    ]
    contacts = [(0, 1, 100.0), (2, 3, 100.0), (0, 2, 100.0), (1, 3, 100.0)]
    hatch = shapely.box(-3, -3, 103, 209)
    labs = np.array([[[20, 0, 0]], [[50, 0, 0]], [[80, 0, 0]]], float)
    return make_survey(boxes, contacts, labs, hatch=hatch)


def test_the_measure_is_the_mean_along_the_outline_and_elsewhere():
    wall = hatch_wall()
    table = wall.appearance.differences("daylight")
    near, far = outline_contrast(wall, painted(0, 1, 2, 2), "daylight")
    assert near == pytest.approx((table[0, 2] + table[1, 2]) / 2, abs=0.01)
    assert far == pytest.approx((table[0, 1] + 0) / 2, abs=0.01)


def test_what_gives_a_hatch_away():
    told = [
        breach.sentence for breach in check_scheme(hatch_wall(), [Hatch()], painted(0, 0, 2, 2)).breaches
    ]
    assert told[0].startswith("Under daylight the hatch's outline has a mean contrast of")
    assert told[1] == "Under daylight one straight side of the hatch is darker inside all along."
    assert told[2] == "At the hatch s000 is paint-0, which stands nowhere outside along it."
    assert len(told) == 2 + 4
    assert check_scheme(hatch_wall(), [Hatch()], painted(0, 2, 2, 0)).kept
    assert check_scheme(hatch_wall(), [Hatch()], painted(0, 2, 0, 2)).kept


def test_a_required_exit_is_never_concealed():
    fault = next(iter(Hatch(required_exit=True).faults(hatch_wall())))
    assert "a required exit must never be concealed" in str(fault)
    assert "plainly visible" in str(fault)
    with pytest.raises(InputError):
        solve(hatch_wall(), [Hatch(required_exit=True, strength="prefer")])


def test_a_hatch_across_a_section_is_named():
    wall = make_survey(
        [shapely.box(0, 0, 100, 100), shapely.box(106, 0, 206, 100)],
        [(0, 1, 100.0)],
        distinct_labs(2),
        hatch=shapely.box(0, 0, 150, 100),
    )
    assert 'the hatch crosses the section "s001"' in str(next(iter(Hatch().faults(wall))))
