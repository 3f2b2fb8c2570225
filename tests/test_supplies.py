"""Paint files: what is read, and every way they can be wrong."""

from pathlib import Path

import numpy as np
import pytest
from measured import FOLDER, needs_matrices

from palette.colour import lab_of_xyz
from palette.errors import InputError
from palette.paint import DEFAULT_COATS, DEFAULT_SPREAD_M2_PER_L
from palette.supplies import parse_paints, read_paints

GOOD = """
[[paint]]
name = "moss green"
swatch = { daylight = "#38d64e", blacklight = [60, -70, 50] }
stock = "16 fl oz"
coats = 3
coverage = "320 ft2/gal"

[[paint]]
name = "chalk white"
swatch = { daylight = "#fff" }
"""


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "paints.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_paint_file_is_read(tmp_path):
    moss, chalk = read_paints(write(tmp_path, GOOD))
    assert (moss.id, moss.coats, chalk.id) == ("moss green", 3, "chalk white")
    # 1 US fl oz = 29.5735295625 mL (NIST Handbook 44, appendix C, exact).
    assert moss.stock_l == pytest.approx(16 * 0.0295735295625, rel=1e-12)
    # 320 ft²/gal: 400 is 9.816955 m²/L (exact factors 0.09290304 m² and 3.785411784 L).
    assert moss.spread_m2_per_l == pytest.approx(9.816955 * 0.8, rel=1e-6)
    assert np.allclose(lab_of_xyz(moss.swatch["blacklight"]), (60, -70, 50), atol=2e-3)
    assert (chalk.stock_l, chalk.coats, chalk.spread_m2_per_l) == (
        None, DEFAULT_COATS, DEFAULT_SPREAD_M2_PER_L,
    )  # fmt: skip
    assert set(chalk.swatch) == {"daylight"}


def test_windows_line_endings_and_a_byte_order_mark_are_read(tmp_path):
    path = tmp_path / "paints.toml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert [paint.id for paint in read_paints(path)] == ["moss green", "chalk white"]


BAD = [
    ("", "it lists no paints; add a [[paint]] table for each can."),
    ("[[paint]]\nswatch = {daylight='#fff'}", 'paint 1: the key "name" is missing; add name = "…".'),
    ('[[paint]]\nname = ""', "paint 1: \"name\" is '', not a text"),
    ('[[paint]]\nname = "moss"', 'paint "moss": it has no swatch; write swatch = { daylight'),
    ('[[paint]]\nname="moss"\nswatch="#fff"', 'paint "moss": its swatch is not a table of colours'),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#12"}',
        'paint "moss", daylight swatch: "#12" is not a colour; write "#rrggbb"',
    ),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#fff"}\nstok="1 L"',
        'paint "moss": the key "stok" is not known here; write "stock" if that was meant.',
    ),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#fff"}\nstock="3 buckets"',
        'paint "moss", stock: "buckets" in "3 buckets" is not a unit of volume; write it like 0.75 L',
    ),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#fff"}\nstock=-1',
        'paint "moss", stock: the volume -1 has no unit',
    ),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#fff"}\ncoats=0',
        'paint "moss": "coats" is 0; write a number from 1 to 10.',
    ),
    ('[[paint]]\nname="moss"\nswatch={daylight="#fff"}\ncoats=1.5', "write a whole number from 1 to 10"),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#fff"}\ncoverage="0 m2/L"',
        'the coverage "0 m2/L" is zero',
    ),
    (
        '[[paint]]\nname="moss"\nswatch={daylight="#fff"}\n[[paint]]\nname="moss"\nswatch={daylight="#000"}',
        'paint "moss": two paints have this name; rename one of them.',
    ),
    ("[[paint]\nname=3", "this is not TOML: "),
    ("paint = 3", '"paint" is not a list of tables; write [[paint]] before each one.'),
    ("[[paints]]\nname='moss'", 'the key "paints" is not known here; write "paint" if that was meant.'),
]


@pytest.mark.parametrize(("text", "words"), BAD, ids=range(len(BAD)))
def test_a_wrong_paint_file_is_told_with_its_place(tmp_path, text, words):
    path = write(tmp_path, text)
    with pytest.raises(InputError) as stop:
        read_paints(path)
    assert str(stop.value).startswith(str(path))
    assert words in str(stop.value)


def test_all_faults_of_a_file_are_told_at_once(tmp_path):
    path = write(
        tmp_path,
        '[[paint]]\nname="a"\n[[paint]]\nname="b"\nswatch={daylight="#12"}\n'
        '[[paint]]\nname="c"\nswatch={daylight="#fff"}\ncoats=99',
    )
    with pytest.raises(InputError) as stop:
        read_paints(path)
    assert len(str(stop.value).splitlines()) == 3
    assert len(stop.value.each()) == 3


def test_files_that_cannot_be_read_are_told(tmp_path):
    for path, words in [
        (tmp_path / "none.toml", "there is no such file"),
        (tmp_path, "this is a folder"),
        (tmp_path / "bad\0name", "cannot be read"),
    ]:
        with pytest.raises(InputError, match=words):
            read_paints(path)
    latin = tmp_path / "latin.toml"
    latin.write_bytes("name = 'gr\xfcn'".encode("latin-1"))
    with pytest.raises(InputError, match="is not UTF-8 text"):
        read_paints(latin)


@needs_matrices
def test_a_bare_matrix_is_one_paint_named_after_its_file():
    (paint,) = read_paints(FOLDER / "CIBA12.BFC")
    assert paint.id == "CIBA12"
    assert paint.matrix is not None
    assert "noise" in paint.notes[0]


def test_the_text_of_a_paint_file_gives_what_the_file_gives(tmp_path):
    swatch = '{ daylight = "#38d64e", blacklight = "#12c85a" }'
    text = f'[[paint]]\nname = "moss"\nswatch = {swatch}\nstock = "1 L"\n'
    file = tmp_path / "paints.toml"
    file.write_text(text, "utf-8")
    (from_file,), (from_text,) = read_paints(file), parse_paints(text)
    assert (from_file.id, from_file.stock_l) == (from_text.id, from_text.stock_l) == ("moss", 1.0)
    assert np.array_equal(from_file.swatch["daylight"], from_text.swatch["daylight"])
    with pytest.raises(InputError, match=r"^paints: this is not TOML"):
        parse_paints("[[paint]")
