"""Sections of one course stay in one band, whatever the last bits of their heights say."""

import pytest

import palette
from palette.rules import Depth

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">{s}</svg>'
STONE = '<rect id="s{r}-{c}" x="{x}" y="{y}" width="{w}" height="{h}"/>'
TAPE = """
[[section]]
name = "s{r}-{c}"
left = "{x} mm"
bottom = "{b} mm"
width = "{w} mm"
height = "{h} mm"
"""


def courses(tmp_path, form, rows, columns, high):
    """Return a wall of equal stones in rows, read from a drawing or from tape measurements."""
    wide, tall = 200, high / rows
    spots = [
        {"r": r, "c": c, "x": c * wide, "y": r * tall, "b": (rows - r - 1) * tall, "w": wide, "h": tall}
        for r in range(rows)
        for c in range(columns)
    ]
    if form == "svg":
        text = SVG.format(w=wide * columns, h=high, s="".join(STONE.format(**spot) for spot in spots))
    else:
        text = f'size = "{wide * columns} mm x {high} mm"\n' + "".join(
            TAPE.format(**spot) for spot in spots
        )
    path = tmp_path / f"wall.{form}"
    path.write_text(text, encoding="utf-8")
    return palette.read_layout(path)


@pytest.mark.parametrize("form", ["svg", "toml"])
@pytest.mark.parametrize(
    ("rows", "bands", "high"), [(1, 2, 1500), (3, 2, 1500), (9, 6, 1500), (7, 3, 1828.8)]
)
def test_a_course_is_in_one_band(tmp_path, form, rows, bands, high):
    panel = courses(tmp_path, form, rows, 4, high)
    survey = palette.Survey(panel=panel, adjacency=None, paints=(), appearance=None)
    placed = Depth(bands=bands)._positions(survey)
    for r in range(rows):
        course = [
            band for section, band in zip(panel.sections, placed, strict=True) if section.id[1] == str(r)
        ]
        # By hand: the centre of row r stands (rows - r - 1/2) / rows of the height above the bottom edge.
        exact = (2 * (rows - r) - 1) * bands // (2 * rows)
        assert course == [min(exact, bands - 1)] * 4


@pytest.mark.parametrize("form", ["svg", "toml"])
def test_courses_exactly_one_rise_apart_are_all_compared(tmp_path, form):
    panel = courses(tmp_path, form, 10, 4, 1000)
    survey = palette.Survey(panel=panel, adjacency=None, paints=(), appearance=None)
    rule = Depth(by="order", rise=100.0)
    placed = rule._positions(survey)
    compared = sum(len(rule._lower_sections(placed, upper)) for upper in range(len(placed)))
    assert compared == 45 * 16
