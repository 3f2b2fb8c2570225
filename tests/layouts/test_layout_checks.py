"""What every layout is checked for, and what no file may do: end in anything but a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import palette

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"
MM = 'width="100mm" height="100mm" viewBox="0 0 100 100"'


@pytest.fixture
def draw(tmp_path):
    def read(body: str) -> palette.Panel:
        path = Path("wall.svg")
        path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {MM}>{body}</svg>', encoding="utf-8")
        return palette.read_layout(path)

    return read


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (
            '<rect id="a" x="60" width="41" height="9"/>',
            'wall.svg, section "a": it reaches 1.0 mm beyond the right edge of the panel, which is '
            "100.0 mm x 100.0 mm; move it, make it smaller, or mend the size of the panel.",
        ),
        (
            '<rect id="t" y="-2" width="5" height="9" data-role="trim"/>'
            '<rect id="a" x="9" width="5" height="5"/>',
            'wall.svg, trim "t": it reaches 2.0 mm beyond the top edge of the panel, which is '
            "100.0 mm x 100.0 mm; move it, make it smaller, or mend the size of the panel.",
        ),
        (
            '<rect id="a" width="20" height="20"/><rect id="b" x="19" width="20" height="20"/>',
            'wall.svg, section "a": it overlaps "b" 20 mm from the left and 10 mm from the top; '
            "move them apart, or mark what is no section as trim, void or ignore.",
        ),
        (
            '<rect id="back" width="100" height="100"/>'
            + "".join(f'<rect id="s{k}" x="{20 * k}" width="9" height="9"/>' for k in range(5)),
            'wall.svg, section "back": it overlaps "s0", "s1" and 3 more 4 mm from the left and 4 mm from '
            "the top; move them apart, or mark what is no section as trim, void or ignore.",
        ),
        (
            '<rect id="a" width="9" height="9"/><rect id="a" x="20" width="9" height="9"/>',
            'wall.svg, section "a": 2 shapes have this name, one 4 mm from the left and 4 mm from the top '
            "and one 24 mm from the left and 4 mm from the top; give each a name of its own.",
        ),
        (
            '<rect id="a" width="9" height="9"/><rect data-role="hatch" width="9" height="9"/>'
            '<rect data-role="hatch" x="20" width="9" height="9"/>',
            "wall.svg: it has 2 hatches; keep one, and make the others trim, void or ignore.",
        ),
        (
            '<rect data-role="trim" width="9" height="9"/>',
            "wall.svg: the panel has no sections; draw at least one closed shape.",
        ),
    ],
)
def test_checks_of_every_layout(draw, body, sentence):
    with pytest.raises(palette.InputError) as fault:
        draw(body)
    assert str(fault.value) == sentence


def test_slivers_within_the_tolerance_are_cut_off(draw):
    panel = draw(
        '<rect id="a" x="-0.4" width="20.4" height="20"/><rect id="b" x="19.6" width="20" height="20"/>'
    )
    a, b = panel.sections
    assert a.outline.bounds == (0, 0, 20, 20)
    assert b.outline.bounds == (20, 0, pytest.approx(39.6), 20)
    assert a.outline.intersection(b.outline).area == 0


def test_sections_may_share_an_edge(draw):
    panel = draw('<rect id="a" width="20" height="20"/><rect id="b" x="20" width="20" height="20"/>')
    assert [section.outline.area for section in panel.sections] == [400, 400]


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("nowhere.svg", "there is no such file; check the name and the folder."),
        ("wall.dxf", '".dxf" is not a kind of layout; use a file ending in .svg, .toml, .png.'),
        ("wall", "its kind is not known; use a file ending in .svg, .toml, .png."),
    ],
)
def test_a_file_that_is_not_there_or_not_known(tmp_path, name, sentence):
    with pytest.raises(palette.InputError) as fault:
        palette.read_layout(tmp_path / name)
    assert str(fault.value) == f"{tmp_path / name}: {sentence}"


def test_a_folder_is_no_layout(tmp_path):
    (Path("wall.svg")).mkdir()
    with pytest.raises(palette.InputError, match="it is a folder; name a file in it"):
        palette.read_layout(Path("wall.svg"))


def read_bytes(folder: Path, suffix: str, content: bytes) -> None:
    """Read a file and let nothing through but an InputError that names it."""
    path = folder / f"wall{suffix}"
    path.write_bytes(content)
    try:
        palette.read_layout(path, size="8 ft x 6 ft")
    except palette.InputError as fault:
        for single in fault.each():
            assert single.where.startswith(str(path))


@pytest.mark.parametrize("suffix", [".svg", ".toml", ".png"])
def test_a_file_cut_short_anywhere_ends_in_a_sentence(tmp_path, suffix):
    whole = (CANYON / f"wall{suffix}").read_bytes()
    for part in range(0, len(whole), max(1, len(whole) // 40)):
        read_bytes(tmp_path, suffix, whole[:part])


@pytest.mark.parametrize("suffix", [".svg", ".toml", ".png"])
@given(content=st.binary(max_size=200))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_random_bytes_end_in_a_sentence(tmp_path, suffix, content):
    head = {".svg": b"<svg ", ".toml": b'size = "1 m x 1 m"\n', ".png": b"\x89PNG\r\n\x1a\n"}[suffix]
    read_bytes(tmp_path, suffix, content)
    read_bytes(tmp_path, suffix, head + content)


@pytest.mark.parametrize("suffix", [".svg", ".toml", ".png"])
@given(where=st.floats(0, 1, exclude_max=True), byte=st.integers(0, 255))
@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_one_wrong_byte_ends_in_a_sentence_or_a_panel(tmp_path, suffix, where, byte):
    whole = bytearray((CANYON / f"wall{suffix}").read_bytes())
    whole[int(where * len(whole))] = byte
    read_bytes(tmp_path, suffix, bytes(whole))


@given(
    data=st.text("MmLlHhVvCcSsQqTtAaZz0123456789 .,-+e", max_size=60),
    points=st.text("0123456789 .,-+e", max_size=40),
)
@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_any_path_data_ends_in_a_sentence_or_a_panel(tmp_path, data, points):
    body = f'<path d="{data}"/><polygon points="{points}"/>'
    content = f'<svg xmlns="http://www.w3.org/2000/svg">{body}</svg>'
    read_bytes(tmp_path, ".svg", content.encode())
