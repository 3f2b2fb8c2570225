"""The timetable: what must hold for any job, read off the finished times."""

import datetime as dt
import itertools
from collections import defaultdict
from dataclasses import replace

import pytest
from random_panels import random_panel, random_scheme

from palette.plan import make_plan
from palette.plan.areas import sections_that_touch
from palette.plan.settings import LIQUIDS, Days, Settings, Surface
from palette.plan.steps import light_to_dark
from palette.plan.work_hours import WorkHours

EPS = 1e-6


def times_by_section(timetable):
    steps = {step.number: step for step in timetable.steps}
    found = defaultdict(list)
    for stretch in timetable.stretches:
        if stretch.piece.section:
            step = steps[stretch.piece.step]
            found[stretch.piece.panel, stretch.piece.section].append((stretch.start_h, stretch.end_h, step))
    return found


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("helpers", [1, 3])
def test_any_job_keeps_its_waits(shelf, seed, helpers):
    panels = [random_panel(seed), random_panel(seed + 100)]
    days = Days(helpers=helpers, hours=5.0, start=dt.date(2026, 10, 2), weekdays=(4, 5))
    jobs = [(panel, random_scheme(panel, shelf, seed)) for panel in panels]
    timetable = make_plan(jobs, shelf, Settings(days=days)).timetable
    coats = {paint.id: paint.coats for paint in shelf}
    by_section = times_by_section(timetable)
    for panel, scheme in jobs:
        for section in panel.ids:
            own = sorted(by_section[panel.name, section], key=lambda row: row[0])
            # Every section has all its coats, one after the other, each after the recoat time.
            assert [step.coat for _, _, step in own] == list(range(1, coats[scheme.paint_of[section]] + 1))
            for (_, end, step), (start, _, _) in itertools.pairwise(own):
                assert start >= end + step.recoat_h - EPS
        for a, b in sections_that_touch(panel):
            # No brush cuts in against a wet neighbour of another colour.
            if scheme.paint_of[a] == scheme.paint_of[b]:
                continue
            both = sorted(by_section[panel.name, a] + by_section[panel.name, b], key=lambda row: row[0])
            for (_, end, step), (start, _, later) in itertools.pairwise(both):
                if step.product != later.product:
                    assert start >= end + step.touch_dry_h - EPS


def test_a_wet_neighbour_is_waited_for(touching_row, row_scheme, shelf):
    # b (red) lies between a and c (yellow): with four brushes free it still waits until they are dry.
    settings = Settings(days=Days(helpers=4, colour_touch_dry_h=0.75))
    by_section = times_by_section(make_plan([(touching_row, row_scheme)], shelf, settings).timetable)
    yellow_ends = max(by_section["row", "a"][0][1], by_section["row", "c"][0][1])
    assert by_section["row", "b"][0][0] >= yellow_ends + 0.75 - EPS


@pytest.mark.parametrize("helpers", [1, 2, 5])
def test_nobody_is_at_two_places_and_all_work_is_in_open_hours(shelf, helpers):
    panel = random_panel(3)
    days = Days(
        helpers=helpers, hours=6.0, opens=dt.time(14, 0), start=dt.date(2026, 10, 3), weekdays=(5, 6)
    )
    timetable = make_plan([(panel, random_scheme(panel, shelf, 1))], shelf, Settings(days=days)).timetable
    for helper in range(1, helpers + 1):
        own = sorted((s.start_h, s.end_h) for s in timetable.stretches if s.helper == helper)
        for (_, end), (start, _) in itertools.pairwise(own):
            assert start >= end - EPS
    for stretch in timetable.stretches:
        weekday = (dt.date(2026, 10, 3) + dt.timedelta(days=int(stretch.start_h // 24))).weekday()
        assert weekday in (5, 6)
        # Half an hour at each end is for setting up and cleaning.
        assert 14.5 - EPS <= stretch.start_h % 24 <= 19.5 + EPS
        assert 14.5 - EPS <= stretch.end_h % 24 <= 19.5 + EPS


def test_more_hands_are_never_slower_here_and_hours_stay_the_same(touching_row, row_scheme, shelf):
    ends, hours = [], []
    for helpers in (1, 2, 4):
        timetable = make_plan(
            [(touching_row, row_scheme)], shelf, Settings(days=Days(helpers=helpers))
        ).timetable
        ends.append(timetable.end_h)
        hours.append(timetable.person_hours)
    assert ends[0] >= ends[1] >= ends[2]
    assert hours == pytest.approx([hours[0]] * 3)


def test_colours_go_from_light_to_dark(shelf, touching_row, row_scheme):
    # Yellow, red, blue by daylight lightness, as painters do it: a darker one covers an overrun.
    assert [paint.id for paint in light_to_dark(shelf)] == ["yellow", "red", "blue"]
    steps = make_plan([(touching_row, row_scheme)], shelf).timetable.steps
    colours = [(step.product, step.coat) for step in steps if step.kind == "colour"]
    assert colours == [
        ("yellow", 1), ("red", 1), ("blue", 1), ("yellow", 2), ("red", 2), ("blue", 2), ("blue", 3),
    ]  # fmt: skip
    # After each round of coats someone looks in the dark, after the last one before the black.
    kinds = [step.kind for step in steps if step.kind in ("colour", "look", "black")]
    assert kinds == ["colour"] * 3 + ["look"] + ["colour"] * 3 + ["look", "colour", "look", "black"]


def test_bare_work_comes_first_and_the_fire_retardant_before_any_paint(two_slabs, two_slab_scheme, shelf):
    liquids = {**Settings().liquids, "fire retardant": LIQUIDS["fire retardant"]}
    steps = make_plan([(two_slabs, two_slab_scheme)], shelf, Settings(liquids=liquids)).timetable.steps
    titles = [step.title.split(":")[0] for step in steps]
    assert titles[:3] == ["Check the panels; mark each back", "Fill, sand, dust off", "Fire retardant"]
    assert steps[2].product == "fire retardant"
    wet = [step.number for step in steps if step.product and step.product != "fire retardant"]
    assert min(wet) > steps[2].number
    order = [step.product for step in steps if step.kind == "ground"]
    assert order == ["primer", "primer", "back", "white", "white"]
    assert steps[-1].kind == "finish"
    assert all(step.weather for step in steps if step.touch_dry_h)
    assert "licensed" in steps[2].caution


def test_a_cold_hall_takes_longer(two_slabs, two_slab_scheme, shelf):
    warm = make_plan([(two_slabs, two_slab_scheme)], shelf, Settings(days=Days(drying_factor=1.0)))
    cold = make_plan([(two_slabs, two_slab_scheme)], shelf, Settings(days=Days(drying_factor=3.0)))
    assert cold.timetable.end_h > warm.timetable.end_h
    assert cold.timetable.person_hours == pytest.approx(warm.timetable.person_hours)


def test_panels_without_trim_have_no_trim_steps(
    touching_row, row_scheme, shelf, two_slabs, two_slab_scheme
):
    assert not any(s.kind == "trim" for s in make_plan([(touching_row, row_scheme)], shelf).timetable.steps)
    assert any(s.kind == "trim" for s in make_plan([(two_slabs, two_slab_scheme)], shelf).timetable.steps)


@pytest.mark.parametrize(
    ("trim_paint", "coats"),
    [("black", ["primer", "black"]), ("white", ["primer", "white", "white"]),
     ("blue", ["primer", "white", "white", "blue", "blue", "blue"])],
)  # fmt: skip
def test_the_trim_gets_every_coat_it_is_bought_for(two_slabs, two_slab_scheme, shelf, trim_paint, coats):
    plan = make_plan(
        [(two_slabs, two_slab_scheme)], shelf, Settings(surface=Surface(trim_paint=trim_paint))
    )
    steps = [step for step in plan.timetable.steps if step.kind == "trim"]
    assert [step.product for step in steps] == coats
    for product in dict.fromkeys(coats):
        assert "trim faces" in plan.need_of(product).areas
        assert plan.need_of(product).coats == coats.count(product)
    ends = {}
    for stretch in plan.timetable.stretches:
        ends[stretch.piece.step] = (stretch.start_h, stretch.end_h)
    for before, after in itertools.pairwise(steps):
        assert ends[after.number][0] >= ends[before.number][1] + before.recoat_h - EPS


def test_a_can_called_black_does_not_buy_the_trim_twice(two_slabs, shelf):
    from palette.scheme import Scheme

    black = (*shelf, replace(shelf[0], id="black"))
    need = [
        n
        for n in make_plan([(two_slabs, Scheme(paint_of={"left": "black", "right": "red"}))], black).needs
        if "trim faces" in n.areas and n.product == "black"
    ]
    assert len(need) == 1


def test_drawing_waits_for_dry_white_and_colours_for_white_that_takes_a_coat(
    touching_row, row_scheme, shelf
):
    timetable = make_plan([(touching_row, row_scheme)], shelf).timetable
    steps = {step.number: step for step in timetable.steps}
    white = [s.end_h for s in timetable.stretches if steps[s.piece.step].product == "white"]
    draw = [s.start_h for s in timetable.stretches if steps[s.piece.step].kind == "draw"]
    colour = [s.start_h for s in timetable.stretches if steps[s.piece.step].kind == "colour"]
    assert min(draw) >= max(white) + LIQUIDS["white"].touch_dry_h - EPS
    assert min(draw) < max(white) + LIQUIDS["white"].recoat_h
    assert min(colour) >= max(white) + LIQUIDS["white"].recoat_h - EPS


def test_lines_are_part_of_the_black(touching_row, row_scheme, shelf):
    def black_hours(line_mm):
        plan = make_plan([(touching_row, row_scheme)], shelf, Settings(surface=Surface(line_mm=line_mm)))
        black = {step.number for step in plan.timetable.steps if step.kind == "black"}
        return sum(s.piece.hours for s in plan.timetable.stretches if s.piece.step in black)

    # 1.5 m of line at 15 m/h is 0.1 h.
    assert black_hours(20.0) == pytest.approx(0.1)


class TestWorkHours:
    """Four hours from 10, half an hour of them at each end for setting up; Fridays and Saturdays."""

    hours = WorkHours(Days(start=dt.date(2026, 10, 2), opens=dt.time(10), hours=4, weekdays=(4, 5)))

    def test_short_work_is_not_cut_by_the_night(self):
        assert self.hours.fit(13.0, 0.5) == pytest.approx((13.0, 13.5))
        assert self.hours.fit(13.0, 1.0) == pytest.approx((24 + 10.5, 24 + 11.5))

    def test_long_work_goes_on_the_next_day(self):
        assert self.hours.fit(10.5, 5.0) == pytest.approx((10.5, 24 + 12.5))

    def test_days_off_are_left_out(self):
        # After Saturday 3 comes Friday 9 October 2026.
        assert self.hours.open_at(48.0) == pytest.approx(7 * 24 + 10.5)
        assert self.hours.day_number(7 * 24 + 11) == 3
        assert self.hours.date_of(7 * 24 + 11) == dt.date(2026, 10, 9)
