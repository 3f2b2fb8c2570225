"""A plan as a whole: what is refused, what is told, which cautions are chosen."""

from dataclasses import replace

import pytest

from palette.errors import InputError
from palette.lamps import Lamp, LampWish, axis_intensity
from palette.plan import CLOSING, Container, make_plan
from palette.plan.settings import Buying, Settings, Site, Surface
from palette.scheme import Scheme


def flood(x, *, watts=6.0, name="flood"):
    return Lamp(id=name, x_mm=x, y_mm=-200, out_mm=1000, aim_x_mm=x, aim_y_mm=500, beam_deg=90,
                intensity_w_sr=axis_intensity(watts, 90))  # fmt: skip


def test_a_scheme_that_leaves_a_section_out_is_refused(two_slabs, shelf):
    with pytest.raises(InputError, match='the scheme gives "right" no paint'):
        make_plan([(two_slabs, Scheme(paint_of={"left": "red"}))], shelf)


def test_a_paint_that_is_not_on_the_shelf_is_refused(two_slabs, shelf):
    scheme = Scheme(paint_of={"left": "red", "right": "mauve"})
    with pytest.raises(InputError, match='the paint "mauve", which is not on the shelf'):
        make_plan([(two_slabs, scheme)], shelf)


def test_an_unknown_trim_paint_is_refused(two_slabs, two_slab_scheme, shelf):
    settings = Settings(surface=Surface(trim_paint="mauve"))
    with pytest.raises(InputError, match='the trim\'s paint "mauve" is unknown'):
        make_plan([(two_slabs, two_slab_scheme)], shelf, settings)


def test_a_can_for_no_product_is_told_and_the_rest_is_made(two_slabs, two_slab_scheme, shelf):
    offers = (Container(product="priemr", litres=0.25, price=900),)
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf, Settings(buying=Buying(containers=offers)))
    assert plan.left_out == (
        'plan, container: "priemr" is no paint or liquid here; write "primer" if that was meant.',
    )
    assert plan.timetable.stretches


def test_two_panels_of_one_name_are_refused(two_slabs, two_slab_scheme, shelf):
    job = (two_slabs, two_slab_scheme)
    with pytest.raises(InputError, match='two panels are called "two slabs"'):
        make_plan([job, job], shelf)
    with pytest.raises(InputError, match="it has no panel"):
        make_plan([], shelf)


def test_a_run_knows_its_neighbours_and_adds_up(two_slabs, two_slab_scheme, shelf):
    jobs = [(replace(two_slabs, name=name), two_slab_scheme) for name in ("east", "middle", "west")]
    plan = make_plan(jobs, shelf)
    assert [(each.left, each.right) for each in plan.panels] == [
        ("", "middle"),
        ("east", "west"),
        ("middle", ""),
    ]
    single = make_plan(jobs[:1], shelf)
    reserve = plan.settings.waste.reserve_l
    assert plan.need_of("yellow").litres - reserve == pytest.approx(
        3 * (single.need_of("yellow").litres - reserve)
    )


def test_the_edition_changes_with_the_scheme(two_slabs, two_slab_scheme, shelf):
    one = make_plan([(two_slabs, two_slab_scheme)], shelf).panels[0].edition
    again = make_plan([(two_slabs, two_slab_scheme)], shelf).panels[0].edition
    other = (
        make_plan([(two_slabs, Scheme(paint_of={"left": "red", "right": "blue"}))], shelf).panels[0].edition
    )
    assert one == again
    assert one != other


def test_containers_of_a_colour_serve_any_paint(two_slabs, two_slab_scheme, shelf):
    offers = (
        Container(product="colours", litres=0.25, price=900),
        Container(product="red", litres=1.0, price=800),
    )
    plan = make_plan(
        [(two_slabs, two_slab_scheme)], shelf, Settings(buying=Buying(currency="EUR", containers=offers))
    )
    # Yellow is in stock; red is 0.39 L short, and its own can of 1 L is cheaper than two small ones.
    assert [(p.product, p.price, p.litres) for p in plan.purchases] == [("red", 800, 1.0)]


def test_the_closing_words_and_the_cautions_that_always_hold(two_slabs, two_slab_scheme, shelf):
    titles = {caution.title for caution in make_plan([(two_slabs, two_slab_scheme)], shelf).cautions}
    assert {"Exits", "Fire", "UV-A", "Air", "Old paint", "Panels, cables"} <= titles
    assert "Ladders" not in titles  # a face of 1 m
    assert "licensed practice decide" in CLOSING


def test_cautions_fit_the_job(two_slabs, two_slab_scheme, shelf):
    tall = replace(two_slabs, height_mm=2440.0)
    site = Site(old_paint="none", method="spray", lamps_outdoors=True)
    titles = {c.title for c in make_plan([(tall, two_slab_scheme)], shelf, Settings(site=site)).cautions}
    assert {"Spraying", "Ladders", "Lamps outdoors"} <= titles
    assert "Old paint" not in titles


def test_strong_lamps_add_a_sentence(two_slabs, two_slab_scheme, shelf):
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf, Settings(lamps=(flood(1000.0, watts=200.0),)))
    assert any(not exposure.within_day for exposure in plan.lamps.exposures)
    uv = next(caution.text for caution in plan.cautions if caution.title == "UV-A")
    assert "Estimated limit reached within 8 h" in uv


def test_lamps_are_placed_where_they_are_wished(two_slabs, two_slab_scheme, shelf):
    settings = Settings(lamps=(flood(0.0),), lamp_wish=LampWish(mean_w_m2=0.8, evenness=0.4))
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf, settings)
    assert plan.lamps.placing.reached
    assert plan.lamps.light.mean >= 0.78
    settings = Settings(lamps=(flood(0.0),), lamp_wish=LampWish(mean_w_m2=50, evenness=0.4, most=1))
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf, settings)
    assert any("less than wanted" in remark for remark in plan.remarks)
