"""The engine against every assignment of small walls, judged by the checker and the measures alone."""

from __future__ import annotations

import itertools
from types import MappingProxyType

import numpy as np
import pytest
from grounds import random_survey

from palette.demands import Rule, check_scheme
from palette.errors import NoScheme
from palette.merits import measure_merits
from palette.rules import (
    AnyOrder,
    Clash,
    Depth,
    Different,
    Families,
    Hatch,
    Never,
    Only,
    Pin,
    Quota,
    Same,
    Seam,
    Share,
    Spacing,
    Stock,
    Stripe,
    Variety,
)
from palette.scheme import Scheme
from palette.solving import solve
from palette.survey import Survey

AIMS = ("weakest-pair", "repeats", "balance", "areas", "contrast")


def random_rules(rng: np.random.Generator, survey: Survey) -> list[Rule]:
    """Return a random subset of all rules in random settings, some of them only preferred."""
    ids, paints = list(survey.panel.ids), list(survey.appearance.paints)

    def some(names: list[str], least: int = 1) -> tuple[str, ...]:
        many = int(rng.integers(min(least, len(names)), len(names) + 1))
        return tuple(names[k] for k in sorted(rng.choice(len(names), many, replace=False)))

    def strength() -> str:
        return "prefer" if rng.random() < 0.3 else "must"

    least = int(rng.integers(0, 3))
    pool = [
        lambda: Clash(
            lights=None if rng.random() < 0.5 else (str(rng.choice(survey.appearance.lights)),),
            min_difference=None if rng.random() < 0.4 else float(rng.uniform(1, 40)),
            min_hue_angle=None if rng.random() < 0.4 else float(rng.uniform(1, 60)),
            strength=strength(),
        ),
        lambda: Depth(
            by=str(rng.choice(["bands", "order", "given"])),
            bands=int(rng.integers(2, 6)),
            light=("daylight", "blacklight") if rng.random() < 0.3 else ("blacklight",),
            tolerance=float(rng.choice([0.0, 8.0, 25.0])),
            rise=float(rng.choice([0.0, 100.0, 400.0])),
            strength=strength(),
        ),
        lambda: Pin(sections=some(ids)[:2], paint=str(rng.choice(paints)), strength=strength()),
        lambda: Only(sections=some(ids), paints=some(paints), strength=strength()),
        lambda: Never(sections=some(ids), paints=some(paints)[:1], strength=strength()),
        lambda: Same(sections=some(ids, 2)[:2], strength=strength()),
        lambda: Different(sections=some(ids, 2)[:3], strength=strength()),
        lambda: Stock(waste=float(rng.choice([0.0, 0.1])), strength=strength()),
        lambda: Variety(at_least=least, at_most=least + int(rng.integers(1, 3)), strength=strength()),
        lambda: Quota(
            paints=some(paints),
            at_least=least,
            at_most=least + int(rng.integers(0, 3)),
            strength=strength(),
        ),
        lambda: Share(
            paints=some(paints),
            at_least=float(rng.choice([0.0, 0.1])),
            at_most=float(rng.choice([0.3, 0.6])),
            strength=strength(),
        ),
        lambda: Spacing(distance=float(rng.choice([5.0, 50.0, 200.0])), strength=strength()),
        lambda: Families(
            apart=(("red", "pink"), ("green", "green"), ("blue", "yellow")), strength=strength()
        ),
        lambda: Seam(
            side=str(rng.choice(["left", "right"])),
            facing=((0.0, 600.0, str(rng.choice(paints))), (600.0, 1300.0, str(rng.choice(paints)))),
            reach=300.0,
            strength=strength(),
        ),
        lambda: AnyOrder(mirrored=bool(rng.random() < 0.5), reach=300.0, strength=strength()),
        lambda: Hatch(
            ratio=float(rng.choice([0.7, 1.0, 1.5])),
            both_sides=bool(rng.random() < 0.3),
            mixed_sides=bool(rng.random() < 0.5),
            strength=strength(),
        ),
        lambda: Stripe(bend=float(rng.choice([15.0, 60.0])), strength=strength()),
    ]
    chosen = rng.choice(len(pool), int(rng.integers(1, 5)), replace=False)
    rules = [pool[k]() for k in sorted(chosen.tolist())]
    return [rule for rule in rules if not list(rule.faults(survey))]


def rank(survey: Survey, rules: list[Rule], aims: tuple[str, ...], scheme: Scheme) -> tuple | None:
    """Return how good a scheme is, best greatest, rounded; None where a rule is broken."""
    verdict = check_scheme(survey, rules, scheme)
    if not verdict.kept:
        return None
    merits = measure_merits(survey, scheme)
    measures = {
        "weakest-pair": merits.weakest,
        "repeats": np.inf if merits.repeat_mm is None else merits.repeat_mm,
        "balance": -merits.count_range,
        "areas": -merits.largest_area_mm2,
        "contrast": merits.contrast,
    }
    found = [-len(verdict.missed)] if any(rule.strength == "prefer" for rule in rules) else []
    found += [0.0 if measures[aim] is None else round(measures[aim], 6) for aim in aims]
    return tuple(found)


def compare(rng: np.random.Generator) -> str:
    """Hold one random wall against all its assignments; return how it went."""
    # Seven sections of four paints are 16,384 schemes: walls of fewer, so that many can be tried.
    sections, paints = [(7, 2), (5, 3), (4, 4), (6, 2), (4, 3)][int(rng.integers(5))]
    survey = random_survey(rng, sections=sections, paints=paints)
    rules = random_rules(rng, survey)
    aims = tuple(str(aim) for aim in rng.permutation(AIMS)[: int(rng.integers(0, 6))])
    return compare_wall(survey, rules, aims)


def compare_wall(survey: Survey, rules: list[Rule], aims: tuple[str, ...]) -> str:
    ids, shelf = survey.panel.ids, survey.appearance.paints
    best = None
    for chosen in itertools.product(shelf, repeat=len(ids)):
        scheme = Scheme(paint_of=MappingProxyType(dict(zip(ids, chosen, strict=True))))
        value = rank(survey, rules, aims, scheme)
        if value is not None and (best is None or value > best):
            best = value
    if best is None:
        with pytest.raises(NoScheme):
            solve(survey, rules, aims=aims)
        return "impossible"
    scheme = solve(survey, rules, aims=aims)
    assert scheme.proof.status == "optimal"
    assert rank(survey, rules, aims, scheme) == pytest.approx(best, abs=2e-6)
    return "solved"


@pytest.mark.parametrize("block", range(10))
def test_every_level_is_the_best_of_all_assignments(block):
    rng = np.random.default_rng(block)
    seen = [compare(rng) for _ in range(50)]
    assert seen.count("solved") >= 10
    assert seen.count("impossible") >= 3


@pytest.mark.slow
@pytest.mark.parametrize("block", range(100))
def test_every_level_is_the_best_of_all_assignments_ten_thousand_times(block):
    rng = np.random.default_rng(1000 + block)
    seen = [compare(rng) for _ in range(100)]
    assert seen.count("solved") >= 20


def test_the_largest_small_wall_agrees_too():
    rng = np.random.default_rng(77)
    survey = random_survey(rng, sections=6, paints=4)
    while (len(survey.panel.sections), len(survey.paints)) != (6, 4):
        survey = random_survey(rng, sections=6, paints=4)
    rules = [Clash(min_difference=5.0, min_hue_angle=None), Depth(tolerance=40.0)]
    assert compare_wall(survey, rules, AIMS) == "solved"
