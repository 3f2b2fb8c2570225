"""A folder that may be read but not written: one sentence, exit code 2, and nothing in it changes."""

from __future__ import annotations

import json
import os
import shutil

import pytest
from conftest import CANYON
from filing.test_faults import NEW, OLD, lay, seen
from nobody import open_folder, run_without_rights

from palette.filing.journal import Move, digest, write_journal
from palette.filing.parts import write_part

pytestmark = pytest.mark.skipif(os.name != "posix", reason="Windows keeps rights elsewhere")

COMMANDS = """
import io, json, contextlib
import palette
from palette.cli import main

BRIEF = FOLDER / "brief.toml"

def run(*args):
    sys.argv = ["palette", *map(str, args)]
    said = io.StringIO()
    with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
        try:
            main()
        except SystemExit as end:
            return [end.code, said.getvalue()]
    return [0, said.getvalue()]

out = FOLDER / "out"
# Once with every right, so that all is loaded, and an earlier result stands.
assign = ["assign", BRIEF, "--out", out, "--width", 300, "--seconds", 1]
plan = ["plan", out / "scheme.json", "--out", out]
preview = ["preview", BRIEF, out / "scheme.json", "--out", out / "both.png", "--width", 300, "--flat"]
before = [run(*each)[0] for each in (assign, plan, preview)]
for path in (out, *out.rglob("*")):
    path.chmod(0o555 if path.is_dir() else 0o444)
become_nobody()
told = [run(*each) for each in (assign, plan, preview)]
told.append(run(*assign[:3], FOLDER / "new" / "out", *assign[4:]))
print(json.dumps({"before": before, "told": told, "check": run("check", BRIEF, out / "scheme.json")[0]}))
"""


def test_every_command_says_so_in_a_sentence_and_changes_nothing():
    with open_folder() as place:
        folder = place / "wall"
        shutil.copytree(CANYON, folder, ignore=shutil.ignore_patterns("pictures", "*.py", "*.jpg"))
        output, errors, code = run_without_rights(COMMANDS, folder)
        assert code == 0, errors
        said = json.loads(output.splitlines()[-1])
        assert said["before"] == [0, 0, 0]
        for code, sentence in said["told"][:3]:
            assert code == 2
            assert "the file cannot be written (Permission denied)" in sentence
            assert sentence.count("\n") == 1, "one sentence"
        assert said["told"][3][0] == 2
        assert "the folder cannot be made (Permission denied)" in said["told"][3][1]
        assert said["check"] in (0, 1), "reading goes on"
        assert not (folder / "new").exists()
        assert not list(folder.rglob(".palette.*"))


def test_an_interrupted_write_there_is_told_not_passed_over():
    with open_folder() as place:
        folder = lay(place / "out", OLD)
        parts = {name: write_part(folder, content).name for name, content in NEW.items()}
        write_journal(folder, [Move(name=name, part=part, before=digest(OLD.get(name)))
                               for name, part in parts.items()])  # fmt: skip
        script = (
            "import palette\nfrom palette.scheme_file import read_scheme\nbecome_nobody()\n"
            "try:\n    read_scheme(FOLDER / 'scheme.json')\n"
            "except palette.InputError as fault:\n    print(fault)\n"
        )
        said, errors, _ = run_without_rights(script, folder)
        assert "a write that was interrupted there cannot be finished (Permission denied)" in said, errors
        assert seen(folder) == OLD
