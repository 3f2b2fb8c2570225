"""One writer in a folder at a time."""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Iterator
from pathlib import Path

__all__ = ["take_turn"]

_PATIENCE_S = 3.0


@contextlib.contextmanager
def take_turn(folder: Path) -> Iterator[bool]:
    """Wait until nobody else writes in a folder; yield whether that is certain.

    The system holds the lock for the process, on the folder itself: it ends with the process, however
    that ends, and leaves no file behind. Where there is no such lock (Windows, some network disks), and
    where somebody holds it for longer than 3 s, the work goes on without: what is written is whole
    all the same.
    """
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        yield False
        return
    try:
        yield _lock(handle)
    finally:
        os.close(handle)


def _lock(handle: int) -> bool:
    try:
        import fcntl
    except ImportError:
        return False
    until = time.monotonic() + _PATIENCE_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                return False
            time.sleep(0.01)
        except OSError:
            return False
        else:
            return True
