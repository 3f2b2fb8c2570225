"""Pins, lists of paints, sections that match or differ."""

from __future__ import annotations

from types import MappingProxyType

import pytest
from grounds import distinct_labs, graph_survey

from palette.demands import check_scheme
from palette.rules import Different, Never, Only, Pin, Same, state_rule
from palette.scheme import Scheme

WALL = graph_survey([(0, 1), (1, 2), (2, 3)], 4, distinct_labs(3))
SCHEME = Scheme(
    paint_of=MappingProxyType({"s000": "paint-0", "s001": "paint-1", "s002": "paint-0", "s003": "paint-2"})
)


@pytest.mark.parametrize(
    ("rule", "broken"),
    [
        (Pin(sections=("s000",), paint="paint-0"), []),
        (Pin(sections=("s00[0-2]",), paint="paint-0"), [("s001",)]),
        (Pin(paint="paint-0"), [("s001",), ("s003",)]),
        (Only(sections=("s001", "s003"), paints=("paint-1", "paint-0")), [("s003",)]),
        (Never(paints=("paint-2",)), [("s003",)]),
        (Never(sections=("s000",), paints=("paint-2",)), []),
        (Same(sections=("s000", "s002")), []),
        (Same(sections=("s000", "s001", "s003")), [("s000", "s001"), ("s000", "s003")]),
        (Different(sections=("s000", "s001", "s003")), []),
        (Different(sections=("s00*",)), [("s000", "s002")]),
    ],
)
def test_where_it_is_broken(rule, broken):
    assert not list(rule.faults(WALL))
    assert [breach.sections for breach in check_scheme(WALL, [rule], SCHEME).breaches] == broken


def test_a_preferred_rule_is_missed_but_kept():
    verdict = check_scheme(WALL, [Never(paints=("paint-2",), strength="prefer")], SCHEME)
    assert verdict.kept
    assert [breach.sections for breach in verdict.missed] == [("s003",)]


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        (
            Pin(sections=("s009",), paint="paint-0"),
            'rule "pin": the section "s009" does not exist; write "s00',
        ),
        (
            Pin(sections=("s000",), paint="pant-0"),
            'rule "pin": the paint "pant-0" does not exist; write "paint-0"',
        ),
        (Pin(sections=("s000",)), 'rule "pin": it names no paint; add the paint it is about.'),
        (Only(paints=()), 'rule "only": it names no paint; add the paint it is about.'),
        (
            Same(sections=("s000",)),
            'rule "same": it is about fewer than two sections, so it can never bind;',
        ),
        (
            Different(sections=("x*",)),
            'rule "different": the section "x*" does not exist; use one of: s000',
        ),
    ],
)
def test_faults_are_one_sentence(rule, told):
    assert str(next(iter(rule.faults(WALL)))).startswith(told)


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        (Pin(sections=("hearth",), paint="moss"), "hearth is painted moss."),
        (Pin(sections=("sill", "hearth"), paint="moss"), "sill and hearth are painted moss."),
        (Only(paints=("moss", "flame")), "Every section is painted only moss or flame."),
        (Never(sections=("hatch-*",), paints=("lemon",)), "hatch-* are never painted lemon."),
        (Same(sections=("a", "b")), "a and b have the same paint."),
        (Different(sections=("a", "b"), strength="prefer"), "Preferred: a and b have different paints."),
    ],
)
def test_sentences_are_plain(rule, sentence):
    assert state_rule(rule) == sentence
