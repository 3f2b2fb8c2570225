"""Rules as they are written."""

from __future__ import annotations

import dataclasses

import pytest

from palette.errors import InputError
from palette.rules import (
    KINDS,
    RULE_KINDS,
    Clash,
    Depth,
    describe_kind,
    describe_options,
    rule_from_dict,
    rules_from_document,
)


def test_fields_are_the_keys():
    rule = rule_from_dict(
        {"kind": "depth", "by": "order", "rise": "4 in", "light": "blacklight", "tolerance": 2}, where="x"
    )
    assert rule == Depth(by="order", rise=101.6, light=("blacklight",), tolerance=2.0)


@pytest.mark.parametrize("off", [0, False, "off"])
def test_either_half_of_clash_can_be_dropped(off):
    rule = rule_from_dict({"kind": "clash", "min_difference": off, "min_hue_angle": off}, where="x")
    assert rule == Clash(min_difference=None, min_hue_angle=None)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ({}, "b.toml: the rule has no kind; add kind = one of: "),
        ({"kind": "clsh"}, 'b.toml: there is no rule "clsh"; write "clash" if that was meant.'),
        (
            {"kind": "clash", "min_diff": 3},
            'b.toml (clash): there is no key "min_diff"; write "min_difference" if that was meant.',
        ),
        (
            {"kind": "clash", "min_difference": -1},
            "b.toml (clash), min_difference: -1 is not a number of at least 0; write",
        ),
        (
            {"kind": "clash", "min_hue_angle": 190},
            "b.toml (clash), min_hue_angle: 190 is not a number from 0 to 180; write",
        ),
        (
            {"kind": "clash", "min_chroma": True},
            "b.toml (clash), min_chroma: True is not a number of at least 0;",
        ),
        ({"kind": "clash", "lights": []}, "b.toml (clash), lights: [] is not a list of light names;"),
        ({"kind": "clash", "lights": ["a", "a"]}, 'b.toml (clash), lights: "a" stands twice;'),
        (
            {"kind": "depth", "by": "rows"},
            'b.toml (depth), by: \'rows\' is not "bands" or "order" or "given";',
        ),
        ({"kind": "depth", "bands": 1}, "b.toml (depth), bands: 1 is not a whole number of at least 2;"),
        (
            {"kind": "depth", "rise": "4 furlongs"},
            'b.toml (depth), rise: "furlongs" in "4 furlongs" is not a unit of length;',
        ),
    ],
)
def test_each_fault_is_one_sentence(table, message):
    with pytest.raises(InputError) as stop:
        rule_from_dict(table, where="b.toml")
    assert str(stop.value).startswith(message)
    assert "\n" not in str(stop.value)


def test_all_faults_of_a_list_are_told_together():
    with pytest.raises(InputError) as stop:
        rules_from_document([{"kind": "clash", "x": 1}, {"kind": "no"}, {"kind": "depth"}], where="b.toml")
    assert str(stop.value).splitlines()[0].startswith('b.toml, rule 1 (clash): there is no key "x"')
    assert str(stop.value).splitlines()[1].startswith('b.toml, rule 2: there is no rule "no"')


@pytest.mark.parametrize("kind", KINDS)
def test_every_option_explains_itself(kind):
    told = describe_options(kind)
    assert [key for key, _, _ in told] == [item.name for item in dataclasses.fields(KINDS[kind])]
    assert all(expects and text for _, expects, text in told)


def test_an_unknown_kind_is_told_in_a_sentence():
    for ask in (describe_kind, describe_options):
        with pytest.raises(InputError, match='there is no rule "clsh"; write "clash" if that was meant'):
            ask("clsh")


def test_all_faults_of_one_rule_are_told_together():
    table = {"kind": "clash", "min_chrom": 3, "min_difference": -1, "eye": ["deutan"]}
    with pytest.raises(InputError) as stop:
        rule_from_dict(table, where="b.toml")
    assert [line.partition(";")[0] for line in str(stop.value).splitlines()] == [
        'b.toml (clash): there is no key "min_chrom"',
        "b.toml (clash), min_difference: -1 is not a number of at least 0",
        'b.toml (clash): there is no key "eye"',
    ]


def test_rules_come_in_the_order_they_are_written():
    written = [{"kind": "depth", "bands": 4}, {"kind": "clash"}, {"strength": "prefer", "kind": "depth"}]
    assert rules_from_document(written, where="b.toml") == (
        Depth(bands=4),
        Clash(),
        Depth(strength="prefer"),
    )


@pytest.mark.parametrize("document", [{"kind": "clash"}, ["clash"], "clash", ({"kind": "clash"},)])
def test_rules_that_are_no_list_of_tables_are_refused(document):
    with pytest.raises(InputError) as stop:
        rules_from_document(document, where="b.toml")
    assert str(stop.value) == (
        "b.toml: the rules are not a list of tables; write each rule as a [[rule]] table."
    )


def test_an_unknown_kind_names_the_nearest_or_all():
    for ask in (describe_kind, describe_options):
        with pytest.raises(InputError, match=r'^rules: there is no rule "dept"; write "depth" if that was'):
            ask("dept")
    with pytest.raises(
        InputError, match=r'no rule "zzz"; use one of: clash, families, depth, pin, .*share or 5 more\.'
    ):
        rule_from_dict({"kind": "zzz"}, where="b.toml")
    told = r"b.toml: the rule has no kind; add kind = one of: clash, families, depth, .*hatch\."
    with pytest.raises(InputError, match=told):
        rule_from_dict({"kind": 3}, where="b.toml")


def test_a_kind_says_what_it_is_in_one_line():
    assert describe_kind("pin") == "Sections have one given paint."
    assert tuple(KINDS) == RULE_KINDS
    # README.md, "The rules", first column.
    assert set(RULE_KINDS) == {
        "clash", "families", "depth", "pin", "only", "never", "same", "different", "stock", "variety",
        "quota", "share", "spacing", "stripe", "seam", "any-order", "hatch",
    }  # fmt: skip
