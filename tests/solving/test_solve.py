"""What a caller of the engine can rely on."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
import shapely
from grounds import EIGHT_LABS, distinct_labs, graph_survey, make_survey, slab_wall

import palette.solving.confirming
import palette.solving.search
from palette.demands import check_scheme
from palette.errors import Disagreement, InputError, NoScheme, Stopped
from palette.rules import Clash, Depth
from palette.scheme import Scheme
from palette.solving import Limits, solve

RULES = [Clash(min_difference=10.0, min_hue_angle=None), Depth(tolerance=25.0)]


def test_same_input_same_scheme():
    first, second = (solve(slab_wall(60, seed=3), RULES, seed=5) for _ in range(2))
    assert dict(first.paint_of) == dict(second.paint_of)
    assert first.proof.levels == second.proof.levels


def test_another_seed_proves_the_same_value():
    values = {solve(slab_wall(40, seed=4), RULES, seed=seed).proof.levels[0].value for seed in range(4)}
    assert len(values) == 1


def test_proof_says_what_it_vouches_for():
    proof = solve(slab_wall(20, seed=1), RULES, seed=9).proof
    assert (proof.status, proof.seed) == ("optimal", 9)
    assert "python-sat" in proof.engine
    assert proof.seconds > 0
    level = proof.levels[0]
    assert (level.aim, level.unit, level.value) == ("weakest-pair", "CIEDE2000", level.bound)


def test_one_section_needs_no_neighbours():
    survey = graph_survey([], 1, EIGHT_LABS)
    scheme = solve(survey, RULES)
    assert list(scheme.paint_of) == ["s000"]
    assert [level.aim for level in scheme.proof.levels] == ["balance"]


def test_one_paint_on_two_neighbours_is_refused_in_one_sentence():
    survey = graph_survey([(0, 1)], 2, distinct_labs(1))
    with pytest.raises(NoScheme) as stop:
        solve(survey, [Clash(), Depth(light=("daylight",))])
    assert stop.value.rules == ("clash",)
    assert str(stop.value).count(".") == 1


def test_two_rules_that_disagree_are_both_named():
    # A column of three sections with two paints must alternate, so it cannot darken.
    boxes = [shapely.box(0, 100 * k, 90, 100 * k + 90) for k in range(3)]
    tall = make_survey(boxes, [(0, 1, 50.0), (1, 2, 50.0)], distinct_labs(2))
    with pytest.raises(NoScheme) as stop:
        solve(tall, [Clash(min_difference=None), Depth(by="order", rise=0.0)])
    assert set(stop.value.rules) == {"clash", "depth"}


def test_unknown_light_and_unknown_aim_are_named():
    survey = slab_wall(6, seed=1)
    with pytest.raises(InputError, match='the light "moonlight" does not exist'):
        solve(survey, [Clash(lights=("moonlight",))])
    with pytest.raises(InputError, match='there is no aim "speed"'):
        solve(survey, RULES, aims=("speed",))


def test_a_caller_can_stop_it():
    def stop(step):
        raise Stopped("enough")

    with pytest.raises(Stopped):
        solve(slab_wall(20, seed=1), RULES, on_progress=stop)


def test_every_spoiled_scheme_is_caught():
    """Change single sections of a proven scheme: the checker says so exactly when a pair breaks."""
    survey = slab_wall(30, seed=2)
    rules = [Clash(min_difference=20.0, min_hue_angle=None)]
    scheme = solve(survey, rules)
    assert check_scheme(survey, rules, scheme).kept
    tables = np.minimum(*(survey.appearance.differences(light) for light in survey.appearance.lights))
    place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
    caught = 0
    for contact in survey.adjacency.neighbours:
        neighbour = scheme.paint_of[contact.b]
        spoiled = Scheme(paint_of=MappingProxyType({**scheme.paint_of, contact.a: neighbour}))
        assert not check_scheme(survey, rules, spoiled).kept
        for paint in survey.appearance.paints:
            if paint != neighbour and tables[place[paint], place[neighbour]] < 20.0:
                spoiled = Scheme(paint_of=MappingProxyType({**scheme.paint_of, contact.a: paint}))
                pairs = [breach.sections for breach in check_scheme(survey, rules, spoiled).breaches]
                assert (contact.a, contact.b) in pairs
                caught += 1
    assert caught > 0


def test_a_disagreement_with_the_checker_is_loud(monkeypatch):
    survey = slab_wall(12, seed=1)
    real = palette.solving.confirming.check_scheme

    def judge_strictly(survey, rules, scheme):
        return real(survey, [*rules, Clash(min_difference=99.0)], scheme)

    monkeypatch.setattr(palette.solving.confirming, "check_scheme", judge_strictly)
    with pytest.raises(Disagreement):
        solve(survey, RULES)


@pytest.mark.parametrize("lie", [{"value": 99.0}, {"bound": 1.0}])
def test_a_value_too_good_or_a_bound_too_low_is_loud(monkeypatch, lie):
    survey = slab_wall(12, seed=1)
    real = palette.solving.search.strengthen
    monkeypatch.setitem(
        palette.solving.search._MEET, "weakest-pair", lambda *given: replace(real(*given), **lie)
    )
    with pytest.raises(Disagreement):
        solve(survey, RULES)


def test_a_tolerance_frees_the_aims_after_it():
    """Within two of the best weakest pair there is at least as much contrast, and no more is given up."""
    survey = slab_wall(24, seed=5)
    strict = solve(survey, RULES, aims=("weakest-pair", "contrast")).proof.levels
    loose = solve(survey, RULES, aims=("weakest-pair within 15", "contrast")).proof.levels
    assert loose[1].value > strict[1].value
    assert strict[0].value - 15 <= loose[0].value <= loose[0].bound == strict[0].bound


@pytest.mark.parametrize(
    "wrong", ["weakest-pair within x", "weakest-pair within -1", "weakest-pair within nan"]
)
def test_a_wrong_tolerance_is_one_sentence(wrong):
    with pytest.raises(InputError, match="is not a tolerance of at least 0"):
        solve(slab_wall(6, seed=1), RULES, aims=(wrong,))


def test_stopping_keeps_the_best_so_far():
    def stop_late(step):
        if "repeats" in step.note:
            raise Stopped("enough")

    scheme = solve(slab_wall(20, seed=1), RULES, on_progress=stop_late)
    assert scheme.proof.status == "feasible"
    assert [level.aim for level in scheme.proof.levels] == ["weakest-pair"]


def test_little_patience_gives_a_bound_instead_of_a_proof():
    scheme = solve(slab_wall(150, seed=1), RULES, limits=Limits(patience=1, seconds=3))
    for level in scheme.proof.levels:
        better = level.bound <= level.value if level.aim == "balance" else level.bound >= level.value - 1e-9
        assert better
    assert check_scheme(slab_wall(150, seed=1), RULES, scheme).kept


def test_paints_that_need_not_repeat_never_do_later():
    """Five sections, eight paints: no repeat at all is best, and contrast may not bring one back."""
    survey = graph_survey([(0, 1), (1, 2), (2, 3), (3, 4)], 5, EIGHT_LABS)
    scheme = solve(survey, [Clash(min_difference=None, min_hue_angle=None)], aims=("repeats", "contrast"))
    assert len(set(scheme.paint_of.values())) == 5
