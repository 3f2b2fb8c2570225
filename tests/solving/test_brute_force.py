"""The engine against every assignment of small walls, judged by the checker alone."""

from __future__ import annotations

import itertools
from types import MappingProxyType

import numpy as np
import pytest
from grounds import random_survey

from palette.demands import check_scheme
from palette.errors import NoScheme
from palette.rules import Clash, Depth
from palette.scheme import Scheme
from palette.solving import solve
from palette.survey import Survey


def every_scheme(survey: Survey):
    ids, paints = survey.panel.ids, survey.appearance.paints
    for chosen in itertools.product(paints, repeat=len(ids)):
        yield Scheme(paint_of=MappingProxyType(dict(zip(ids, chosen, strict=True))))


def random_rules(rng: np.random.Generator, survey: Survey) -> list:
    rules = []
    if rng.random() < 0.8:
        rules.append(
            Clash(
                lights=None if rng.random() < 0.5 else (str(rng.choice(survey.appearance.lights)),),
                min_difference=None if rng.random() < 0.3 else float(rng.uniform(1, 45)),
                min_hue_angle=None if rng.random() < 0.3 else float(rng.uniform(1, 60)),
                min_chroma=float(rng.uniform(0, 60)),
            )
        )
    if rng.random() < 0.8:
        rules.append(
            Depth(
                by=str(rng.choice(["bands", "order"])),
                bands=int(rng.integers(2, 6)),
                light=("daylight", "blacklight") if rng.random() < 0.3 else ("blacklight",),
                tolerance=float(rng.choice([0.0, 8.0, 25.0])),
                rise=float(rng.choice([0.0, 100.0, 400.0])),
            )
        )
    return rules


def best_of_all(survey: Survey, rules: list) -> float | None:
    """Return the best weakest difference over all kept schemes, inf without neighbours."""
    best = None
    for scheme in every_scheme(survey):
        verdict = check_scheme(survey, rules, scheme)
        if verdict.kept:
            value = verdict.weakest.difference if verdict.weakest else float("inf")
            best = value if best is None else max(best, value)
    return best


@pytest.mark.parametrize("block", range(10))
def test_proven_value_is_the_best_of_all_assignments(block):
    rng = np.random.default_rng(block)
    seen = {"solved": 0, "impossible": 0}
    for _ in range(50):
        # Seven sections of four paints are 16,384 schemes: a few of those, many smaller.
        sections, paints = [(7, 2), (7, 3), (5, 4), (4, 4), (5, 3)][int(rng.integers(5))]
        survey = random_survey(rng, sections=sections, paints=paints)
        rules = random_rules(rng, survey)
        best = best_of_all(survey, rules)
        if best is None:
            seen["impossible"] += 1
            with pytest.raises(NoScheme):
                solve(survey, rules)
            continue
        seen["solved"] += 1
        scheme = solve(survey, rules)
        levels = scheme.proof.levels
        if not survey.adjacency.neighbours:
            assert levels == ()
        else:
            assert levels[0].proven
            assert levels[0].value == pytest.approx(best, abs=1e-9)
    assert min(seen.values()) >= 5


def test_a_wall_of_four_thousand_schemes_agrees_too():
    rng = np.random.default_rng(77)
    survey = random_survey(rng, sections=7, paints=4)
    while (len(survey.panel.sections), len(survey.paints)) != (6, 4):
        survey = random_survey(rng, sections=7, paints=4)
    rules = [Clash(min_difference=5.0, min_hue_angle=None), Depth(tolerance=40.0)]
    assert solve(survey, rules).proof.levels[0].value == pytest.approx(best_of_all(survey, rules))
