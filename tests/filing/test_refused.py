"""A disk that is full and a folder that is read-only: one sentence, exit code 2, nothing changes.

Both are refused by the system itself, in a child process: files may not grow (RLIMIT_FSIZE), and the
process gives up root's rights.
"""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest
from filing.test_faults import NEW, OLD, lay, seen
from nobody import open_folder, run_without_rights

from palette.filing.journal import Move, digest, write_journal
from palette.filing.parts import write_part

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"
pytestmark = pytest.mark.skipif(os.name != "posix", reason="Windows keeps rights elsewhere")

COMMANDS = """
import io, json, contextlib, resource
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

def limit(most):
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))

def seen():
    return {str(path): path.read_bytes().hex() for path in sorted(FOLDER.rglob("*")) if path.is_file()}

out = FOLDER / "out"
assign = ["assign", BRIEF, "--out", out, "--width", 300]
preview = ["preview", BRIEF, out / "scheme.json", "--out", out / "both.png", "--width", 300, "--flat"]
# Once with every right, so that all is loaded, and an earlier result stands.
before = [run(*each)[0] for each in (assign, preview)]
stood = seen()
# The kernel itself refuses to let a file grow further: the first byte, then a scheme or a picture.
full = []
for most in (0, 900):
    limit(most)
    full += [run(*each) for each in (assign, preview)]
    limit(resource.RLIM_INFINITY)
for path in (out, *out.rglob("*")):
    path.chmod(0o555 if path.is_dir() else 0o444)
same = seen() == stood
become_nobody()
told = [run(*each) for each in (assign, preview)]
new = run(*assign[:3], FOLDER / "new" / "out", *assign[4:])
check = run("check", BRIEF, out / "scheme.json")[0]
print(json.dumps({"before": before, "full": full, "same": same and seen() == stood,
                  "told": told, "new": new, "check": check}))
"""


def test_every_command_says_so_in_a_sentence_and_changes_nothing():
    with open_folder() as place:
        folder = place / "wall"
        shutil.copytree(CANYON, folder, ignore=shutil.ignore_patterns("pictures", "*.py", "*.jpg"))
        output, errors, code = run_without_rights(COMMANDS, folder)
        assert code == 0, errors
        said = json.loads(output.splitlines()[-1])
        assert said["before"] == [0, 0]
        assert len(said["full"]) == 4
        for code, sentence in said["full"]:
            assert code == 2
            assert "the file cannot be written (File too large)" in sentence
            assert sentence.count("\n") == 1, "one sentence"
        for code, sentence in said["told"]:
            assert code == 2
            assert "the file cannot be written (Permission denied)" in sentence
            assert sentence.count("\n") == 1, "one sentence"
        assert said["new"][0] == 2
        assert "the folder cannot be made (Permission denied)" in said["new"][1]
        assert said["same"]
        assert said["check"] == 0, "reading goes on"
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
