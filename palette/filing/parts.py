"""Files that wait under a name of their own until they take their place."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import tempfile
import time
from pathlib import Path

__all__ = ["clear_leftovers", "is_part", "sync_folder", "write_part"]

_PART = re.compile(r"\.palette\.[a-z0-9_]{8}\.part")
_DAY_S = 86400.0
_BROKEN = frozenset({errno.EIO, errno.ENOSPC, errno.EDQUOT})


def is_part(name: str) -> bool:
    """Return whether a file's name is one that `write_part` gives, and nobody else."""
    return _PART.fullmatch(name) is not None


def write_part(folder: Path, data: bytes) -> Path:
    """Write a waiting file and return it; its content has reached the disk."""
    handle, name = tempfile.mkstemp(dir=folder, prefix=".palette.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        # mkstemp makes files private; give this one the rights any new file would have.
        mask = os.umask(0)
        os.umask(mask)
        part.chmod(0o666 & ~mask)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    return part


def sync_folder(folder: Path) -> None:
    """Let the names in a folder reach the disk, where the system can do that (Windows cannot).

    Raises
    ------
    OSError
        The disk failed or is full.
    """
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as fault:
        # Other faults mean that this system, or this kind of disk, knows no such thing.
        if fault.errno in _BROKEN:
            raise


def clear_leftovers(folder: Path, *, alone: bool) -> None:
    """Remove waiting files of programs that were killed.

    `alone` says that no other program can be writing here; else a part of today may be somebody's.
    """
    with contextlib.suppress(OSError):
        for path in sorted(folder.glob(".palette.*.part")):
            if is_part(path.name) and (alone or time.time() - path.stat().st_mtime > _DAY_S):
                path.unlink(missing_ok=True)
