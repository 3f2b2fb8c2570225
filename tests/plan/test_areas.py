"""Areas against shapely's own and against figures worked out by hand."""

from dataclasses import replace

import pytest
import shapely
from random_panels import random_panel

from palette.panel import Feature
from palette.plan import measure_areas
from palette.plan.areas import gap_shape, line_length_mm, sections_that_touch
from palette.plan.settings import Surface


def test_surfaces_by_hand(two_slabs):
    areas = measure_areas(two_slabs, Surface(thickness_mm=20.0, trim_thickness_mm=20.0))
    # m²: 0.95 × 0.9; the same less a hole of 0.1 × 0.1; board 2 × 0.1; gap 0.1 × 0.9.
    assert areas.sections == pytest.approx({"left": 0.855, "right": 0.845})
    assert areas.trim_face == pytest.approx(0.2)
    assert areas.trim_edges == pytest.approx((2 * (2.0 + 0.1)) * 0.02)
    assert areas.gaps == pytest.approx(0.09)
    assert areas.voids == pytest.approx(0.01)
    assert areas.back == pytest.approx(1.99)
    # Around the face 6 m; of the hole's rim 0.4 m lie half on the face's own corner.
    assert areas.panel_edges == pytest.approx((6.0 + 0.2) * 0.02)


@pytest.mark.parametrize("seed", range(20))
def test_parts_make_up_the_face_and_sections_are_shapely_s(seed):
    panel = random_panel(seed)
    areas = measure_areas(panel, Surface())
    for section in panel.sections:
        assert areas.sections[section.id] == pytest.approx(section.outline.area / 1e6, rel=1e-9)
    whole = sum(areas.sections.values()) + areas.trim_beside_sections + areas.gaps + areas.voids
    assert whole == pytest.approx(panel.width_mm * panel.height_mm / 1e6, rel=1e-9)
    assert areas.face == pytest.approx(whole, rel=1e-9)


def test_trim_over_a_section_is_counted_whole_but_not_twice_in_the_face(two_slabs):
    laid_over = Feature(id="strip", role="trim", outline=shapely.box(900, 0, 1100, 900))
    panel = replace(two_slabs, features=(*two_slabs.features, laid_over))
    areas = measure_areas(panel, Surface())
    assert areas.trim_face == pytest.approx(0.2 + 0.18)
    # Of the strip only the gap's 0.1 × 0.9 m lies beside sections, and no gap is left.
    assert areas.trim_beside_sections == pytest.approx(0.2 + 0.09)
    assert areas.gaps == pytest.approx(0.0, abs=1e-12)
    whole = sum(areas.sections.values()) + areas.trim_beside_sections + areas.gaps + areas.voids
    assert whole == pytest.approx(2.0, rel=1e-9)


def test_lines_run_over_borders_that_lie_on_one_another(touching_row):
    # Three shared edges of 0.5 m, painted 20 mm wide.
    assert line_length_mm(touching_row) == pytest.approx(1500)
    areas = measure_areas(touching_row, Surface(line_mm=20.0))
    assert areas.lines == pytest.approx(1.5 * 0.02)
    assert areas.line_m == pytest.approx(1.5)
    assert sections_that_touch(touching_row) == (("a", "b"), ("b", "c"), ("c", "d"))


def test_slabs_apart_do_not_touch(two_slabs):
    assert sections_that_touch(two_slabs) == ()
    assert gap_shape(two_slabs).area == pytest.approx(90_000)
