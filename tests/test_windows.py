"""A project made on Windows: line ends, marks, backslashes and names as that system has them.

No Windows is at hand in these tests; its habits are imitated. Sources: the byte order mark and line
ends as its text editor writes them; reserved names and characters by Microsoft's "Naming Files, Paths,
and Namespaces"; paths by CPython's own `ntpath`.
"""

import ast
import json
import ntpath
import shutil
from pathlib import Path, PureWindowsPath

import pytest

import palette
from palette.references import find_named, name_from
from tests.conftest import CANYON

ROOT = Path(__file__).resolve().parents[1]
TEXTS = ("brief.toml", "paints.toml", "plan.toml", "wall.svg", "wall.toml", "corners.txt")


@pytest.fixture
def from_windows(tmp_path):
    """Return the demo's folder as an editor on Windows would have saved it."""
    folder = tmp_path / "Glow hall (new)"
    folder.mkdir()
    for name in TEXTS:
        text = (CANYON / name).read_text(encoding="utf-8").replace("\n", "\r\n")
        (folder / name).write_bytes(b"\xef\xbb\xbf" + text.encode())
    return folder


@pytest.mark.parametrize("layout", ["wall.svg", "wall.toml"])
def test_line_ends_and_byte_order_marks_change_nothing(palette_command, from_windows, layout):
    here = palette_command("neighbours", CANYON / layout, "--json")
    there = palette_command("neighbours", from_windows / layout, "--json")
    assert there.code == 0, there.err
    assert json.loads(there.out) == json.loads(here.out)


def test_the_whole_demo_comes_out_the_same(palette_command, from_windows, canyon_outcome, tmp_path):
    ran = palette_command(
        "assign", from_windows / "brief.toml", "--out", tmp_path / "o", "--width", 300, "--json"
    )
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["paint_of"] == dict(canyon_outcome.scheme.paint_of)
    written = (tmp_path / "o" / "scheme.json").read_bytes()
    # The same bytes on every system: schemes are compared, kept in version control, and carried about.
    assert b"\r" not in written
    assert b"\\" not in written
    ran = palette_command("plan", tmp_path / "o" / "scheme.json", "--plan", from_windows / "plan.toml",
                          "--out", tmp_path / "papers")  # fmt: skip
    assert ran.code == 0, ran.err


def test_a_scheme_saved_on_windows_is_read(from_windows, canyon_outcome, tmp_path):
    file = palette.save_scheme(canyon_outcome.scheme, tmp_path / "scheme.json")
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n"))
    assert palette.read_scheme(file).paint_of == canyon_outcome.scheme.paint_of


def test_backslashes_between_folders_are_understood(palette_command, tmp_path):
    project = tmp_path / "hall"
    (project / "walls").mkdir(parents=True)
    shutil.copy(CANYON / "wall.svg", project / "walls" / "north.svg")
    shutil.copy(CANYON / "paints.toml", project / "walls" / "paints.toml")
    text = (CANYON / "brief.toml").read_text(encoding="utf-8")
    text = text.replace('"wall.svg"', r"'walls\north.svg'").replace('"paints.toml"', r"'walls\paints.toml'")
    (project / "brief.toml").write_text(text, encoding="utf-8")
    assert palette_command("rules", project / "brief.toml").code == 0
    assert len(palette.read_brief(project / "brief.toml").panel.sections) == 18


# In a basic string of TOML a backslash begins an escape (toml.io, "String"): \\w is none, \\n a line break.
@pytest.mark.parametrize("name", ["walls\\wide.svg", "walls\\north.svg"])
def test_a_backslash_that_means_something_else_is_told(palette_command, tmp_path, name):
    brief = tmp_path / "brief.toml"
    brief.write_text(
        f'name = "x"\npanel = "{name}"\npaints = "p.toml"\n[[rule]]\nkind = "clash"\n', "utf-8"
    )
    ran = palette_command("rules", brief)
    assert ran.code == 2
    assert "write / between folders" in ran.err
    assert "Traceback" not in ran.err


def test_a_file_whose_name_has_a_backslash_is_still_itself(tmp_path):
    odd = tmp_path / "a\\b.svg"
    odd.write_text("x", encoding="utf-8")
    assert find_named(tmp_path, "a\\b.svg") == odd


def test_no_way_between_two_drives(monkeypatch, tmp_path):
    """`ntpath.relpath` raises ValueError across drives; ours then names the whole path."""
    with pytest.raises(ValueError, match="mount"):
        ntpath.relpath(r"D:\hall\brief.toml", r"C:\out")

    def refuse(path, start):
        return ntpath.relpath(r"D:\hall\brief.toml", r"C:\out")

    monkeypatch.setattr("palette.references.os.path.relpath", refuse)
    file = tmp_path / "brief.toml"
    assert name_from(tmp_path / "out", file) == file.resolve().as_posix()


# "Do not use": < > : " / \ | ? * and the names below, also before an ending.
FORBIDDEN = '<>:"/\\|?*'
DEVICES = ("CON", "PRN", "AUX", "NUL", "COM1", "LPT9", "con", "nul")


@pytest.mark.parametrize(
    "light", ["365/12", "365/12 + 0.02*led-white", "a<b>|c?.csv", "..", "lamp.", "lamp ", *DEVICES]
)
def test_pictures_are_named_as_every_system_takes_it(light):
    name = palette.file_name(light)
    assert name
    assert not set(name) & set(FORBIDDEN)
    assert not name.endswith((".", " "))
    assert PureWindowsPath(f"{name}.png").name == f"{name}.png"
    assert name.split(".")[0].upper() not in DEVICES


@pytest.mark.parametrize("path", sorted((ROOT / "palette").rglob("*.py")), ids=str)
def test_nothing_needs_a_module_windows_lacks(path):
    """fcntl, resource, pwd, termios and their like are on Unix only (CPython documentation)."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    top = [node for node in tree.body if isinstance(node, ast.Import | ast.ImportFrom)]
    names = {alias.name for node in top if isinstance(node, ast.Import) for alias in node.names}
    names |= {node.module for node in top if isinstance(node, ast.ImportFrom) and node.module}
    assert not names & {"fcntl", "grp", "pty", "pwd", "resource", "termios", "tty", "syslog", "crypt"}
