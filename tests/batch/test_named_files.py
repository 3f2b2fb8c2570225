"""Every file behind a job counts: held against what Python itself says was opened."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
from PIL import Image

from palette.batch.named_files import list_files
from palette.batch.shared_brief import brief_for_layout
from palette.brief import read_brief
from tests.batch.conftest import PAINTS, wall_svg

# The interpreter tells of every file it opens (PEP 578, event "open"); nothing of ours is asked.
WATCH = """
import json, sys
opened = []
sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == "open" else None)
from pathlib import Path
import palette
palette.read_brief(Path(sys.argv[1]))
print(json.dumps(opened))
"""


def opened_in(folder: Path, brief: Path) -> set[str]:
    ran = subprocess.run(
        [sys.executable, "-c", WATCH, str(brief)], capture_output=True, text=True, check=True, cwd=folder
    )
    found = {os.path.realpath(Path(folder, name)) for name in json.loads(ran.stdout)}
    return {os.path.relpath(name, folder) for name in found if name.startswith(f"{folder}/")}


def matrix_csv() -> str:
    """Return a surface that reflects half of everything and glows nowhere, as a matrix file."""
    excited, seen = range(300, 781, 10), range(380, 781, 10)
    rows = [",".join(["nm", *map(str, excited)])]
    rows += [",".join([str(v), *("0.5" if v == e else "0" for e in excited)]) for v in seen]
    return "\n".join(rows) + "\n"


def write_everything(folder: Path) -> Path:
    """Write a brief that names a file wherever one can be named."""
    (folder / "lamps").mkdir()
    (folder / "shelf").mkdir()
    (folder / "lamps" / "strip.toml").write_text("peaks = [{ nm = 395, width = 12, power = 1 }]\n")
    (folder / "lamps" / "sky.csv").write_text("nm,power\n380,1\n780,1\n")
    (folder / "shelf" / "card.csv").write_text(matrix_csv())
    (folder / "shelf" / "paints.toml").write_text(
        PAINTS + '\n[[paint]]\nname = "card"\nmatrix = "card.csv"\n'
    )
    (folder / "last.svg").write_text(wall_svg("Last year"))
    names = ("cap west", "cap east", "sill west", "sill east")
    (folder / "last.json").write_text(json.dumps({"version": 1, "paint_of": dict.fromkeys(names, "moss")}))
    (folder / "rules.toml").write_text(
        '[[rule]]\nkind = "clash"\n[[rule]]\nkind = "seam"\npanel = "last.svg"\nscheme = "last.json"\n'
    )
    picture = np.zeros((60, 80, 3), np.uint8)
    picture[5:55, 5:38], picture[5:55, 42:75] = (200, 0, 0), (0, 200, 0)
    Image.fromarray(picture).save(folder / "wall.png", dpi=(2.54, 2.54))
    brief = folder / "brief.toml"
    brief.write_text(
        'panel = { file = "wall.png", size = "800 mm x 600 mm" }\npaints = "shelf/paints.toml"\n'
        'lights = ["daylight", "lamps/strip.toml", "lamps/sky.csv"]\nrules = "rules.toml"\n'
    )
    return brief


def test_every_file_a_brief_leads_to_is_listed(tmp_path):
    brief = write_everything(tmp_path)
    opened = opened_in(tmp_path, brief)
    assert len(opened) == 9
    assert {path.relative_to(tmp_path).as_posix() for path in list_files(brief)} == opened


def test_every_file_of_a_run_with_tables_of_its_own_is_listed(tmp_path):
    write_everything(tmp_path)
    (tmp_path / "next.svg").write_text(wall_svg("Next"))
    brief = tmp_path / "run.toml"
    brief.write_text(
        'panels = ["last.svg", "next.svg"]\n[[paint]]\nname = "card"\nmatrix = "shelf/card.csv"\n'
        '[[paint]]\nname = "moss"\nswatch = { daylight = "#2bbf4a", blacklight = "#12c85a" }\n'
        '[[rule]]\nkind = "seam"\npanel = "next.svg"\nscheme = "last.json"\n'
    )
    opened = opened_in(tmp_path, brief)
    assert opened == {"run.toml", "last.svg", "next.svg", "last.json", "shelf/card.csv"}
    assert {path.relative_to(tmp_path).as_posix() for path in list_files(brief)} == opened


def test_what_cannot_be_read_names_nothing_and_loops_end(tmp_path):
    missing = tmp_path / "no.toml"
    assert list_files(missing) == (missing,)
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    one.write_text('paints = "two.toml"\nrules = "one.toml"\npanel = 3\nlights = [1, "x.toml"]\n')
    two.write_text('paints = "one.toml"\n')
    assert list_files(one) == (one, two, one.parent / "x.toml")


def test_a_brief_made_for_a_layout_finds_all_it_found_before(tmp_path):
    shared = write_everything(tmp_path)
    shared.write_text("# The hall's own.\n" + shared.read_text())
    folder = tmp_path / "out" / "deep" / "next"
    folder.mkdir(parents=True)
    (tmp_path / "next.svg").write_text(wall_svg("Next"))
    made = folder / "brief.toml"
    made.write_bytes(brief_for_layout(shared, tmp_path / "next.svg", folder))
    assert "# The hall's own." in made.read_text()
    before, after = read_brief(shared), read_brief(made)
    assert after.name == "Next"
    assert [paint.id for paint in after.paints] == [paint.id for paint in before.paints]
    assert [light.id for light in after.lights] == [light.id for light in before.lights]
    assert [rule.sentence() for rule in after.rules] == [rule.sentence() for rule in before.rules]
    here = {path.resolve() for path in list_files(made)} - {
        made.resolve(),
        (tmp_path / "next.svg").resolve(),
    }
    assert here == {path.resolve() for path in list_files(shared)} - {
        shared.resolve(),
        (tmp_path / "wall.png").resolve(),
    }
