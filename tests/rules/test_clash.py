"""Look-alikes side by side."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
from grounds import graph_survey

from palette.demands import check_scheme
from palette.rules import Clash
from palette.scheme import Scheme

# Sharma, Wu & Dalal, Color Res. Appl. 30(1), 2005, table 1: pair 1 differs by 2.0425, pair 17
# (50, 2.5, 0 and 73, 25, -18) by 27.1492, pair 20 (50, 2.5, 0 and 58, 24, 15) by 19.4535.
PAIR_17 = np.array([[[50, 2.5, 0]], [[73, 25, -18]]], float)
PAIR_20 = np.array([[[50, 2.5, 0]], [[58, 24, 15]]], float)


def painted(*paints: int) -> Scheme:
    return Scheme(paint_of=MappingProxyType({f"s{k:03d}": f"paint-{p}" for k, p in enumerate(paints)}))


@pytest.mark.parametrize(("labs", "kept"), [(PAIR_17, True), (PAIR_20, False)])
def test_published_differences_decide(labs, kept):
    survey = graph_survey([(0, 1)], 2, labs)
    assert check_scheme(survey, [Clash()], painted(0, 1)).kept is kept


def test_breach_carries_the_figures():
    survey = graph_survey([(0, 1)], 2, PAIR_20)
    (breach,) = check_scheme(survey, [Clash()], painted(0, 1)).breaches
    assert breach.sections == ("s000", "s001")
    assert breach.detail["difference"]["daylight"] == pytest.approx(19.4535, abs=1e-4)
    assert breach.detail["border_mm"] == 50.0
    assert breach.detail["hue_angle"] == {"daylight": None}
    assert breach.sentence == "s000 (paint-0) and s001 (paint-1) differ by only 19.5 under daylight."


def test_hue_counts_whatever_the_lightness():
    # Chroma 50 both, hue 0 and 14 degrees, forty L* apart: plainly different, yet one hue.
    angle = np.radians(14)
    labs = np.array([[[40, 50, 0]], [[80, 50 * np.cos(angle), 50 * np.sin(angle)]]])
    survey = graph_survey([(0, 1)], 2, labs)
    (breach,) = check_scheme(survey, [Clash()], painted(0, 1)).breaches
    assert "14 degrees of hue apart" in breach.sentence
    assert check_scheme(survey, [Clash(min_hue_angle=None)], painted(0, 1)).kept
    assert check_scheme(survey, [Clash(min_hue_angle=13.0)], painted(0, 1)).kept
    assert check_scheme(survey, [Clash(min_chroma=50.5)], painted(0, 1)).kept


def test_hue_wraps_round():
    labs = np.array([[[30, 60, -8]], [[80, 60, 8]]], float)  # -7.6 and 7.6 degrees
    survey = graph_survey([(0, 1)], 2, labs)
    assert not check_scheme(survey, [Clash(min_hue_angle=16.0)], painted(0, 1)).kept


def test_same_paint_clashes_with_both_halves_off():
    survey = graph_survey([(0, 1)], 2, PAIR_17)
    (breach,) = check_scheme(
        survey, [Clash(min_difference=None, min_hue_angle=None)], painted(1, 1)
    ).breaches
    assert breach.sentence == "s000 (paint-1) and s001 (paint-1) both are paint-1."


def test_only_the_chosen_lights_count():
    labs = np.concatenate([PAIR_17, PAIR_20], axis=1)
    survey = graph_survey([(0, 1)], 2, labs)
    assert check_scheme(survey, [Clash(lights=("daylight",))], painted(0, 1)).kept
    assert not check_scheme(survey, [Clash()], painted(0, 1)).kept


def test_sentence_is_plain():
    assert Clash().sentence() == (
        "Neighbours never have the same paint, differ by at least 20 (CIEDE2000) in every light, and "
        "where both are strongly coloured (chroma above 25), "
        "stand at least 15 degrees of hue apart in every light."
    )
    bare = Clash(min_difference=None, min_hue_angle=None)
    assert bare.sentence() == "Neighbours never have the same paint."
