"""Scheme files spoiled on purpose: `palette check` must tell, and must be silent about sound ones."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import palette

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"
BRIEF = CANYON / "brief.toml"


@pytest.fixture(scope="module")
def sound(canyon_outcome):
    """Return the demo's scheme.json as it is written."""
    return canyon_outcome.scheme.to_dict()


@pytest.fixture
def check(palette_command, tmp_path):
    """Return a function that writes a document and checks it against the demo's brief."""

    def run(document, *options):
        path = tmp_path / "scheme.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        return palette_command("check", BRIEF, path, *options)

    return run


def spoil(sound, **changes):
    """Return the document with keys of its proof, or of a level, changed."""
    document = json.loads(json.dumps(sound))
    proof = document["proof"]
    for key, value in changes.items():
        aim, _, inner = key.partition("__")
        if inner:
            level = next(one for one in proof["levels"] if one["aim"] == aim.replace("_", "-"))
            level[inner] = value
        else:
            proof[key] = value
    return document


def test_a_sound_file_is_kept_and_its_proof_too(sound, check):
    assert [level["aim"] for level in sound["proof"]["levels"]]
    ran = check(sound)
    assert ran.code == 0
    assert "proof" not in ran.out
    assert json.loads(check(sound, "--json").out)["void_claims"] == []


def test_without_a_proof_nothing_is_claimed(sound, check):
    ran = check({"paint_of": sound["paint_of"]}, "--json")
    assert ran.code == 0
    assert json.loads(ran.out)["void_claims"] == []


def test_a_missing_section_is_named(sound, check):
    section = next(iter(sound["paint_of"]))
    rest = {name: paint for name, paint in sound["paint_of"].items() if name != section}
    ran = check({**sound, "paint_of": rest})
    assert ran.code == 2
    assert f'the section "{section}" has no paint; add it to paint_of' in " ".join(ran.err.split())


def test_an_extra_section_is_named(sound, check):
    ran = check({**sound, "paint_of": {**sound["paint_of"], "attic": "moss green"}})
    assert ran.code == 2
    assert 'it paints "attic", which the panel does not have' in " ".join(ran.err.split())


def test_an_unknown_paint_is_named_with_its_section(sound, check):
    section = next(iter(sound["paint_of"]))
    ran = check({**sound, "paint_of": {**sound["paint_of"], section: "rust"}})
    assert ran.code == 2
    told = " ".join(ran.err.split())
    assert f'it gives "{section}" the paint "rust", which is not on the shelf' in told


def test_all_faults_of_a_file_are_told_together(sound, check):
    first, second, *_ = sound["paint_of"]
    paint_of = {**sound["paint_of"], second: "rust", "attic": "moss green"}
    del paint_of[first]
    told = " ".join(check({**sound, "paint_of": paint_of}).err.split())
    assert all(name in told for name in (f'"{first}"', '"rust"', '"attic"'))


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"weakest_pair__value": 99.0, "weakest_pair__bound": 99.0},
         "For weakest-pair it says 99 CIEDE2000; this scheme has"),
        ({"weakest_pair__bound": 1.0}, "it says that no scheme gets past 1 CIEDE2000"),
        ({"balance__value": 9}, "For balance it says 9 sections; this scheme has"),
        ({"balance__bound": 9}, "For balance it says that no scheme gets past 9 sections"),
        ({"repeats__value": 1.0}, "For repeats it says 1 mm; this scheme has"),
        ({"contrast__value": 5.5}, "For contrast it says 5.5 CIEDE2000; this scheme has"),
        ({"contrast__unit": "mm"}, "For contrast it reckons in mm; that aim is in CIEDE2000."),
        ({"contrast__aim": "beauty"}, 'There is no aim "beauty".'),
        ({"repeats__proven": False}, 'Its status is "optimal", but not every level is proven.'),
    ],
)  # fmt: skip
def test_a_wrong_value_in_the_proof_is_told(sound, check, changes, told):
    document = spoil(sound, **changes)
    ran = check(document)
    assert ran.code == 0  # the scheme itself keeps every rule
    assert "The proof in the file is of another scheme:" in ran.out
    assert told in " ".join(ran.out.split())
    (claim,) = json.loads(check(document, "--json").out)["void_claims"]
    assert told in claim


def test_a_proof_of_another_scheme_is_told(sound, check):
    """Two neighbours in one paint: a clash, and no longer what the engine found."""
    outcome = palette.judge(palette.read_brief(BRIEF), palette.Scheme(paint_of=sound["paint_of"]))
    contact = outcome.survey.adjacency.neighbours[0]
    paint_of = {**sound["paint_of"], contact.a: sound["paint_of"][contact.b]}
    ran = check({**sound, "paint_of": paint_of}, "--json")
    assert ran.code == 1
    answer = json.loads(ran.out)
    assert [contact.a, contact.b] in [[one["a"], one["b"]] for one in answer["clashes"]]
    assert any("For weakest-pair it says" in claim for claim in answer["void_claims"])
    assert "A scheme that was found keeps every rule; this one breaks one." in answer["void_claims"]


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"weakest_pair__value": "high"}, "proof, level 1: \"value\" is 'high', not a number"),
        ({"weakest_pair__bound": True}, 'proof, level 1: "bound" is True, not a number'),
        ({"weakest_pair__proven": "yes"}, "proof, level 1: \"proven\" is 'yes', not true or false"),
        ({"weakest_pair__unit": 3}, 'proof, level 1: "unit" is 3, not a text'),
        ({"status": "best"}, "proof: \"status\" is 'best', not \"optimal\" or \"feasible\""),
        ({"engine": None}, 'proof: "engine" is None, not a text'),
        ({"seed": 1.5}, 'proof: "seed" is 1.5, not a whole number'),
        ({"seconds": "long"}, "proof: \"seconds\" is 'long', not a number"),
    ],
)  # fmt: skip
def test_a_proof_of_another_kind_is_one_sentence(sound, check, changes, told):
    ran = check(spoil(sound, **changes))
    assert ran.code == 2
    assert told in " ".join(ran.err.split())


@pytest.mark.parametrize("key", ["status", "levels", "engine", "seed"])
def test_a_proof_that_lacks_a_key_says_which(sound, check, key):
    document = spoil(sound)
    del document["proof"][key]
    ran = check(document)
    assert ran.code == 2
    assert f'proof: it has no "{key}"' in " ".join(ran.err.split())
