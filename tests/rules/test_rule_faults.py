"""Rules that cannot be used on a wall: one sentence each, with what to do, and no more of them than faults.

And what can be used although it is close to a fault.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from grounds import make_survey

from palette.rules import (
    AnyOrder,
    Clash,
    Depth,
    Different,
    Families,
    Hatch,
    Never,
    Only,
    Pin,
    Quota,
    Same,
    Seam,
    Share,
    Spacing,
    Stock,
    Stripe,
    Variety,
)

LABS = np.array([[[20, 0, 0]], [[50, 0, 0]], [[80, 0, 0]]], float)
BOXES = [shapely.box(k * 106, 0, k * 106 + 100, 100) for k in range(4)]


def wall(**given):
    given.setdefault("stock_l", [1.0, None, None])
    return make_survey(BOXES, [(0, 1, 100.0), (1, 2, 100.0), (2, 3, 100.0)], LABS, **given)


HATCHED = {"hatch": shapely.box(-3, -3, 103, 103)}
RUN = {"members": [("west", 0, 206, (0, 1)), ("east", 206, 206, (2, 3))]}


@pytest.mark.parametrize(
    ("rule", "given", "told"),
    [
        (Clash(lights=("neon",)), {},
         'rule "clash": the light "neon" does not exist; use one of: daylight.'),
        (Clash(lights=("daylite",)), {},
         'rule "clash": the light "daylite" does not exist; write "daylight" if that was meant.'),
        (Families(apart=(("red", "orange"),), lights=("neon",)), {},
         'rule "families": the light "neon" does not exist; use one of: daylight.'),
        (Families(), {}, 'rule "families": it keeps no families apart, so it can never bind; '
         'write apart = [["red", "orange"]].'),
        (Families(apart=(("red", "oragne"),)), {},
         'rule "families": there is no family "oragne"; write "orange" if that was meant.'),
        (Depth(light=("neon",)), {},
         'rule "depth": the light "neon" does not exist; use one of: daylight.'),
        (Depth(by="given"), {}, 'rule "depth": it goes by given depths, but no section of the layout has '
         'one; give sections a depth, or write by = "bands".'),
        (Only(sections=("s000",), paints=("rust",)), {},
         'rule "only": the paint "rust" does not exist; use one of: paint-0, paint-1, paint-2.'),
        (Never(sections=("ledge *",), paints=("paint-0",)), {},
         'rule "never": the section "ledge *" does not exist; use one of: s000, s001, s002, s003.'),
        (Never(), {}, 'rule "never": it names no paint; add the paint it is about.'),
        (Same(sections=("s001",)), {}, 'rule "same": it is about fewer than two sections, so it can never '
         "bind; name at least two sections."),
        (Different(sections=("s00[1]",)), {}, 'rule "different": it is about fewer than two sections, so '
         "it can never bind; name at least two sections."),
        (Stock(extra=(("rust", 1.0),)), {}, 'rule "stock": the paint "rust" does not exist; use one of: '
         "paint-0, paint-1, paint-2."),
        (Stock(), {"stock_l": [None] * 3}, 'rule "stock": no paint states its stock, so it can never bind; '
         "give a paint its stock, or leave the rule out."),
        (Stock(), {"stock_l": [-0.5, None, None]}, 'paint "paint-0": its stock of -0.5 L is negative; '
         "write the litres on hand, or leave stock out."),
        (Variety(at_least=3, at_most=2), {}, 'rule "variety": at least 3 and at most 2 contradict each '
         "other; make at_least the smaller."),
        (Variety(at_least=4), {}, 'rule "variety": at least 4 are asked for, but there are 3 paints; '
         "write at most 3."),
        (Variety(at_most=3), {}, 'rule "variety": there are 3 paints, so it can never bind; write a '
         "greater at_least or a smaller at_most."),
        (Quota(paints=("rust",), at_least=1), {}, 'rule "quota": the paint "rust" does not exist; '
         "use one of: paint-0, paint-1, paint-2."),
        (Quota(at_most=4), {}, 'rule "quota": there are 4 sections, so it can never bind; write a greater '
         "at_least or a smaller at_most."),
        (Quota(at_least=5), {}, 'rule "quota": at least 5 are asked for, but there are 4 sections; '
         "write at most 4."),
        (Share(paints=("rust",), at_least=0.1), {}, 'rule "share": the paint "rust" does not exist; '
         "use one of: paint-0, paint-1, paint-2."),
        (Share(at_least=0.6, at_most=0.5), {}, 'rule "share": at least 0.6 and at most 0.5 contradict each '
         "other; make at_least the smaller."),
        (Share(), {}, 'rule "share": it neither asks for nor limits anything, so it can never bind; '
         "write at_least or at_most."),
        (Spacing(), {}, 'rule "spacing": its distance is 0, so it can never bind; write a distance like '
         'distance = "12 in".'),
        (Seam(facing=((0.0, 100.0, "rust"),)), {}, 'rule "seam": the paint "rust" does not exist; '
         "use one of: paint-0, paint-1, paint-2."),
        (Seam(facing=((90.0, 200.0, "paint-0"),)), {}, 'rule "seam": no section at the right edge faces '
         "anything, so it can never bind; check the side and the heights."),
        (AnyOrder(), {}, 'rule "any-order": the layout is a single panel, so it can never bind; '
         "name at least two panels in a run."),
        (Hatch(), {}, 'rule "hatch": the layout has no hatch; give its outline the role hatch.'),
        (Hatch(lights=("neon",)), HATCHED,
         'rule "hatch": the light "neon" does not exist; use one of: daylight.'),
        (Hatch(), {"hatch": shapely.box(-3, -3, 156, 103)}, 'rule "hatch": the hatch crosses the section '
         '"s001"; cut the section along the hatch and tie the pieces with kind = "same".'),
        (Hatch(), {"hatch": shapely.box(-3, -3, 421, 103)}, 'rule "hatch": no two neighbours stand on '
         "either side of its outline, so it can never bind; check the hatch's outline."),
        (Hatch(required_exit=True), {}, 'rule "hatch": a required exit must never be concealed; leave this '
         "rule out and keep the exit, its sign and its path plainly visible; the local authority decides "
         "what is required."),
    ],
)  # fmt: skip
def test_a_rule_that_cannot_be_used_says_why_and_what_to_do(rule, given, told):
    assert [str(fault) for fault in rule.faults(wall(**given))] == [told]


@pytest.mark.parametrize(
    ("rule", "given"),
    [
        (Clash(lights=("daylight",), eyes=("deutan", "protan/0.5")), {}),
        (Families(apart=(("red", "orange"),)), {}),
        (Depth(by="given"), {"depths": [None, 1.0, None, None]}),
        (Depth(by="order", rise=0.0), {}),
        (Pin(sections=("s00[0-1]",), paint="paint-2"), {}),
        (Same(sections=("s00*",)), {}),
        (Stock(), {"stock_l": [0.0, None, None]}),
        (Variety(at_least=1), {}),
        (Variety(at_least=3), {}),
        (Variety(at_most=2), {}),
        (Variety(at_least=2, at_most=2), {}),
        (Quota(at_least=4), {}),
        (Quota(at_most=0), {}),
        (Quota(at_most=3), {}),
        (Quota(at_least=1, at_most=9), {}),
        (Share(at_least=0.5, at_most=0.5), {}),
        (Share(at_most=0.99), {}),
        (Share(at_least=0.01), {}),
        (Spacing(distance=0.5), {}),
        (Stripe(), {}),
        (Seam(facing=((75.0, 200.0, "paint-0"),)), {}),
        (AnyOrder(), RUN),
        (Hatch(), HATCHED),
        # A drawn line lies a hair inside the slab it runs along: 1 mm of 100 is no crossing.
        (Hatch(), {"hatch": shapely.box(0, 0, 99, 100)}),
        (Hatch(), {"hatch": shapely.box(0, 0, 107, 100)}),
    ],
)
def test_a_rule_that_fits_has_no_fault(rule, given):
    assert list(rule.faults(wall(**given))) == []


def test_every_fault_is_told_and_each_once():
    faults = list(Pin(sections=("ledge", "s001", "cap"), paint="rust").faults(wall()))
    told = [str(fault).partition(";")[0] for fault in faults]
    assert told == [
        'rule "pin": the section "ledge" does not exist',
        'rule "pin": the section "cap" does not exist',
        'rule "pin": the paint "rust" does not exist',
    ]


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        (Clash(lights=("daylight", "blacklight"), min_difference=12.5, min_hue_angle=None,
               eyes=("deutan",)),
         "Neighbours never have the same paint, and differ by at least 12.5 (CIEDE2000) under daylight and "
         "blacklight, also to deutan eyes."),
        (Clash(min_difference=None, min_hue_angle=30.0, min_chroma=40.0),
         "Neighbours never have the same paint, and where both are strongly coloured (chroma above 40), "
         "stand at least 30 degrees of hue apart in every light."),
        (Families(apart=(("red", "orange"), ("pink", "pink"))),
         "No red beside orange, no pink beside pink, in any light."),
        (Families(apart=(("red", "orange"),), lights=("daylight", "blacklight")),
         "No red beside orange, under daylight or blacklight."),
        (Depth(bands=4, tolerance=8.0, light=("daylight", "blacklight")),
         "Cut into 4 bands of height, no section is lighter than one in a lower band by more than 8 L*, "
         "under daylight and blacklight."),
        (Depth(by="order", rise=0.0), "No section is lighter than one that stands lower, under daylight."),
        (Depth(by="given"), "No section is lighter than one that is given as nearer, under daylight."),
        (Pin(paint="moss"), "Every section is painted moss."),
        (Only(sections=("sill",), paints=("moss", "flame", "sky")),
         "sill is painted only moss, flame or sky."),
        (Never(sections=("ledge *",), paints=("lemon",)), "ledge * are never painted lemon."),
        (Never(sections=("a", "b", "c"), paints=("lemon", "sky")),
         "a, b and c are never painted lemon or sky."),
        (Stock(waste=0.25), "No paint is needed beyond the litres on hand, 25% waste reckoned in."),
        (Variety(at_least=2), "At least 2 different paints are used."),
        (Variety(at_least=2, at_most=2), "Exactly 2 different paints are used."),
        (Variety(at_least=2, at_most=4), "Between 2 and 4 different paints are used."),
        (Variety(at_least=1), "At least 1 paint is used."),
        (Variety(at_most=11), "At most 11 different paints are used."),
        (Quota(at_least=1, at_most=1), "Every paint is on exactly 1 section."),
        (Quota(at_least=1, at_most=21), "Every paint is on between 1 and 21 sections."),
        (Quota(paints=("moss",), at_most=3), "moss is on at most 3 sections."),
        (Quota(paints=("moss", "sky", "flame"), at_least=1, at_most=2),
         "moss, sky and flame are each on between 1 and 2 sections."),
        (Share(at_least=0.05, at_most=0.5), "Every paint is on 5% to 50% of the painted area."),
        (Spacing(distance=300.0), "Two sections of one paint are at least 300 mm apart."),
        (Stripe(), "No three sections of one paint stand in a line."),
        (Seam(side="left"), "Sections at the left edge do not clash with the panel that stands beside it."),
        (AnyOrder(), "The panels may stand side by side in every order without a clash at a seam."),
        (AnyOrder(mirrored=True),
         "The panels may stand side by side in every order, turned round or not, without a clash at a "
         "seam."),
        (Hatch(), "The hatch's outline shows at most 1 times the contrast of the other gaps, has no paint "
         "at it on one side only and has no straight side with one contrast."),
        (Hatch(ratio=1.5, both_sides=False, mixed_sides=False),
         "The hatch's outline shows at most 1.5 times the contrast of the other gaps."),
    ],
)  # fmt: skip
def test_every_setting_has_its_place_in_the_sentence(rule, sentence):
    assert rule.sentence() == sentence
