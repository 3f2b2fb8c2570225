"""The tape-measure layout: lengths from the lower left corner."""

from __future__ import annotations

from pathlib import Path

import pytest

import palette

HEAD = 'name = "Test wall"\nsize = "10 in x 8 in"\n'
SLAB = '[[section]]\nname = "slab"\nleft = "1 in"\nbottom = "2 in"\nwidth = "3 in"\nheight = "4 in"\n'


@pytest.fixture
def read(tmp_path):
    def read_text(text: str, size=None) -> palette.Panel:
        path = Path("wall.toml")
        path.write_text(text, encoding="utf-8")
        return palette.read_layout(path, size=size)

    return read_text


def test_everything_is_measured_from_the_lower_left_corner(read):
    panel = read(
        HEAD
        + SLAB
        + '[[section]]\nname = "wedge"\ndepth = 2\n'
        + 'corners = [["5 in", "0 in"], ["9 in", "0 in"], ["9 in", "3 in"]]\n'
        + '[[trim]]\nleft = "0 in"\nbottom = "0 in"\nwidth = "10 in"\nheight = "1/2 in"\n'
        + '[[void]]\nname = "window"\nleft = "5 in"\nbottom = "5 in"\nwidth = "1 in"\nheight = "1 in"\n'
        + '[hatch]\nleft = "1 in"\nbottom = "2 in"\nwidth = "3 in"\nheight = "6 in"\n'
    )
    assert panel.name == "Test wall"
    assert (panel.width_mm, panel.height_mm) == pytest.approx((254.0, 203.2))
    slab, wedge = panel.sections
    # 2 in to 6 in from the floor of a panel 8 in high is 2 in to 6 in from its top.
    assert slab.outline.bounds == pytest.approx((25.4, 50.8, 101.6, 152.4))
    assert (wedge.id, wedge.depth) == ("wedge", 2.0)
    assert wedge.outline.area == pytest.approx(6 * 645.16)  # 6 in²
    assert [(feature.id, feature.role) for feature in panel.features] == [
        ("trim 1", "trim"),
        ("window", "void"),
    ]
    assert panel.hatch is not None
    assert panel.hatch.bounds == pytest.approx((25.4, 0, 101.6, 152.4))


def test_a_section_may_have_holes(read):
    corners = '[["1 in", "1 in"], ["5 in", "1 in"], ["5 in", "5 in"], ["1 in", "5 in"]]'
    hole = '[["2 in", "2 in"], ["3 in", "2 in"], ["3 in", "3 in"], ["2 in", "3 in"]]'
    panel = read(HEAD + f"[[section]]\ncorners = {corners}\nholes = [{hole}]\n")
    assert panel.ids == ("section 1",)
    assert panel.sections[0].outline.area == pytest.approx(15 * 645.16)


def test_the_file_name_names_a_nameless_panel_and_the_size_may_be_given(read):
    panel = read(SLAB, size="10 in x 8 in")
    assert (panel.name, panel.width_mm) == ("wall", pytest.approx(254.0))
    with pytest.raises(palette.InputError, match="leave one of them out"):
        read(HEAD + SLAB, size="10 in x 9 in")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (SLAB, ': the panel has no size; add a line like size = "8 ft x 6 ft".'),
        (HEAD, ": the panel has no sections; add a [[section]]."),
        (
            'size = "10 in x 8 i"\n' + SLAB,
            ', size: "i" in "8 i" is not a unit of length; '
            "write it like 64 mm, 1.2 m, 2 1/2 in or 1' 4 3/8\".",
        ),
        (
            HEAD + SLAB.replace("1 in", "1 inn"),
            ', section "slab", left: "inn" in "1 inn" is not a unit of length; '
            "write it like 64 mm, 1.2 m, 2 1/2 in or 1' 4 3/8\".",
        ),
        (
            HEAD + SLAB.replace('"3 in"', "3"),
            ', section "slab", width: the length 3 has no unit; '
            "write it like 64 mm, 1.2 m, 2 1/2 in or 1' 4 3/8\".",
        ),
        (
            HEAD + SLAB.replace("height", "heigth"),
            ', section "slab": the key "heigth" is not known here; write "height" if that was meant.',
        ),
        (
            HEAD + SLAB.replace("section", "sections"),
            ': the key "sections" is not known here; write "section" if that was meant.',
        ),
        (
            HEAD + SLAB.replace('width = "3 in"\n', ""),
            ', section "slab": it has no width; give left, bottom, width and height, or corners.',
        ),
        (
            HEAD + SLAB + 'corners = [["1 in", "1 in"]]',
            ', section "slab": it has corners and left as well; keep either the corners or the rectangle.',
        ),
        (
            HEAD + '[[section]]\ncorners = [["1 in", "1 in"], ["2 in", "2 in"]]',
            ', section "section 1", corners: it is not a list of three corners or more; '
            'write at least three corners, like [["1 in", "2 in"], ["9 in", "2 in"], ["5 in", "8 in"]].',
        ),
        (
            HEAD + SLAB + 'depth = "far"',
            ", section \"slab\", depth: 'far' is not a number; "
            "write depth = 0 for the nearest, larger for farther.",
        ),
        (HEAD + 'section = "slab"', ", section: it is not a table; write it under [[section]]."),
        (HEAD + "[[section]]\nname = 3", ", section 1, name: 3 is not a name; write it in quotes."),
        (
            HEAD + SLAB.replace("3 in", "30 in"),
            ', section "slab": it reaches 533.4 mm beyond the right edge of the panel, which is '
            "254.0 mm x 203.2 mm; move it, make it smaller, or mend the size of the panel.",
        ),
        (
            HEAD + SLAB + SLAB.replace("slab", "sill"),
            ', section "slab": it overlaps "sill" 64 mm from the left and 102 mm from the bottom; '
            "mend the measures of one of them.",
        ),
        (
            HEAD + SLAB.replace('"4 in"', '"0 in"'),
            ', section "slab": it has no area; draw its outline anew or delete it.',
        ),
        ("name = Test", ": this is not TOML: Invalid value (at line 1, column 8); correct that line."),
    ],
)
def test_a_fault_is_one_sentence_with_its_place(read, text, sentence):
    with pytest.raises(palette.InputError) as fault:
        read(text)
    assert str(fault.value) == f"wall.toml{sentence}"


def test_a_panel_may_stand_in_a_brief():
    from palette.layouts import panel_from_tape

    slab = {"name": "slab", "left": "1 in", "bottom": "2 in", "width": "3 in", "height": "4 in"}
    panel = panel_from_tape({"size": "10 in x 8 in", "section": [slab]}, source="brief.toml")
    assert (panel.name, panel.ids, panel.source) == ("brief", ("slab",), "brief.toml")


def test_text_that_is_not_utf_8_is_refused(tmp_path):
    path = Path("wall.toml")
    path.write_bytes(b'name = "\xff\xfe"')
    with pytest.raises(palette.InputError) as fault:
        palette.read_layout(path)
    assert str(fault.value) == "wall.toml: byte 8 is not UTF-8 text; save the file as plain text in UTF-8."
