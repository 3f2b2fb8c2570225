"""A child process without root's rights, to which a read-only folder is read-only in earnest."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

# Root may write anywhere; 65534 is nobody. All that is needed must be imported before: afterwards the
# folder in which the packages lie may be closed to the process.
_BEGIN = """
import os, sys, stat
from pathlib import Path

FOLDER = Path(sys.argv[1])

def become_nobody():
    FOLDER.chmod(0o555)
    if os.geteuid() == 0:
        os.setgroups([])
        os.setgid(65534)
        os.setuid(65534)
    try:
        (FOLDER / "probe").touch()
    except PermissionError:
        return
    raise SystemExit("the folder is not read-only")
"""


@contextmanager
def open_folder() -> Iterator[Path]:
    """Yield a folder that everybody can reach; the folders of pytest are their owner's alone."""
    place = Path(tempfile.mkdtemp(prefix="palette-test-"))
    place.chmod(0o755)
    try:
        yield place
    finally:
        for path in (place, *place.rglob("*")):
            if path.is_dir():
                path.chmod(0o755)
        shutil.rmtree(place)


def start_without_rights(script: str, folder: Path) -> subprocess.Popen[str]:
    """Start a script that calls ``become_nobody()`` when it is ready; FOLDER cannot be written then."""
    return subprocess.Popen(
        [sys.executable, "-c", _BEGIN + script, str(folder)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def run_without_rights(script: str, folder: Path) -> tuple[str, str, int]:
    """Run such a script; return what it said, its errors and its exit code."""
    child = start_without_rights(script, folder)
    said, errors = child.communicate()
    return said, errors, child.returncode
