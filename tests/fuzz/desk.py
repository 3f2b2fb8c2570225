"""A folder of this process's own, into which inputs are laid as files."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path


@cache
def desk() -> Path:
    """Return the folder, made on first use and cleared away at the end."""
    folder = Path(tempfile.mkdtemp(prefix="palette-fuzz-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def lay(name: str, data: bytes) -> Path:
    """Return the path of a file with these bytes; a reader of several files gives them a folder."""
    path = desk() / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data)
    return path
