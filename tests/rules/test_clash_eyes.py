"""The clash rule seen by colour-blind eyes."""

import numpy as np
import pytest
from grounds import graph_survey

from palette.colour import lab_of_xyz, xyz_of_swatch
from palette.demands import check_scheme
from palette.errors import InputError
from palette.rules.clash import Clash
from palette.scheme import Scheme


@pytest.fixture
def survey():
    """Return two neighbours and four paints; red and olive are a classic pair for deutan eyes."""
    swatches = ["#d03030", "#8a7a10", "#1f60e6", "#f4f01e"]
    labs = np.array([[lab_of_xyz(xyz_of_swatch(s, where="t"))] * 2 for s in swatches])
    return graph_survey([(0, 1)], 2, labs)


def test_a_pair_only_some_eyes_tell_apart_is_a_clash_for_those_eyes(survey):
    one, two = survey.panel.ids
    paints = survey.appearance.paints
    scheme = Scheme(paint_of={one: paints[0], two: paints[1]})
    usual = Clash(min_difference=25.0, min_hue_angle=None)
    asked = Clash(min_difference=25.0, min_hue_angle=None, eyes=("deutan", "protan/0.9"))
    assert check_scheme(survey, [usual], scheme).kept
    breaches = check_scheme(survey, [asked], scheme).breaches
    assert len(breaches) == 1
    assert "to a deutan eye" in breaches[0].sentence
    assert usual.allowed_pairs(survey)[0, 1]
    assert not asked.allowed_pairs(survey)[0, 1]
    # Blue and yellow are told apart by both.
    assert asked.allowed_pairs(survey)[2, 3]


def test_engine_and_checker_agree_on_every_pair(survey):
    rule = Clash(min_difference=25.0, min_hue_angle=None, eyes=("deutan", "tritan"))
    allowed = rule.allowed_pairs(survey)
    one, two = survey.panel.ids
    for p, first in enumerate(survey.appearance.paints):
        for q, second in enumerate(survey.appearance.paints):
            kept = check_scheme(survey, [rule], Scheme(paint_of={one: first, two: second})).kept
            assert kept == allowed[p, q]


def test_the_rule_says_its_eyes_and_refuses_unknown_ones(survey):
    assert "also to deutan eyes" in Clash(eyes=("deutan",)).sentence()
    faults = list(Clash(eyes=("cat",)).faults(survey))
    assert len(faults) == 1
    assert isinstance(faults[0], InputError)
    assert str(faults[0]).startswith('rule clash, eyes: there is no eye "cat"')
