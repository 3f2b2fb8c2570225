"""Temporary folders of this process, in which files lie as the readers want them."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
import time
from pathlib import Path
from types import TracebackType

from palette.errors import InputError
from palette.page.history import Files

__all__ = ["NoRoomError", "PrivateFolder", "clear_leftovers"]

_PREFIX = "palette-page-"
_YOUNG_S = 60.0


class NoRoomError(InputError):
    """The system has no room for temporary files; nothing is wrong with the project."""


class PrivateFolder:
    """A folder nobody else reads; it goes with `close`, or at the end of a ``with``.

    Attributes
    ----------
    path : Path

    Raises
    ------
    NoRoomError
        The system has no room for temporary files.
    """

    def __init__(self) -> None:
        try:
            self.path = Path(tempfile.mkdtemp(prefix=_PREFIX))
        except OSError as fault:
            raise _no_room(fault) from None
        self._lying: dict[str, bytes] = {}
        # While this process lives the folder is locked; so a folder that is not is a dead one's.
        self._lock = _lock(self.path)

    def lay_out(self, files: Files) -> None:
        """Let exactly these files lie in the folder.

        Raises
        ------
        NoRoomError
            There is no room for them.
        """
        try:
            for name in sorted(set(self._lying) - set(files)):
                (self.path / name).unlink(missing_ok=True)
                del self._lying[name]
            for name, content in files.items():
                if self._lying.get(name) != content:
                    # Half of a file counts as none: the next time it is written anew.
                    self._lying.pop(name, None)
                    (self.path / name).parent.mkdir(parents=True, exist_ok=True)
                    (self.path / name).write_bytes(content)
                    self._lying[name] = content
        except OSError as fault:
            raise _no_room(fault) from None

    def close(self) -> None:
        """Remove the folder."""
        shutil.rmtree(self.path, ignore_errors=True)
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None

    def __enter__(self) -> PrivateFolder:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def clear_leftovers() -> None:
    """Remove the folders of pages that were killed, where the system can tell (Windows cannot)."""
    with contextlib.suppress(OSError):
        for path in sorted(Path(tempfile.gettempdir()).glob(f"{_PREFIX}*")):
            # One just made may not be locked yet.
            if path.is_dir() and not path.is_symlink() and time.time() - path.stat().st_mtime > _YOUNG_S:
                handle = _lock(path)
                if handle is not None:
                    shutil.rmtree(path, ignore_errors=True)
                    os.close(handle)


def _lock(path: Path) -> int | None:
    """Return a handle that locks a folder until it is closed; None if that cannot be had."""
    try:
        import fcntl

        handle = os.open(path, os.O_RDONLY)
    except (ImportError, OSError):
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        return None
    return handle


def _no_room(fault: OSError) -> NoRoomError:
    what = f"no temporary file can be written there ({fault.strerror})"
    return NoRoomError(tempfile.gettempdir(), what, "free some space, and do that again")
