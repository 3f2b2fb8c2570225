"""What holds the house together: light doors, one list of public names, files at the edges only."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import palette

ROOT = Path(palette.__file__).parent
MODULES = sorted(ROOT.rglob("*.py"))

# The only places that may open, list or make files.
DISK = {
    "filing",
    "layouts",
    "page",
    "photos",
    "reading",
    "saving",
    "scheme_file",
    "spectral_files",
    "supplies",
}


def room(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def test_every_public_name_loads_and_says_what_it_is():
    for name in palette.__all__:
        thing = getattr(palette, name)
        # A callable type has no docstring of its own; the text under it is for readers of the source.
        assert thing.__doc__ or name == "OnProgress", f"{name} has no docstring"


def test_import_and_help_stay_light():
    script = (
        "import sys, palette, palette.cli\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'networkx', 'pysat', 'PIL', 'skimage', 'matplotlib',\n"
        "         'colormath', 'cv2', 'nicegui', 'reportlab'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_are_touched_at_the_edges_only(path):
    if room(path) in DISK:
        return
    tree = ast.parse(path.read_text(encoding="utf-8"))
    touched = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "unlink", "mkdir", "iterdir"}
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = (
                node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            )
            # Image.open on bytes in memory, and the package's own data, are no disk access of a user's.
            inside = ast.unparse(node.func).startswith(
                ("Image.", "(files('palette')", "webbrowser.", "os.open")
            )
            assert called not in touched or inside, f"{path.name}:{node.lineno} calls {called}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_nothing_prints_outside_the_doors(path):
    if room(path) in {"cli", "page"}:
        return
    tree = ast.parse(path.read_text(encoding="utf-8"))
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    assert not [c.lineno for c in calls if isinstance(c.func, ast.Name) and c.func.id == "print"]
