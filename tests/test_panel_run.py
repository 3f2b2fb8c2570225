"""Runs of panels, and panels beside what is painted already."""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest
import shapely

from palette.adjacency import find_neighbours
from palette.brief import read_brief, survey_brief
from palette.demands import check_scheme
from palette.errors import InputError, NoScheme
from palette.panel import Panel, Section
from palette.panel_run import join_panels
from palette.solving import solve

PAINT = """
[[paint]]
name = "{0}"
swatch = {{ daylight = "{1}", blacklight = "{1}" }}
stock = "{2}"
"""
PAINTS = "".join(
    PAINT.format(name, code, stock)
    for name, code, stock in [
        ("white", "#f4f4f4", "5 L"),
        ("red", "#d01010", "5 L"),
        ("blue", "#1020d0", "5 L"),
        ("green", "#10b040", "5 L"),
        ("yellow", "#f0e010", "20 ml"),
    ]
)
SVG = """
<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" viewBox="0 0 600 600">
<title>{name}</title>
<rect id="nw" x="3" y="3" width="294" height="294"/>
<rect id="ne" x="303" y="3" width="294" height="294"/>
<rect id="sw" x="3" y="303" width="294" height="294"/>
<rect id="se" x="303" y="303" width="294" height="294"/>
</svg>
"""


def plain(name: str, height: float = 600.0) -> Panel:
    sections = (Section(id="only", outline=shapely.box(3, 3, 297, height - 3)),)
    return Panel(name=name, width_mm=300.0, height_mm=height, sections=sections)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("west", "mid", "east"):
        (tmp_path / f"{name}.svg").write_text(SVG.format(name=name), "utf-8")
    (tmp_path / "paints.toml").write_text(PAINTS, "utf-8")
    return tmp_path


def brief(folder: Path, panels: str, rules: str):
    text = f'name = "run"\n{panels}\npaints = "paints.toml"\n{rules}'
    (folder / "brief.toml").write_text(text, "utf-8")
    return read_brief(folder / "brief.toml")


def test_panels_stand_side_by_side():
    wall = join_panels([plain("a"), plain("b")], gap_mm=10.0)
    assert (wall.width_mm, wall.height_mm) == (610.0, 600.0)
    assert wall.ids == ("a/only", "b/only")
    assert wall.sections[1].outline.bounds == (313.0, 3.0, 607.0, 597.0)
    assert [(member.name, member.left_mm) for member in wall.members] == [("a", 0.0), ("b", 310.0)]
    (contact,) = find_neighbours(wall).neighbours
    assert contact.gap_mm == pytest.approx(16.0)


@pytest.mark.parametrize(
    ("panels", "told"),
    [
        ([], "the run has no panels"),
        ([plain("a"), plain("a")], 'two panels are named "a"'),
        ([plain("a"), plain("b", 610.0)], '"a" is 600 mm high, but "b" is 610 mm'),
    ],
)
def test_a_run_that_cannot_be_is_one_sentence(panels, told):
    with pytest.raises(InputError, match=told):
        join_panels(panels)


def test_a_run_is_solved_as_one_wall_with_one_shelf(folder):
    kinds = ("clash", "stock", "any-order")
    rules = "".join(f'[[rule]]\nkind = "{kind}"\n' for kind in kinds)
    wanted = brief(folder, 'panels = ["west.svg", "mid.svg", "east.svg"]', rules)
    survey = survey_brief(wanted)
    assert len(survey.panel.members) == 3
    scheme = solve(survey, wanted.rules, aims=("weakest-pair",))
    assert check_scheme(survey, wanted.rules, scheme).kept
    # In any order the right edge of every panel may meet the left edge of every other.
    for row in ("n", "s"):
        for one, other in itertools.permutations(("west", "mid", "east"), 2):
            assert scheme.paint_of[f"{one}/{row}e"] != scheme.paint_of[f"{other}/{row}w"]


def test_three_turnable_panels_need_six_paints(folder):
    """Turned round or not, all six edges meet: with two to a panel, five paints are too few."""
    rules = '[[rule]]\nkind = "clash"\n[[rule]]\nkind = "any-order"\nmirrored = true\n'
    wanted = brief(folder, 'panels = ["west.svg", "mid.svg", "east.svg"]', rules)
    with pytest.raises(NoScheme, match="clash and any-order"):
        solve(survey_brief(wanted), wanted.rules)


def test_a_panel_is_held_against_last_years(folder):
    painted = {"nw": "red", "ne": "blue", "sw": "green", "se": "white"}
    (folder / "last.json").write_text(json.dumps({"version": 1, "paint_of": painted}), "utf-8")
    rules = '[[rule]]\nkind = "seam"\nside = "right"\npanel = "east.svg"\nscheme = "last.json"\n'
    wanted = brief(folder, 'panel = "west.svg"', rules)
    survey = survey_brief(wanted)
    (rule,) = wanted.rules
    # East's left edge: sw from the floor to 297 mm, nw from 303 mm up.
    assert rule.facing == ((303.0, 597.0, "red"), (3.0, 297.0, "green"))
    scheme = solve(survey, wanted.rules, aims=())
    assert scheme.paint_of["ne"] != "red"
    assert scheme.paint_of["se"] != "green"


def test_last_years_scheme_must_fit_its_panel(folder):
    (folder / "last.json").write_text('{"version": 1, "paint_of": {"nw": "red"}}', "utf-8")
    rules = '[[rule]]\nkind = "seam"\npanel = "east.svg"\nscheme = "last.json"\n'
    with pytest.raises(InputError, match='the section "sw" at the left edge of east has no paint'):
        brief(folder, 'panel = "west.svg"', rules)
