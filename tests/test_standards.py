"""STANDARDS.md lists the works the code names, each where it says, and the code names no other."""

import ast
import io
import re
import tokenize
from pathlib import Path

import pytest

import palette

ROOT = Path(palette.__file__).parent
PAGE = ROOT / "data" / "STANDARDS.md"
TEXTS = sorted(
    path for path in ROOT.rglob("*") if path.suffix in {".py", ".toml", ".csv"} or path.name == "NUMBERS.md"
)

# How standards are called, whoever publishes them.
CALLED = re.compile(
    r"\b(?:CIE 1\d{3}\b|CIE \d+(?:/\d+|:\d{4})|CIE94|ISO(?:/IEC)? \d[\d-]*|IEC \d[\d-]*|ASTM [A-Z]\d+"
    r"|ANSI [A-Z][\d.]*\d|EN \d[\d-]*|DIN \d[\d-]*|RFC \d+|NIST (?:Special Publication|SP|Handbook) \d+"
    r"|ICNIRP|SVG \d(?:\.\d)?|CSS [A-Z]\w+(?: and \w+)? \d|WCAG [\d.]+\d|TOML \d\.\d|JSON Schema"
    r"|PNG specification|Directive \d{4}/\d+/EC|DIMACS|DRAT)"
)
# A year beside words is the mark of a citation; round numbers of pixels are none.
YEAR = re.compile(r"(?<![\d:.×-])\b(?:19\d\d|20[0-2]\d)\b(?!-\d| ?(?:px|mm|nm|K|conflicts|to|×))")


def rows():
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split(" | ")]
        if line.startswith("| ") and len(cells) == 4 and not line.startswith("| called"):
            yield cells[0], cells[1], [place.strip("` ") for place in cells[3].split(",")]


ROWS = [*rows()]
NAMES = [called for called, _, _ in ROWS]


def said_in(path):
    """Return the comments and docstrings of a module, each run of comment lines as one text."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".py":
        return [text]
    found, last = [], -2
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type == tokenize.COMMENT:
            if token.start[0] == last + 1:
                found[-1] += " " + token.string.lstrip("# ")
            else:
                found.append(token.string.lstrip("# "))
            last = token.start[0]
    for node in ast.walk(ast.parse(text)):
        value = getattr(getattr(node, "value", None), "value", None)
        if isinstance(node, ast.Expr) and isinstance(value, str):
            found += [" ".join(part.split()) for part in value.split("\n\n")]
    return found


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_the_code_names_is_listed(path):
    for text in said_in(path):
        for match in CALLED.findall(text):
            plain = match.replace("NIST SP", "NIST Special Publication")
            assert any(plain.startswith(name) or name.startswith(plain) for name in NAMES), match


@pytest.mark.parametrize(
    "path", [path for path in TEXTS if path.suffix == ".py"], ids=lambda path: str(path.relative_to(ROOT))
)
def test_a_text_that_cites_a_year_names_a_listed_work(path):
    for text in said_in(path):
        if YEAR.search(text) and re.search(r"[A-Z][a-z]+", text):
            assert any(name in text for name in NAMES), text


@pytest.mark.parametrize(("called", "work", "places"), ROWS, ids=NAMES)
def test_each_work_is_named_where_the_list_says(called, work, places):
    assert work
    for place in places:
        found = [ROOT / place, ROOT / f"{place}.py"]
        path = next((one for one in found if one.is_file()), None)
        assert path is not None, f"{called}: there is no {place}"
        words = " ".join(re.sub(r"[#\s]+", " ", path.read_text(encoding="utf-8")).split())
        assert called in words, f"{place} does not name {called}"


@pytest.mark.parametrize("called", ["CIE 15:2004", "ICNIRP", "IEC 62471", "Kubelka", "Machado"])
def test_the_works_the_physics_stands_on_are_listed(called):
    assert NAMES.count(called) == 1


def test_the_pattern_knows_a_standard_when_it_sees_one():
    text = "see IEC 62471-6:2022, RFC 9999, EN 1234 and ISO/IEC 18004; not IECs, 2004 or TOML files"
    assert CALLED.findall(text) == ["IEC 62471-6", "RFC 9999", "EN 1234", "ISO/IEC 18004"]
