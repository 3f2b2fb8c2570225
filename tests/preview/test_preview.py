"""Pictures: the right colours in the right places, at the right scale."""

import numpy as np
import pytest
from shapely import Polygon, box

import palette
from palette.adjacency import find_neighbours
from palette.appearance import appearance_of
from palette.colour import xyz_of_swatch
from palette.errors import InputError
from palette.light import BLACKLIGHT, DAYLIGHT
from palette.paint import Paint
from palette.panel import Feature, Panel, Section
from palette.preview import draw_neighbours, draw_preview, draw_side_by_side
from palette.scheme import Scheme
from palette.survey import Survey

COLOURS = {"moss": ("#38d64e", "#12c85a"), "lagoon": ("#1f86e6", "#1446d8")}


@pytest.fixture
def small():
    """Return a panel of 600 x 400 mm: a frame-shaped section round a small one, and a trim board."""
    ring = Polygon(box(20, 20, 380, 380).exterior, [box(100, 100, 300, 300).exterior])
    panel = Panel(
        name="small",
        width_mm=600,
        height_mm=400,
        sections=(Section(id="frame", outline=ring), Section(id="core", outline=box(120, 120, 280, 280))),
        features=(Feature(id="board", role="trim", outline=box(500, 0, 560, 400)),),
    )
    paints = tuple(
        Paint(
            id=name,
            swatch={
                k: xyz_of_swatch(v, where="") for k, v in zip(("daylight", "blacklight"), pair, strict=True)
            },
        )
        for name, pair in COLOURS.items()
    )
    survey = Survey(
        panel=panel,
        adjacency=find_neighbours(panel),
        paints=paints,
        appearance=appearance_of(paints, (DAYLIGHT, BLACKLIGHT)),
    )
    return survey, Scheme(paint_of={"frame": "moss", "core": "lagoon"})


def at(picture, x_mm, y_mm):
    scale = picture.mm_per_px
    return picture.image[int(y_mm / scale), int(x_mm / scale)]


@pytest.mark.parametrize("width", [300, 600, 1601])
def test_each_section_has_its_paint_where_it_stands(small, width):
    survey, scheme = small
    for light, which in ((DAYLIGHT, 0), (BLACKLIGHT, 1)):
        picture = draw_preview(survey, scheme, light, width_px=width)
        assert picture.image.shape == (round(width * 400 / 600), width, 3)
        assert picture.mm_per_px == pytest.approx(600 / width)
        for (x, y), paint in {(60, 200): "moss", (200, 200): "lagoon", (200, 60): "moss"}.items():
            told = tuple(int(COLOURS[paint][which][k : k + 2], 16) for k in (1, 3, 5))
            assert np.max(np.abs(at(picture, x, y).astype(int) - told)) <= 1
        gap, board = at(picture, 110, 200), at(picture, 530, 200)
        assert gap.max() < 30
        assert not np.array_equal(gap, board)


def test_areas_in_pixels_equal_areas_in_millimetres(small):
    survey, scheme = small
    picture = draw_preview(survey, scheme, DAYLIGHT, width_px=1200)
    told = tuple(int(COLOURS["lagoon"][0][k : k + 2], 16) for k in (1, 3, 5))
    pixels = np.all(np.abs(picture.image.astype(int) - told) <= 1, axis=-1).sum()
    # 160 x 160 mm at 0.5 mm a pixel; edge pixels may be blends.
    assert pixels == pytest.approx(160 * 160 / 0.25, rel=0.015)


def test_the_same_scheme_gives_the_same_picture(small):
    survey, scheme = small
    one, two = (draw_preview(survey, scheme, BLACKLIGHT, names=True).image for _ in range(2))
    assert np.array_equal(one, two)


def test_names_change_the_sections_only(small):
    survey, scheme = small
    plain = draw_preview(survey, scheme, DAYLIGHT, width_px=900).image
    named = draw_preview(survey, scheme, DAYLIGHT, width_px=900, names=True).image
    changed = np.argwhere(np.any(plain != named, axis=-1)) * (600 / 900)
    assert len(changed) > 50
    assert changed.min() >= 20
    assert changed.max() <= 380


def test_a_name_far_too_long_for_its_section_is_still_drawn(small):
    survey, _ = small
    renamed = Panel(
        name="x",
        width_mm=600,
        height_mm=400,
        sections=(Section(id="a very long name for so small a stone, truly", outline=box(10, 10, 60, 50)),),
    )
    lone = Survey(
        panel=renamed,
        adjacency=find_neighbours(renamed),
        paints=survey.paints,
        appearance=survey.appearance,
    )
    picture = draw_preview(lone, Scheme(paint_of={renamed.ids[0]: "moss"}), DAYLIGHT, names=True)
    assert (
        picture.image != draw_preview(lone, Scheme(paint_of={renamed.ids[0]: "moss"}), DAYLIGHT).image
    ).any()


def test_two_lights_stand_side_by_side(small):
    survey, scheme = small
    left, right = (draw_preview(survey, scheme, light, width_px=300) for light in (DAYLIGHT, BLACKLIGHT))
    both = draw_side_by_side(left, right)
    assert np.array_equal(both.image[:, :300], left.image)
    assert np.array_equal(both.image[:, -300:], right.image)
    assert both.mm_per_px == left.mm_per_px


@pytest.mark.parametrize("width", [0, 299, 8193])
def test_a_width_that_cannot_be_drawn_is_told(small, width):
    survey, scheme = small
    with pytest.raises(InputError, match="choose a width from 300 to 8192 pixels"):
        draw_preview(survey, scheme, DAYLIGHT, width_px=width)


def test_the_neighbour_map_shows_weak_borders_warm_and_strong_ones_cold(canyon_outcome):
    survey, scheme = canyon_outcome.survey, canyon_outcome.scheme
    picture = draw_neighbours(survey.panel, survey.adjacency, survey=survey, scheme=scheme)
    margin = 0.03 * survey.panel.width_mm
    weakest = canyon_outcome.verdict.weakest
    table = survey.appearance.weakest_differences(survey.appearance.lights)
    row = {paint: k for k, paint in enumerate(survey.appearance.paints)}

    def strength(c):
        return table[row[scheme.paint_of[c.a]], row[scheme.paint_of[c.b]]]

    def colour(c):
        line = max(c.mid_line.geoms, key=lambda part: part.length)
        spot = line.interpolate(0.5, normalized=True)
        return at(picture, spot.x + margin, spot.y + margin).astype(int)

    weak = next(c for c in survey.adjacency.neighbours if (c.a, c.b) == (weakest.a, weakest.b))
    strong = max(survey.adjacency.neighbours, key=strength)
    assert colour(weak)[0] > colour(weak)[2] + 40
    assert colour(strong)[2] > colour(strong)[0] + 40


def test_a_panel_shows_its_borders_without_a_scheme(canyon_outcome):
    survey = canyon_outcome.survey
    picture = draw_neighbours(survey.panel, survey.adjacency, width_px=500)
    assert picture.image.shape[1] == 500
    assert palette.draw_neighbours is draw_neighbours
