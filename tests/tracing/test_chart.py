"""A 24-patch chart by published values: found, evened out and named under two illuminants."""

import chart
import numpy as np
import pytest
from scoring import photo_of

import palette
from palette.light import DAYLIGHT
from palette.paint import Paint
from palette.photos import Mark, Marks
from palette.tracing import apply_homography, solve_homography


def chart_paints():
    names, xyz, _ = chart.chart_xyz("D65")
    return names, tuple(
        Paint(id=name, swatch={"daylight": value}) for name, value in zip(names, xyz, strict=True)
    )


def place_of(section, panel):
    middle = section.outline.centroid
    return int(middle.y / panel.height_mm * 4) * 6 + int(middle.x / panel.width_mm * 6)


@pytest.fixture(scope="module", params=["D65", "A"])
def readings(request):
    pixels, corners = chart.render_chart(request.param)
    frame = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * np.array(chart.SIZE_MM)
    last = np.array(chart.SIZE_MM) - chart.RIM_MM - chart.PATCH_MM / 2
    click = apply_homography(solve_homography(frame, corners), last[None])
    marks = Marks(shapes=(Mark(name="black", where="click", points=click),))
    _, paints = chart_paints()
    plain = palette.read_panel(
        photo_of(pixels), DAYLIGHT, paints=paints, corners=corners, size_mm=chart.SIZE_MM
    )
    clicked = palette.read_panel(
        photo_of(pixels), DAYLIGHT, paints=paints, corners=corners, size_mm=chart.SIZE_MM, marks=marks
    )
    return plain, clicked


def test_all_but_the_darkest_are_found_alone(readings):
    plain, _ = readings
    assert {place_of(s, plain.panel) for s in plain.panel.sections} >= set(range(23))
    assert len(plain.findings) <= 24


def test_a_click_adds_the_darkest(readings):
    _, clicked = readings
    assert sorted(place_of(s, clicked.panel) for s in clicked.panel.sections) == list(range(24))


def test_the_grid_has_its_38_side_pairs(readings):
    """m(n - 1) + n(m - 1) = 38 for 4 x 6."""
    _, clicked = readings
    place = {s.id: place_of(s, clicked.panel) for s in clicked.panel.sections}
    pairs = {tuple(sorted((place[c.a], place[c.b]))) for c in clicked.adjacency.neighbours}
    wanted = {(k, k + 1) for k in range(24) if k % 6 < 5} | {(k, k + 6) for k in range(18)}
    assert len(wanted) == 38
    assert pairs == wanted


def test_the_light_is_evened_out(readings):
    """The white balance is off by 6 and 7 %, the light by 2 to 1; grey patches come back grey."""
    plain, _ = readings
    names, xyz, _ = chart.chart_xyz("D65")
    by_place = {place_of(s, plain.panel): plain.finding(s.id).linear for s in plain.panel.sections}
    greys = [19, 20, 21, 22]  # neutral 8 to 3.5, bottom row
    found = np.array([by_place[k][1] for k in greys])
    wanted = np.array([xyz[k][1] for k in greys])
    ratio = found / wanted
    assert names[19].startswith("neutral 8")
    assert ratio.max() / ratio.min() < 1.25


def test_every_patch_found_is_named(readings):
    plain, _ = readings
    names, _ = chart_paints()
    wrong = [
        (names[place_of(s, plain.panel)], plain.finding(s.id).paint)
        for s in plain.panel.sections
        if plain.finding(s.id).paint != names[place_of(s, plain.panel)]
    ]
    assert wrong == []
