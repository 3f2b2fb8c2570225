"""The page's sentences say of each rule what the rule itself says."""

import dataclasses

import pytest

from palette.page.sentences import OFFERED, Blank, sentence_of
from palette.rules import KINDS

BLANKS = [
    (kind, piece)
    for kind in OFFERED
    for piece in sentence_of({"kind": kind}).pieces
    if isinstance(piece, Blank)
]


@pytest.mark.parametrize(("kind", "blank"), BLANKS, ids=lambda value: getattr(value, "key", value))
def test_a_blank_starts_with_what_the_rule_does_when_its_key_is_left_out(kind, blank):
    known = {item.name: item.default for item in dataclasses.fields(KINDS[kind])}
    assert blank.key in known
    if blank.default is None:
        return
    said = [*blank.default] if isinstance(blank.default, list) else blank.default
    meant = [*known[blank.key]] if isinstance(known[blank.key], tuple) else known[blank.key]
    # Lengths are written with their unit.
    assert said == (f"{meant:g} mm" if blank.how == "length" else meant)
