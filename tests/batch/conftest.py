"""A small hall: four walls of four slabs, four paints, and the folder they lie in."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

PAINTS = """\
[[paint]]
name = "gorse"
swatch = { daylight = "#f5ee2a", blacklight = "#b9e018" }

[[paint]]
name = "moss"
swatch = { daylight = "#2bbf4a", blacklight = "#12c85a" }

[[paint]]
name = "heather"
swatch = { daylight = "#c0268c", blacklight = "#d0146e" }

[[paint]]
name = "lagoon"
swatch = { daylight = "#1b5fae", blacklight = "#1240c8" }
"""

RULES = """
[[rule]]
kind = "clash"
"""

SHARED = 'paints = "paints.toml"\n' + RULES


def wall_svg(title: str, *, width: int = 800, height: int = 600, split: int = 400) -> str:
    """Return a drawing of four slabs about one crossing."""
    rects = "".join(
        f'<rect x="{x + 3}" y="{y + 3}" width="{w - 6}" height="{h - 6}"><title>{name}</title></rect>'
        for name, x, y, w, h in (
            ("cap west", 0, 0, split, height // 2),
            ("cap east", split, 0, width - split, height // 2),
            ("sill west", 0, height // 2, split, height - height // 2),
            ("sill east", split, height // 2, width - split, height - height // 2),
        )
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}"><title>{title}</title>{rects}</svg>'
    )


@pytest.fixture
def hall(tmp_path, monkeypatch):
    """Return a folder with paints.toml, hall.toml and walls/north.svg, east.svg, south.svg, west.svg."""
    (tmp_path / "paints.toml").write_text(PAINTS)
    (tmp_path / "hall.toml").write_text(SHARED)
    walls = tmp_path / "walls"
    walls.mkdir()
    for number, name in enumerate(("east", "north", "south", "west")):
        text = wall_svg(f"{name.title()} wall", width=700 + 100 * number, split=300 + 50 * number)
        (walls / f"{name}.svg").write_text(text)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def start_palette(*args: object, folder: Path) -> subprocess.Popen[str]:
    """Start ``palette ARGS`` as a program of its own, in a process group of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "palette", *(str(arg) for arg in args)],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder and its content, marks left out."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != "job.json"
    }
