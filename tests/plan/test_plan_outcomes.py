"""A plan straight from outcomes is the plan of their scheme files."""

import pytest

import palette
from tests.conftest import CANYON


def test_an_outcome_is_planned_as_its_scheme_file_is(tmp_path, canyon_outcome):
    file = palette.save_scheme(canyon_outcome.scheme, tmp_path / "scheme.json", brief=CANYON / "brief.toml")
    by_file = palette.read_plan([file], plan_file=CANYON / "plan.toml")
    plan = palette.plan_outcomes([canyon_outcome], plan_file=CANYON / "plan.toml")
    assert plan.title == by_file.title
    assert plan.needs == by_file.needs
    assert plan.purchases == by_file.purchases
    assert plan.left_out == by_file.left_out
    assert plan.timetable.person_hours == by_file.timetable.person_hours


def test_without_a_plan_file_the_defaults_hold(canyon_outcome):
    plan = palette.plan_outcomes([canyon_outcome])
    assert plan.lamps is None
    assert not plan.purchases


def test_no_outcome_and_no_file_are_told(tmp_path, canyon_outcome):
    with pytest.raises(palette.InputError, match="it has no panel"):
        palette.plan_outcomes([])
    with pytest.raises(palette.InputError, match="there is no such file"):
        palette.plan_outcomes([canyon_outcome], plan_file=tmp_path / "none.toml")
