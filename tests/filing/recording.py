"""The calls a write makes of the system: counted, refused, or kept for a look at every power cut."""

from __future__ import annotations

import contextlib
import errno
import itertools
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

# Every call through which `filing` changes the disk or waits for it; `flush` is where a full disk is met.
CALLS = ("open", "flush", "fsync", "chmod", "replace", "unlink")


class _Watched:
    """A file whose flush is one of the counted calls."""

    def __init__(self, file, met: Callable[[str, tuple], None]) -> None:
        self._file, self._met = file, met

    def flush(self) -> None:
        self._met("flush", ())
        self._file.flush()

    def __getattr__(self, name):
        return getattr(self._file, name)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        # A file that could not be flushed is closed without another try.
        with contextlib.suppress(OSError):
            self._file.close()


@contextlib.contextmanager
def watch_calls(met: Callable[[str, tuple], None]) -> Iterator[None]:
    """Call `met` with the name and the arguments of each call in CALLS, before it is made."""
    real = {name: getattr(os, name) for name in (*CALLS, "fdopen") if name != "flush"}

    def watched(name: str):
        def call(*args, **keywords):
            met(name, args)
            # That the disk is waited for is what is looked at; the waiting itself takes long.
            return None if name == "fsync" else real[name](*args, **keywords)

        return call

    for name in real:
        if name != "fdopen":
            setattr(os, name, watched(name))
    os.fdopen = lambda *args, **keywords: _Watched(real["fdopen"](*args, **keywords), met)
    try:
        yield
    finally:
        for name, function in real.items():
            setattr(os, name, function)


@dataclass
class Refusing:
    """Refuse the call of a given number, once or from then on, as a full disk does."""

    at: int
    ever_after: bool
    count: int = 0

    def met(self, name: str, _: tuple) -> None:
        self.count += 1
        if self.count == self.at or (self.ever_after and self.count > self.at):
            raise OSError(errno.ENOSPC, "No space left on device", name)


@dataclass
class _File:
    """What a file's inode holds: all of it once it was synced."""

    content: bytes = b""


@dataclass
class Disk:
    """A disk that can lose its power: what has surely reached it, and what may have.

    After Pillai et al., "All File Systems Are Not Created Equal" (OSDI 2014), from memory: without an
    fsync of the folder each change of a name may or may not have reached the disk, in any order;
    without an fsync of the file its content may be missing; one rename is never half done.
    """

    folder: Path
    names: dict[str, _File] = field(default_factory=dict)
    sure: dict[str, _File] = field(default_factory=dict)
    waiting: list[tuple[str, _File | None, str]] = field(default_factory=list)
    states: list[dict[str, bytes]] = field(default_factory=list)

    def __post_init__(self) -> None:
        for path in self.folder.iterdir():
            self.names[path.name] = _File(path.read_bytes())
        self.sure = dict(self.names)

    def watch(self) -> contextlib.AbstractContextManager[None]:
        """Follow every call, and keep every state a power cut before it could leave."""
        return watch_calls(self._met)

    def _met(self, name: str, args: tuple) -> None:
        self.states.extend(self.possible())
        if name == "open" and args[1] & os.O_CREAT:
            self._change(Path(args[0]).name, _File())
        elif name == "replace":
            gone, taken = (Path(arg).name for arg in args[:2])
            self._change(taken, self.names.pop(gone), came_from=gone)
        elif name == "unlink" and Path(args[0]).exists():
            del self.names[Path(args[0]).name]
            self.waiting.append((Path(args[0]).name, None, ""))
        elif name == "fsync":
            synced = Path(f"/proc/self/fd/{args[0]}").readlink()
            if synced.is_dir():
                self.sure, self.waiting = dict(self.names), []
            else:
                self.names[synced.name].content = synced.read_bytes()

    def _change(self, name: str, file: _File, *, came_from: str = "") -> None:
        self.names[name] = file
        self.waiting.append((name, file, came_from))

    def possible(self) -> Iterator[dict[str, bytes]]:
        """Yield every content the folder may have after a power cut now."""
        for kept in itertools.product((False, True), repeat=len(self.waiting)):
            names = dict(self.sure)
            for one, (name, file, came_from) in zip(kept, self.waiting, strict=True):
                if one:
                    names.pop(came_from, None)
                    if file is None:
                        names.pop(name, None)
                    else:
                        names[name] = file
            yield {name: file.content for name, file in names.items()}
