"""Litres against worked examples and published unit factors."""

import csv
import io

import pytest

from palette.plan import make_plan, quantities_csv
from palette.plan.areas import measure_areas
from palette.plan.quantities import Need, add_up_needs
from palette.plan.settings import LIQUIDS, Settings, Surface, Waste


def test_a_worked_example_of_twelve_slabs():
    # 12 slabs of 0.75 m², 2 coats, 350 ft²/gal = 8.589835 m²/L, 10 % loss: 2.305050 L.
    need = Need(product="yellow", kind="colour", areas={"sections": 9.0}, coats=2,
                spread_m2_per_l=8.589835, waste=0.10, reserve_l=0.0, stock_l=None)  # fmt: skip
    assert need.litres == pytest.approx(2.305050, abs=1e-6)
    assert need.short_l == need.litres


def test_a_worked_example_of_six_panels():
    # Six panels, 17.9 m² white, 2 coats at 8 m²/L with 10 %: 4.9 L; orange on 2.7 m² at 7 m²/L
    # with 15 % and a reserve of 0.25 L: 1.15 L, so that a can of 1 L is short.
    white = Need(product="white", kind="ground", areas={"face": 17.9}, coats=2, spread_m2_per_l=8.0,
                 waste=0.10, reserve_l=0.0, stock_l=None)  # fmt: skip
    orange = Need(product="orange", kind="colour", areas={"sections": 2.7}, coats=2, spread_m2_per_l=7.0,
                  waste=0.15, reserve_l=0.25, stock_l=1.0)  # fmt: skip
    assert white.litres == pytest.approx(4.9, abs=0.03)
    assert orange.litres == pytest.approx(1.15, abs=0.02)
    assert orange.short_l == pytest.approx(0.137, abs=0.01)


def test_every_surface_gets_its_coats(two_slabs, two_slab_scheme, shelf):
    surface = Surface(thickness_mm=20.0, trim_thickness_mm=20.0)
    settings = Settings(surface=surface, waste=Waste(grounds=0.0, colours=0.0, reserve_l=0.0))
    needs = {
        n.product: n
        for n in add_up_needs([(measure_areas(two_slabs, surface), two_slab_scheme)], shelf, settings)
    }
    assert set(needs) == {"primer", "white", "black", "back", "yellow", "red"}
    # Face 1.99, back 1.99, edges 0.124, board 0.2, its edges 0.084.
    assert needs["primer"].area_m2 == pytest.approx(4.388)
    assert needs["white"].area_m2 == pytest.approx(1.99)
    assert needs["black"].area_m2 == pytest.approx(0.09 + 0.124 + 0.2 + 0.084)
    assert needs["yellow"].litres == pytest.approx(0.855 * 2 / 8)
    assert needs["red"].short_l == pytest.approx(0.845 * 2 / 8 - 0.1)


def test_trim_in_a_colour_takes_that_colour(two_slabs, two_slab_scheme, shelf):
    surface = Surface(trim_paint="yellow", trim_thickness_mm=20.0, thickness_mm=20.0)
    settings = Settings(surface=surface)
    needs = {
        n.product: n
        for n in add_up_needs([(measure_areas(two_slabs, surface), two_slab_scheme)], shelf, settings)
    }
    assert needs["yellow"].area_m2 == pytest.approx(0.855 + 0.2 + 0.084)
    assert needs["white"].area_m2 == pytest.approx(1.99 + 0.2 + 0.084)
    assert needs["black"].area_m2 == pytest.approx(0.09 + 0.124)


def test_no_coverage_leaves_the_litres_open_and_says_so(two_slabs, two_slab_scheme, shelf):
    settings = Settings(liquids={**Settings().liquids, "clear": LIQUIDS["clear"]})
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf, settings)
    clear = plan.need_of("clear")
    assert clear is not None
    assert clear.litres is None
    assert "clear: no coverage is known, so its litres stay open; add coverage to it." in plan.remarks
    assert plan.need_of("yellow").litres is not None


def test_short_stock_is_one_sentence(two_slabs, two_slab_scheme, shelf):
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf)
    told = [remark for remark in plan.remarks if remark.startswith("red:")]
    # 0.845 m² × 2 ÷ 8 × 1.15 + 0.25 = 0.493 L.
    assert told == ["red: 0.49 L are needed and 0.10 L are in stock; buy 0.39 L more."]


def test_the_table_is_in_litres_and_us_units(two_slabs, two_slab_scheme, shelf):
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf)
    rows = {row["product"]: row for row in csv.DictReader(io.StringIO(quantities_csv(plan)))}
    yellow = rows["yellow"]
    # 1 US gal = 3.785411784 L, 1 ft² = 0.09290304 m²; 8 m²/L = 325.967 ft²/gal (NIST SP 811).
    assert float(yellow["spread_ft2_per_gal"]) == pytest.approx(325.967, abs=0.06)
    assert float(yellow["us_gallons"]) * 3.785411784 == pytest.approx(float(yellow["litres"]), abs=0.004)
    assert float(yellow["area_ft2"]) * 0.09290304 == pytest.approx(float(yellow["area_m2"]), abs=0.001)
    assert yellow["can"] == "2"
    assert rows["primer"]["assumed"] == "coats coverage drying"
