"""What a caller of the engine can rely on."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
import shapely
from grounds import EIGHT_LABS, distinct_labs, graph_survey, make_survey, slab_wall

import palette.solving.search
from palette.demands import check_scheme
from palette.errors import Disagreement, InputError, NoScheme, Stopped
from palette.rules import Clash, Depth
from palette.scheme import Scheme
from palette.solving import solve

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
    assert scheme.proof.levels == ()


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
    real = palette.solving.search.check_scheme

    def judge_strictly(survey, rules, scheme):
        return real(survey, [*rules, Clash(min_difference=99.0)], scheme)

    monkeypatch.setattr(palette.solving.search, "check_scheme", judge_strictly)
    with pytest.raises(Disagreement):
        solve(survey, RULES)


def test_a_wrong_value_is_loud(monkeypatch):
    survey = slab_wall(12, seed=1)
    real = palette.solving.search.strengthen

    def boast(*given):
        found, level = real(*given)
        return found, replace(level, value=level.value + 1)

    monkeypatch.setattr(palette.solving.search, "strengthen", boast)
    with pytest.raises(Disagreement):
        solve(survey, RULES)
