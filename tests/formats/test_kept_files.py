"""Files as version 1 wrote them keep their meaning for ever.

The values are written out by hand from the files beside them. Never change a file in
``tests/data/formats/v1``: a change of format adds a folder and an upgrade.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import shutil

import numpy as np
import pytest

import palette
from palette.batch.mark import kept_result
from palette.batch.photo_list import read_photo_list
from palette.light import spectrum_of
from palette.page.folder import memory_of
from palette.photos import read_marks
from palette.rules import KINDS
from palette.scheme_file import read_proof
from palette.tracing import Photo
from tests.formats.checking import GOLDEN

# 1 ft = 304.8 mm, 1 in = 25.4 mm (NIST SP 811, appendix B); 1 US gal = 3.785411784 L,
# 1 ft2 = 0.09290304 m2.


def areas(panel):
    return {section.id: round(section.outline.area, 3) for section in panel.sections}


def test_tape_measurements():
    panel = palette.read_layout(GOLDEN / "wall.toml")
    assert (panel.name, panel.width_mm, panel.height_mm) == ("Golden wall", 1200.0, 900.0)
    # sill 400 x 300; arch 700 x 400 less a hole of 200 x 100; cap 1' 7 11/16" = 500.0625 mm wide, 400 high.
    assert areas(panel) == {"sill": 120_000.0, "arch": 260_000.0, "cap": 200_025.0}
    assert [section.depth for section in panel.sections] == [0.0, 1.5, None]
    # From the lower edge on the tape, from the upper edge in a panel: 900 - 10 - 300 = 590.
    assert panel.section("sill").outline.bounds == (10.0, 590.0, 410.0, 890.0)
    assert panel.hatch.bounds == (20.0, 680.0, 220.0, 880.0)
    assert [(f.id, f.role, f.outline.bounds) for f in panel.features] == [
        ("kick board", "trim", (0.0, 892.0, 1200.0, 900.0)),
        ("peephole", "void", (700.0, 198.4, 801.6, 300.0)),
    ]


def test_a_drawing():
    panel = palette.read_layout(GOLDEN / "wall.svg")
    assert (panel.name, panel.width_mm, panel.height_mm) == ("Drawn wall", 200.0, 100.0)
    assert areas(panel) == {"west": 90 * 90 - 30 * 30, "east": 8100}
    assert [section.depth for section in panel.sections] == [2.0, None]
    assert [(f.id, f.role) for f in panel.features] == [("post", "trim"), ("peephole", "void")]
    assert panel.hatch.bounds == (110.0, 10.0, 150.0, 50.0)


def test_a_label_image():
    panel = palette.read_layout(GOLDEN / "wall.png")
    # 200 x 100 pixels at 10 000 a metre (254 dots per inch): 20 mm x 10 mm.
    assert (panel.name, round(panel.width_mm, 6), round(panel.height_mm, 6)) == (
        "Golden labels",
        20.0,
        10.0,
    )
    assert panel.ids == ("west", "section 2")
    assert panel.section("west").outline.area == pytest.approx(81.0, rel=0.01)


def test_paints():
    moss, apricot, heather, card = palette.read_paints(GOLDEN / "paints.toml")
    assert [p.id for p in (moss, apricot, heather, card)] == [
        "moss green", "apricot orange", "heather pink", "measured card",
    ]  # fmt: skip
    assert (moss.coats, moss.ground) == (3, "uv-white")
    assert moss.stock_l == pytest.approx(3.785411784 / 8)  # 16 of 128 fl oz
    assert moss.spread_m2_per_l == pytest.approx(285 * 0.09290304 / 3.785411784)
    # IEC 61966-2-1: #38d64e to XYZ with Y of white 1; Y = 0.2126 R + 0.7152 G + 0.0722 B, linear.
    linear = [((v / 255 + 0.055) / 1.055) ** 2.4 for v in (0x38, 0xD6, 0x4E)]
    assert moss.swatch["daylight"][1] == pytest.approx(np.dot([0.2126, 0.7152, 0.0722], linear), abs=1e-3)
    # CIE 15: Y = ((L* + 16) / 116)^3.
    assert moss.swatch["blacklight"][1] == pytest.approx((96 / 116) ** 3, abs=1e-6)
    (glow,) = apricot.parameters.glows
    assert (glow.strength, glow.excitation) == (0.5, ((300.0, 0.2), (500.0, 1.0), (580.0, 0.0)))
    assert [(b.peak, b.width, b.skew) for b in glow.bands] == [(583.0, 54.0, 1.5)]
    assert (apricot.stock_l, apricot.coats, apricot.ground) == (0.5, 2, "white")
    assert heather.parameters.body == ((380.0, 0.1), (580.0, 0.2), (780.0, 0.9))
    assert [(b.peak, b.share) for b in heather.parameters.glows[0].bands] == [(608.0, 0.8), (440.0, 0.2)]
    assert heather.spread_m2_per_l == 7.0
    assert card.ground == "black"
    # Rows are emission from 380 nm, columns excitation from 300 nm, 10 nm apart.
    assert card.matrix[14, 10] == 0.25
    assert card.matrix[14, 22] == 0.5
    assert card.matrix.sum() == pytest.approx(41 * 0.5 + 0.25)


def test_lamps():
    lamp = palette.light_by_name("lamp.toml", where="x", folder=GOLDEN)
    assert (lamp.id, lamp.kind) == ("lamp", "blacklight")
    # Three parts of power round 365 nm and one round 440 nm, on bands of 10 nm from 300 nm.
    power = spectrum_of(lamp)
    assert power[:10].sum() / power.sum() == pytest.approx(0.75, abs=0.01)
    table = palette.light_by_name("lamp.csv", where="x", folder=GOLDEN)
    assert table.kind == "blacklight"
    # A band every 10 nm from 300 nm: the sixth from there is 360 nm.
    assert spectrum_of(table)[[5, 6, 7, 8]].tolist() == [0.0, 1.0, 3.0, 0.0]
    assert spectrum_of(table).sum() == 4.0


def test_a_brief_that_names_its_parts():
    brief = palette.read_brief(GOLDEN / "brief.toml")
    assert (brief.name, brief.seed) == ("Golden brief", 7)
    assert (brief.reach_mm, brief.min_border_mm) == (150.0, 25.4)
    assert [(aim.name, aim.within) for aim in brief.aims] == [("weakest-pair", 2.0), ("contrast", 0.0)]
    assert [light.id for light in brief.lights] == ["daylight", "lamp", "365/12 + 0.02*led-white"]
    assert brief.panel.name == "Golden wall"
    assert len(brief.paints) == 4
    assert [rule.kind for rule in brief.rules] == list(KINDS)


def test_every_rule_and_option():
    told = {rule.kind: rule for rule in palette.read_brief(GOLDEN / "brief.toml").rules}

    def options(kind):
        fields = (item.name for item in dataclasses.fields(told[kind]))
        return {name: getattr(told[kind], name) for name in fields if name != "strength"}

    assert options("clash") == {
        "lights": ("daylight",), "min_difference": 22.5, "min_hue_angle": None, "min_chroma": 30.0,
        "eyes": ("deutan/0.6",),
    }  # fmt: skip
    assert told["clash"].strength == "prefer"
    assert told["depth"].strength == "must"
    assert options("families") == {
        "apart": (("red", "orange"),),
        "lights": ("blacklight",),
        "min_chroma": 20.0,
    }
    assert options("depth") == {
        "by": "order", "bands": 4, "light": ("daylight", "blacklight"), "tolerance": 8.0, "rise": 101.6,
    }  # fmt: skip
    assert options("pin") == {"sections": ("sill",), "paint": "moss green"}
    assert options("only") == {"sections": ("ledge *",), "paints": ("moss green", "apricot orange")}
    assert options("never") == {"sections": ("cap",), "paints": ("heather pink",)}
    assert options("same") == {"sections": ("cap", "arch")}
    assert options("different") == {"sections": ("sill", "arch")}
    assert options("stock") == {"waste": 0.2, "extra": (("moss green", 0.5),)}
    assert options("variety") == {"at_least": 2, "at_most": 3}
    assert options("quota") == {"paints": ("moss green",), "at_least": 1, "at_most": 2}
    assert options("share") == {"paints": ("moss green",), "at_least": 0.1, "at_most": 0.5}
    assert options("spacing") == {"distance": 300.0}
    assert options("stripe") == {"bend": 10.0, "step": 2.0}
    assert options("seam") == {
        "side": "left", "facing": ((0.0, 304.8, "moss green"),), "min_difference": 18.0,
        "min_hue_angle": 12.0, "reach": 150.0,
    }  # fmt: skip
    assert options("any-order") == {
        "mirrored": True, "min_difference": 18.0, "min_hue_angle": 12.0, "reach": 0.0,
    }  # fmt: skip
    assert options("hatch") == {
        "ratio": 1.2, "both_sides": False, "mixed_sides": False, "lights": ("daylight",),
        "required_exit": False,
    }  # fmt: skip


def test_a_brief_that_holds_its_parts():
    brief = palette.read_brief(GOLDEN / "brief-whole.toml")
    assert (brief.name, brief.panel.ids, brief.seed) == ("Small wall", ("left", "right"), 0)
    assert [paint.id for paint in brief.paints] == ["moss green", "apricot orange"]
    assert [light.id for light in brief.lights] == ["daylight", "blacklight"]
    # What stands to the right shows its left edge: "west", 5 to 95 mm above the lower edge.
    assert brief.rules[0].facing == ((5.0, 95.0, "moss green"),)


def test_a_run_of_panels():
    brief = palette.read_brief(GOLDEN / "brief-run.toml")
    assert [(member.name, member.left_mm, member.width_mm) for member in brief.panel.members] == [
        ("Drawn wall", 0.0, 200.0),
        ("Next wall", 205.0, 300.0),
    ]


@pytest.mark.parametrize(
    ("name", "paint_of"),
    [
        ("scheme.json", {"sill": "moss green", "arch": "apricot orange", "cap": "heather pink"}),
        # Version 1 before the version was written, as people write it by hand.
        ("scheme-drawn.json", {"west": "moss green", "east": "apricot orange"}),
        # The first form written: a finished proof said how long it took.
        ("scheme-with-seconds.json", {"west": "moss green", "east": "apricot orange"}),
    ],
)
def test_schemes(name, paint_of):
    assert dict(palette.read_scheme(GOLDEN / name).paint_of) == paint_of


def test_the_proof_of_a_scheme():
    proof = read_proof(GOLDEN / "scheme.json")
    assert (proof.status, proof.engine, proof.seed, proof.seconds) == ("feasible", "cadical153", 7, 20.0)
    assert proof.levels == (
        palette.Level(aim="weakest-pair", value=21.25, bound=30.5, unit="CIEDE2000", proven=False),
    )
    assert read_proof(GOLDEN / "scheme-drawn.json") is None
    assert read_proof(GOLDEN / "scheme-with-seconds.json").seconds == 0.4


def test_what_the_page_remembers():
    memory = memory_of({"page.json": (GOLDEN / "page.json").read_bytes()})
    assert memory["resting"] == [{"kind": "quota", "at_least": 1}]
    assert memory["kept"][0] == {
        "name": "Scheme 1",
        "paint_of": {"sill": "moss green"},
        "best_at": "contrast",
    }
    assert memory["photo"] == {"taken": "photo.jpg", "square": "wall-photo.jpg"}
    assert memory["corners"] == [[172, 118], [1236, 176], [1208, 936], [196, 992]]
    assert memory["photo_light"] == "daylight"
    assert memory["proof"]["key"][1][0] == ["cap", "heather pink"]


def test_marks_over_a_photo():
    photo = Photo(pixels=np.zeros((200, 400, 3), np.uint8), width_px=400, height_px=200, source="photo.jpg")
    outline, click = read_marks(GOLDEN / "marks.svg", photo).shapes
    assert (outline.name, outline.points.tolist()) == (
        "left field",
        [[10, 10], [190, 10], [190, 190], [10, 190]],
    )
    assert (click.name, click.points.tolist()) == ("click", [[300, 100]])
    marks = read_marks(GOLDEN / "marks.png", photo)
    assert marks.label_names == ("7", "9")
    assert np.bincount(marks.labels.ravel())[1:].tolist() == [180 * 180, 180 * 180]


def test_a_plan():
    said = palette.read_plan_file(GOLDEN / "plan.toml")
    assert said.left_out == ()
    plan = said.settings
    primer = plan.liquids["primer"]
    assert (primer.spread_m2_per_l, primer.coats, primer.stock_l) == (10.0, 2, 0.5)
    assert (primer.touch_dry_h, primer.recoat_h) == (1.0, 4.5)
    assert (plan.liquids["white"].spread_m2_per_l, plan.liquids["black"].coats) == (8.0, 2)
    assert (plan.liquids["back"].coats, plan.liquids["clear"].spread_m2_per_l) == (1, 12.0)
    assert plan.liquids["fire retardant"].recoat_h == 12.0
    surface = plan.surface
    assert (surface.thickness_mm, surface.line_mm, surface.seams_x_mm) == (18.0, 12.0, (600.0,))
    assert surface.trim_thickness_mm == pytest.approx(19.05)
    assert (surface.trim_paint, surface.back, surface.white_under) == ("white", "bare", "sections")
    assert (plan.waste.grounds, plan.waste.colours, plan.waste.reserve_l) == (0.12, 0.2, 0.1)
    (can,) = plan.buying.containers
    assert plan.buying.currency == "EUR"
    assert (can.product, can.litres, can.price, can.at_most) == ("colours", 0.25, 1290, 4)
    days = plan.days
    assert (days.start, days.opens, days.hours) == (dt.date(2026, 10, 2), dt.time(14), 8.0)
    assert (days.weekdays, days.helpers, days.setup_h, days.drying_factor) == ((4, 6), 3, 0.25, 1.5)
    assert (days.colour_touch_dry_h, days.colour_recoat_h) == (pytest.approx(2 / 3), 2.0)
    assert (plan.rates.ground_m2_h, plan.rates.section_m2_h, plan.rates.line_m_h) == (12.0, 2.5, 20.0)
    assert (plan.site.old_paint, plan.site.method, plan.site.lamps_outdoors) == ("none", "spray", True)
    flood, tube = plan.lamps
    assert (flood.id, flood.x_mm, flood.y_mm, flood.out_mm) == ("flood", 600.0, -250.0, 1100.0)
    assert (flood.aim_x_mm, flood.aim_y_mm, flood.beam_deg) == (700.0, 500.0, 90.0)
    assert (flood.peak_nm, flood.width_nm, flood.length_mm) == (385.0, 14.0, 0.0)
    assert (tube.length_mm, tube.along, tube.beam_deg, tube.aim_y_mm) == (1200.0, "up", 120.0, 1000.0)
    assert tube.intensity_w_sr > 0
    wish = plan.lamp_wish
    assert (wish.mean_w_m2, wish.evenness, wish.most) == (0.8, 0.5, 8)
    assert (wish.out_mm, wish.above_mm, wish.below_mm) == ((400.0, 2000.0), (300.0, 1000.0), (0.0, 500.0))
    assert plan.people.visitor_mm == (600.0, 200.0, 1500.0)
    assert plan.people.painter_mm == (600.0, 200.0, 400.0)
    assert (plan.paper.size, plan.paper.grid, plan.paper.tracing, plan.paper.scale) == (
        "A3",
        "1 ft",
        "none",
        20.0,
    )
    labels = plan.labels
    assert (labels.page_mm, labels.left_mm, labels.top_mm) == ((210.0, 297.0), 5.0, 10.0)
    assert (labels.width_mm, labels.height_mm, labels.step_x_mm, labels.step_y_mm) == (
        60.0,
        30.0,
        62.0,
        32.0,
    )
    assert (labels.columns, labels.rows, labels.first) == (3, 8, 2)


def test_a_list_of_photos():
    (_, north), (name, south) = read_photo_list(
        GOLDEN / "photo-list.toml", known=palette.PhotoRequest(photo=GOLDEN)
    )
    assert north.photo == GOLDEN / "north.jpg"
    assert (north.light, north.depth) == (str(GOLDEN / "lamp.toml"), True)
    assert north.size_mm == (2438.4, 1828.8)
    assert north.corners.tolist() == [[10, 20], [310, 20], [310, 220], [10, 220]]
    assert (north.paints, north.labels, north.layout) == (
        GOLDEN / "paints.toml", GOLDEN / "marks.svg", GOLDEN / "wall.svg",
    )  # fmt: skip
    assert (name, south.light, south.depth) == ("South wall", "daylight", False)
    assert (south.size_mm, south.corners[0].tolist()) == ((2000.0, 1000.0), [11, 20])
    assert (south.paints, south.labels, south.layout) == (
        GOLDEN / "other.toml", GOLDEN / "marks.png", GOLDEN / "wall.toml",
    )  # fmt: skip


def test_the_mark_of_a_finished_job(tmp_path):
    shutil.copy(GOLDEN / "job.json", tmp_path)
    (tmp_path / "scheme.json").write_text("{}")
    result = kept_result(tmp_path, "00112233445566778899aabbccddeeff" * 2)
    assert (result.id, result.kind, result.state, result.sections) == ("north", "assign", "good", 3)
    assert (result.paints, result.files) == (("moss green", "heather pink"), ("scheme.json",))
    assert (result.weakest.a, result.weakest.difference, result.weakest.proven) == ("sill", 21.5, True)
    assert (result.pictures[0].file, result.pictures[0].aspect) == ("both.png", 0.75)
    assert kept_result(tmp_path, "another") is None


@pytest.mark.parametrize("name", ["brief.toml", "brief-whole.toml", "brief-run.toml"])
def test_without_their_versions_the_files_mean_the_same(tmp_path, name):
    for path in sorted(GOLDEN.iterdir()):
        shutil.copy(path, tmp_path)
    for path in tmp_path.glob("*.toml"):
        text = path.read_text("utf-8")
        assert text.count("\nversion = 1\n") == 1
        path.write_text(text.replace("\nversion = 1\n", "\n"), encoding="utf-8")
    kept, bare = palette.read_brief(GOLDEN / name), palette.read_brief(tmp_path / name)
    assert (kept.name, kept.rules, kept.seed, kept.aims) == (bare.name, bare.rules, bare.seed, bare.aims)
    assert areas(kept.panel) == areas(bare.panel)
    assert [p.id for p in kept.paints] == [p.id for p in bare.paints]
