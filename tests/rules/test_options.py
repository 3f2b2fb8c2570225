"""How each option of a rule is written: what is read, and the one sentence about what is not.

The ways of writing are those of README.md: "The rules" and the examples there.
"""

from __future__ import annotations

import pytest

from palette.errors import InputError
from palette.rules import KINDS, describe_options, rule_from_dict


def read(kind, **given):
    return rule_from_dict({"kind": kind, **given}, where="b.toml")


@pytest.mark.parametrize(
    ("kind", "given", "key", "value"),
    [
        ("clash", {"min_difference": 0.5}, "min_difference", 0.5),
        ("clash", {"min_difference": "off"}, "min_difference", None),
        ("clash", {"min_difference": 12}, "min_difference", 12.0),
        ("clash", {"min_hue_angle": 180}, "min_hue_angle", 180.0),
        ("clash", {"min_chroma": 0}, "min_chroma", 0.0),
        ("clash", {"lights": "blacklight"}, "lights", ("blacklight",)),
        ("clash", {"eyes": []}, "eyes", ()),
        ("clash", {"strength": "prefer"}, "strength", "prefer"),
        ("depth", {"bands": 2}, "bands", 2),
        ("depth", {"rise": 0}, "rise", 0.0),
        ("depth", {"rise": "1' 4\""}, "rise", 406.4),
        ("families", {"apart": [["red", "orange"], ["green", "green"]]}, "apart",
         (("red", "orange"), ("green", "green"))),
        ("pin", {"sections": ["ledge *", "sill"]}, "sections", ("ledge *", "sill")),
        ("pin", {"paint": "moss green"}, "paint", "moss green"),
        ("stock", {"waste": 0}, "waste", 0.0),
        ("stock", {"waste": 5}, "waste", 5.0),
        ("stock", {"extra": {"moss": "0.5 L", "sky": "200 mL"}}, "extra", (("moss", 0.5), ("sky", 0.2))),
        ("quota", {"at_most": 0}, "at_most", 0),
        ("variety", {"at_most": 1}, "at_most", 1),
        ("share", {"at_most": 1}, "at_most", 1.0),
        ("stripe", {"bend": 60}, "bend", 60.0),
        ("hatch", {"ratio": 0.1, "both_sides": False}, "both_sides", False),
        ("hatch", {"ratio": 10}, "ratio", 10.0),
        ("any-order", {"mirrored": True}, "mirrored", True),
        ("seam", {"facing": [{"from": "0 mm", "to": "12 in", "paint": "moss"},
                             {"from": "12 in", "to": "600 mm", "paint": "flame"}]}, "facing",
         ((0.0, 304.8, "moss"), (304.8, 600.0, "flame"))),
    ],
)  # fmt: skip
def test_what_is_written_is_read(kind, given, key, value):
    assert getattr(read(kind, **given), key) == (
        pytest.approx(value) if isinstance(value, float) else value
    )


@pytest.mark.parametrize(
    ("kind", "key", "value", "what", "mend"),
    [
        ("clash", "min_difference", True, "True is not a number of at least 0",
         'write a number of at least 0, or "off"'),
        ("clash", "min_difference", "none", "'none' is not a number of at least 0", "write a number"),
        ("clash", "min_difference", float("nan"), "nan is not a number", "write a number"),
        ("clash", "min_difference", -0.1, "-0.1 is not a number of at least 0", "write a number"),
        ("clash", "min_hue_angle", 180.5, "180.5 is not a number from 0 to 180",
         'write a number from 0 to 180, or "off"'),
        ("clash", "min_chroma", "much", "'much' is not a number of at least 0",
         "write a number of at least 0"),
        ("stock", "waste", 5.1, "5.1 is not a number from 0 to 5", "write a number from 0 to 5"),
        ("stock", "waste", -0.1, "-0.1 is not a number from 0 to 5", "write a number from 0 to 5"),
        ("depth", "bands", 2.0, "2.0 is not a whole number of at least 2", "write a whole number"),
        ("depth", "bands", True, "True is not a whole number of at least 2", "write a whole number"),
        ("depth", "bands", "3", "'3' is not a whole number of at least 2", "write a whole number"),
        ("variety", "at_least", -1, "-1 is not a whole number of at least 0", "write a whole number"),
        ("variety", "at_most", 0, "0 is not a whole number of at least 1", "write a whole number"),
        ("depth", "by", "rows", """'rows' is not "bands" or "order" or "given\"""", 'write "bands" or'),
        ("depth", "rise", 25, "25", "write it like 64 mm"),
        ("depth", "light", [], "[] is not a list of light names",
         'write a list of light names, like ["a", "b"]'),
        ("depth", "light", [1], "[1] is not a list of light names", "write a list of light names"),
        ("depth", "light", 7, "7 is not a list of light names", "write a list of light names"),
        ("pin", "sections", ["a", "b", "b"], '"b" stands twice', "name it once"),
        ("pin", "paint", "", "'' is not the name of a paint", "write the name of a paint"),
        ("pin", "paint", ["moss"], "['moss'] is not the name of a paint", "write the name of a paint"),
        ("pin", "strength", "may", """'may' is not "must" or "prefer\"""", 'write "must" or "prefer"'),
        ("stock", "extra", ["moss"], "['moss'] is not a table", 'write it like { moss = "0.5 L" }'),
        ("hatch", "both_sides", "yes", "'yes' is not true or false", "write true or false"),
        ("hatch", "both_sides", 1, "1 is not true or false", "write true or false"),
        ("families", "apart", "red", "'red' is not a list of pairs of pink, red,",
         'write it like [["pink", "red"]]'),
        ("families", "apart", ["red", "orange"], "is not a list of pairs of pink", "write it like"),
        ("families", "apart", [["red", "orange", "pink"]], "is not a list of pairs of", "write it like"),
        ("families", "apart", [["red", "crimson"]], "is not a list of pairs of", "write it like"),
        ("families", "apart", [["red", "orange"], 3], "is not a list of pairs of", "write it like"),
        ("seam", "facing", "moss", "it is not a list of tables with from, to and paint",
         'write it like [{ from = "0 mm", to = "300 mm", paint = "moss" }]'),
        ("seam", "facing", ["moss"], "it is not a list of tables with from, to and paint", "write it like"),
        ("seam", "facing", [{"from": "0 mm", "to": "1 m"}], "it is not a list of tables", "write it like"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_one_sentence(kind, key, value, what, mend):
    with pytest.raises(InputError) as stop:
        read(kind, **{key: value})
    told = str(stop.value)
    assert told.startswith(f"b.toml ({kind}), {key}: ")
    assert what in told
    assert mend in told.partition("; ")[2]
    assert "\n" not in told


def test_a_fault_inside_a_list_or_table_names_its_place():
    with pytest.raises(InputError, match=r"^b\.toml \(stock\), extra, moss: "):
        read("stock", extra={"moss": "half a can"})
    rows = [
        {"from": "0 mm", "to": "300 mm", "paint": "moss"},
        {"from": "600 mm", "to": "300 mm", "paint": "moss"},
    ]
    with pytest.raises(InputError, match=r"facing 2: it goes from 600 to 300 mm; make from the smaller"):
        read("seam", facing=rows)
    with pytest.raises(InputError, match=r"facing 2: it goes from 300 to 300 mm"):
        read("seam", facing=[rows[0], {**rows[1], "from": "300 mm"}])
    with pytest.raises(InputError, match=r"facing 1, from: "):
        read("seam", facing=[{**rows[0], "from": "low"}])
    with pytest.raises(InputError, match=r"facing 1, to: "):
        read("seam", facing=[{**rows[0], "to": "high"}])
    with pytest.raises(InputError, match=r"facing 1, paint: .* is not the name of a paint"):
        read("seam", facing=[{**rows[0], "paint": 3}])
    with pytest.raises(InputError, match=r'facing 2: .*"colour"'):
        read("seam", facing=[rows[0], {**rows[0], "colour": "red"}])


# README.md, "The rules", the column of keys and defaults; None: when left out, all of them.
DEFAULTS = {
    "clash": {"min_difference": 20, "min_hue_angle": 15, "min_chroma": 25, "lights": None, "eyes": ()},
    "families": {"apart": (), "lights": None, "min_chroma": 25},
    "depth": {"by": "bands", "bands": 3, "rise": 100, "tolerance": 0, "light": ("daylight",)},
    "pin": {"sections": None, "paint": ""},
    "only": {"sections": None, "paints": ()},
    "never": {"sections": None, "paints": ()},
    "same": {"sections": ()},
    "different": {"sections": ()},
    "stock": {"waste": 0.1, "extra": ()},
    "variety": {"at_least": 0, "at_most": None},
    "quota": {"paints": None, "at_least": 0, "at_most": None},
    "share": {"paints": None, "at_least": 0, "at_most": 1},
    "spacing": {"distance": 0},
    "stripe": {"bend": 15, "step": 1.75},
    "seam": {"side": "right", "facing": (), "min_difference": 20, "min_hue_angle": 15, "reach": 80},
    "any-order": {"mirrored": False, "min_difference": 20, "min_hue_angle": 15, "reach": 80},
    "hatch": {"ratio": 1, "both_sides": True, "mixed_sides": True, "lights": None, "required_exit": False},
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_key_left_out_has_its_published_default(kind):
    rule = read(kind)
    assert rule.kind == kind
    told = {key: getattr(rule, key) for key, _, _ in describe_options(kind)}
    assert told == {**DEFAULTS[kind], "strength": "must"}


# In which unit a plain number of a key is; every other key needs none.
UNITS = {
    ("clash", "min_difference"): "CIEDE2000",
    ("clash", "min_hue_angle"): "degrees",
    ("clash", "min_chroma"): "CIELAB chroma",
    ("families", "min_chroma"): "CIELAB chroma",
    ("depth", "tolerance"): "L*",
    ("depth", "rise"): "mm",
    ("stock", "extra"): "L",
    ("spacing", "distance"): "mm",
    ("stripe", "bend"): "degrees",
    ("stripe", "step"): "typical section widths",
    ("seam", "min_difference"): "CIEDE2000",
    ("seam", "min_hue_angle"): "degrees",
    ("seam", "reach"): "mm",
    ("any-order", "min_difference"): "CIEDE2000",
    ("any-order", "min_hue_angle"): "degrees",
    ("any-order", "reach"): "mm",
}

# What a key expects, where a person could write something else.
EXPECTS = {
    "min_difference": 'a number of at least 0, or "off"',
    "min_hue_angle": 'a number from 0 to 180, or "off"',
    "min_chroma": "a number of at least 0",
    "tolerance": "a number of at least 0",
    "lights": "a list of light names",
    "light": "a list of light names",
    "eyes": "a list of eye names",
    "sections": "a list of section names",
    "paints": "a list of paint names",
    "paint": "the name of a paint",
    "bands": "a whole number of at least 2",
    "by": '"bands" or "order" or "given"',
    "side": '"left" or "right"',
    "rise": "a length like 64 mm or 2 1/2 in",
    "distance": "a length like 64 mm or 2 1/2 in",
    "reach": "a length like 64 mm or 2 1/2 in",
    "waste": "a number from 0 to 5",
    "extra": 'a table like { moss = "0.5 L" }',
    "bend": "a number from 0 to 60",
    "step": "a number of at least 0",
    "ratio": "a number from 0.1 to 10",
    "facing": "a list of tables with from, to and paint",
    "strength": '"must" or "prefer"',
    "mirrored": "true or false",
    "both_sides": "true or false",
    "mixed_sides": "true or false",
    "required_exit": "true or false",
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_says_what_it_expects_and_in_which_unit(kind):
    for key, expects, _ in describe_options(kind):
        unit = UNITS.get((kind, key))
        assert expects.endswith(f", {unit}" if unit else expects[-1])
        assert unit or not expects.endswith(tuple(f", {one}" for one in set(UNITS.values())))
        if key in EXPECTS:
            assert expects.removesuffix(f", {unit}") == EXPECTS[key]
