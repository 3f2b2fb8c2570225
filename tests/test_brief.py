"""Briefs: every way to write one gives the same job, and every fault is told with its place."""

import pytest

import palette
from palette.errors import InputError
from tests.conftest import CANYON

PAINTS = """
[[paint]]
name = "moss"
swatch = { daylight = "#38d64e", blacklight = "#12c85a" }
[[paint]]
name = "apricot"
swatch = { daylight = "#ff9126", blacklight = "#ff8a12" }
[[paint]]
name = "lagoon"
swatch = { daylight = "#1f86e6", blacklight = "#1446d8" }
"""
LAYOUT = """
size = "600 mm x 400 mm"
[[section]]
name = "left"
left = "10 mm"
bottom = "10 mm"
width = "287 mm"
height = "380 mm"
[[section]]
name = "right"
left = "303 mm"
bottom = "10 mm"
width = "287 mm"
height = "380 mm"
"""
RULE = '[[rule]]\nkind = "clash"\n'


def write(folder, **files):
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder / "brief.toml"


def inline(layout=LAYOUT):
    return "[panel]" + layout.replace("[[section]]", "[[panel.section]]")


def test_parts_in_files_and_parts_inline_give_the_same_job(tmp_path):
    split = write(
        tmp_path,
        wall=LAYOUT,
        shelf=PAINTS,
        wanted=RULE,
        brief='panel = "wall.toml"\npaints = "shelf.toml"\nrules = "wanted.toml"\n',
    )
    outcomes = [palette.run(palette.read_brief(split))]
    whole = tmp_path / "whole.toml"
    whole.write_text(PAINTS + RULE + inline(), encoding="utf-8")
    outcomes.append(palette.run(palette.read_brief(whole)))
    one, two = outcomes
    assert dict(one.scheme.paint_of) == dict(two.scheme.paint_of)
    assert one.verdict.weakest == two.verdict.weakest
    assert one.scheme.paint_of["left"] != one.scheme.paint_of["right"]
    assert [light.id for light in one.brief.lights] == ["daylight", "blacklight"]


@pytest.mark.parametrize("form", ["wall.svg", "wall.toml", "wall.png"])
def test_the_demo_gives_one_strength_in_all_three_forms(form, tmp_path, canyon_outcome):
    text = (CANYON / "brief.toml").read_text(encoding="utf-8")
    text = text.replace("wall.svg", (CANYON / form).as_posix())
    text = text.replace('"paints.toml"', f'"{(CANYON / "paints.toml").as_posix()}"')
    outcome = palette.run(palette.read_brief(write(tmp_path, brief=text)))
    assert outcome.verdict.kept
    assert outcome.verdict.weakest.difference == pytest.approx(
        canyon_outcome.verdict.weakest.difference, abs=1e-9
    )


BAD = {
    "no panel": (PAINTS + RULE, "it names no panel; write panel ="),
    "no paints": (RULE + inline(), "it names no paints; write paints ="),
    "no rules": (PAINTS + inline(), 'it states no rules; add [[rule]] with kind = "clash"'),
    "misspelt key": ("pannel = 3\n" + PAINTS + RULE, 'the key "pannel" is not known here; write "panel"'),
    "both ways": (
        'paints = "x"\n' + PAINTS + RULE + inline(),
        "it names a paint file and lists paints as well",
    ),
    "unknown light": (
        'lights = ["moonlight"]\n' + PAINTS + RULE + inline(),
        'lights: there is no light "moonlight"; ',
    ),
    "light twice": (
        'lights = ["daylight", "daylight"]\n' + PAINTS + RULE + inline(),
        "a light is named twice",
    ),
    "lights not a list": ('lights = "daylight"\n' + PAINTS + RULE + inline(), "is not a list of names"),
    "unknown rule": (
        PAINTS + '[[rule]]\nkind = "clashes"\n' + inline(),
        'there is no rule "clashes"; write "clash"',
    ),
    "unknown rule key": (PAINTS + RULE + "diference = 3\n" + inline(), 'there is no key "diference"'),
    "bad reach": (
        PAINTS + RULE + "[neighbours]\nreach = 160\n" + inline(),
        "neighbours, reach: the length 160 has no unit",
    ),
    "one paint": (
        '[[paint]]\nname="moss"\nswatch={daylight="#38d64e", blacklight="#12c85a"}\n' + RULE + inline(),
        '"moss" is the only paint, and neighbours need two; add another paint',
    ),
    "look unknown": (
        '[[paint]]\nname="moss"\nswatch={daylight="#38d64e"}\n[[paint]]\nname="b"\nswatch={daylight="#000"}\n'
        + RULE
        + inline(),
        'paint "moss"',
    ),
    "unknown unit": (PAINTS + RULE + inline(LAYOUT.replace("380 mm", "38 hands")), '"hands" in "38 hands"'),
    "seed": ("seed = -4\n" + PAINTS + RULE + inline(), '"seed" is -4'),
}


@pytest.mark.parametrize("case", BAD, ids=lambda case: case)
def test_a_wrong_brief_is_told(tmp_path, case):
    text, words = BAD[case]
    with pytest.raises(InputError) as stop:
        palette.survey_brief(palette.read_brief(write(tmp_path, brief=text)))
    assert words in str(stop.value)
    assert all(line.endswith(".") for line in str(stop.value).splitlines())


def test_faults_of_several_parts_come_together(tmp_path):
    text = 'lights = ["moonlight"]\npanel = "none.svg"\npaints = "none.toml"\n[[rule]]\nkind = "glow"\n'
    with pytest.raises(InputError) as stop:
        palette.read_brief(write(tmp_path, brief=text))
    told = str(stop.value).splitlines()
    assert len(told) == 4
    for words in ("none.svg", "none.toml", "moonlight", '"glow"'):
        assert any(words in line for line in told)


BAD_SCHEMES = {
    "not json": ("{", "this is not JSON in line 1"),
    "not an object": ("[1]", "this JSON holds no object"),
    "no paints": ('{"version": 1}', 'it has no "paint_of"'),
    "numbers": ('{"version": 1, "paint_of": {"a": 3}}', 'it has no "paint_of"'),
    "newer": ('{"version": 99, "paint_of": {}}', "its version is 99"),
    "twice": ('{"version": 1, "paint_of": {"a": "x", "a": "y"}}', 'the key "a" stands twice'),
    "odd proof": ('{"version": 1, "paint_of": {}, "proof": 7}', '"proof" is 7, not an object'),
    "strange key": ('{"version": 1, "paint_of": {}, "paintof": {}}', 'the key "paintof" is not known here'),
}


@pytest.mark.parametrize("case", BAD_SCHEMES, ids=lambda case: case)
def test_a_wrong_scheme_file_is_told(tmp_path, case):
    text, words = BAD_SCHEMES[case]
    path = tmp_path / "scheme.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as stop:
        palette.read_scheme(path)
    assert str(stop.value).startswith(str(path))
    assert words in str(stop.value)


def test_a_scheme_for_another_wall_is_told(canyon_outcome):
    brief = canyon_outcome.brief
    paint_of = dict(canyon_outcome.scheme.paint_of)
    del paint_of["heart"]
    paint_of["hart"] = "moss green"
    paint_of["brow"] = "mud"
    with pytest.raises(InputError) as stop:
        palette.judge(brief, palette.Scheme(paint_of=paint_of), where="edited.json")
    told = str(stop.value)
    assert all(line.startswith("edited.json: ") for line in told.splitlines())
    assert 'the section "heart" has no paint' in told
    assert 'it paints "hart", which the panel does not have' in told
    assert 'gives "brow" the paint "mud", which is not on the shelf' in told


def test_rules_change_by_text_or_by_rules_and_the_rest_stays(canyon_outcome):
    brief = canyon_outcome.brief
    changed = palette.change_rules(
        brief, '[[rule]]\nkind = "pin"\nsections = ["heart"]\npaint = "brick red"\n'
    )
    assert [rule.kind for rule in changed.rules] == ["pin"]
    assert changed.paints is brief.paints
    assert palette.change_rules(changed, brief.rules).rules == brief.rules


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "rules: it states no rules"),
        ('[[rule]]\nkind = "clahs"', 'rules, rule 1: there is no rule "clahs"; write "clash"'),
        ('[[rules]]\nkind = "clash"', 'rules: the key "rules" is not known here; write "rule"'),
        ("[[rule]", "rules: this is not TOML"),
    ],
)
def test_wrong_text_of_rules_is_told(canyon_outcome, text, words):
    with pytest.raises(InputError) as stop:
        palette.change_rules(canyon_outcome.brief, text)
    assert words in str(stop.value)


def test_one_section_painted_otherwise_leaves_the_scheme_without_proof(canyon_outcome):
    changed = canyon_outcome.scheme.with_paint("heart", "chalk white")
    assert {section for section, paint in changed.paint_of.items()
            if paint != canyon_outcome.scheme.paint_of[section]} == {"heart"}  # fmt: skip
    assert changed.proof is None
    # Beside chalk white: the long sill and the boulder, which are its neighbours on the drawing.
    verdict = palette.judge(canyon_outcome.brief, changed).verdict
    clashes = {breach.sections for breach in verdict.breaches if breach.rule == "clash"}
    assert {("long sill", "heart"), ("heart", "boulder")} <= clashes
