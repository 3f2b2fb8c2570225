"""The project folder: the same plain files the commands read and write.

A project is ``brief.toml``, the panel, paint and rule files it names, ``scheme.json``, and
``page.json``, which holds what only the page remembers (resting rules, kept schemes, a photo's
corners). Nothing else in the folder is read, and nothing outside it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

import palette
from palette.errors import InputError
from palette.page.history import Files
from palette.page.naming import measured_files, named_files
from palette.page.remembered import entry_faults

__all__ = [
    "BRIEF",
    "MEMORY",
    "SCHEME",
    "MAX_FILE_BYTES",
    "PLAN",
    "ChangedOutsideError",
    "Keeper",
    "memory_of",
    "read_files",
    "refuse_unknown",
    "with_memory",
]

BRIEF, SCHEME, MEMORY, PLAN = "brief.toml", "scheme.json", "page.json", "plan.toml"
MAX_FILE_BYTES = 48 * 2**20


_MEMORY = palette.FORMATS["page"]


def memory_of(files: Files) -> dict[str, Any]:
    """Return what only the page remembers; nothing, where that cannot be read."""
    try:
        return _read_memory(files)
    except InputError:
        return {}


def _read_memory(files: Files) -> dict[str, Any]:
    if MEMORY not in files:
        return {}
    document = palette.parse_json(_text(files, MEMORY), where=MEMORY)
    found = _MEMORY.newest(document, where=MEMORY)
    InputError.gather(entry_faults(found, where=MEMORY))
    return found


def _text(files: Files, name: str) -> str:
    try:
        return files[name].decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        what = f"byte {fault.start} is not UTF-8 text"
        raise InputError(name, what, "save the file as plain text in UTF-8") from None


def refuse_unknown(files: Files) -> None:
    """Refuse a scheme and a memory the page cannot understand, since writing over them would lose them.

    Raises
    ------
    InputError
        One of them is damaged, of a newer version, or has keys that are not known.
    """
    if SCHEME in files:
        palette.parse_scheme(_text(files, SCHEME), where=SCHEME)
    _read_memory(files)


def with_memory(files: Files, **changes: Any) -> dict[str, bytes]:
    """Return the files with entries of the page's memory changed; None takes one out."""
    document = {**memory_of(files), **changes}
    document = {key: value for key, value in document.items() if value is not None}
    text = json.dumps(_MEMORY.stamp(document), indent=1, ensure_ascii=False)
    return {**files, MEMORY: (text + "\n").encode()}


def read_files(folder: Path) -> dict[str, bytes]:
    """Return the files of a project; empty where the folder holds none yet.

    Raises
    ------
    InputError
        A file cannot be read, is too large, or lies outside the folder; or what the page would write
        over is not understood.
    """
    files: dict[str, bytes] = {}
    if not (folder / BRIEF).exists():
        return files
    files[BRIEF] = _read(folder, BRIEF)
    for name in (*named_files(files[BRIEF]), PLAN, SCHEME, MEMORY):
        if name not in files and _is_there(folder, name):
            files[_inside(folder, name)] = _read(folder, name)
    for name in measured_files(files):
        if name not in files and _is_there(folder, name):
            files[_inside(folder, name)] = _read(folder, name)
    refuse_unknown(files)
    photo = memory_of(files).get("photo", {})
    for name in photo.values() if isinstance(photo, dict) else ():
        if isinstance(name, str) and _is_there(folder, name):
            files[_inside(folder, name)] = _read(folder, name)
    return files


def _is_there(folder: Path, name: str) -> bool:
    try:
        return (folder / name).is_file()
    except (OSError, ValueError):
        # Longer than a name may be, or with a sign no name has: the reader of the brief tells of it.
        return False


def _inside(folder: Path, name: str) -> str:
    resolved = (folder / name).resolve()
    if not resolved.is_relative_to(folder.resolve()):
        what = f'it names "{name}", which lies outside the project folder'
        raise InputError(BRIEF, what, "copy that file into the folder and name it there")
    return PurePosixPath(name).as_posix()


def _read(folder: Path, name: str) -> bytes:
    _inside(folder, name)
    try:
        if (folder / name).stat().st_size > MAX_FILE_BYTES:
            raise InputError(name, "the file is larger than 48 MiB", "save a smaller one")
        return (folder / name).read_bytes()
    except OSError as fault:
        what = f"the file cannot be read ({fault.strerror})"
        raise InputError(name, what, "check that you may read it") from None


class Keeper:
    """Keep a project folder equal to the project, without writing over what others wrote.

    Parameters
    ----------
    folder : Path
        Made with the first save.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._known: dict[str, str] = {}
        self._tried: dict[str, str] = {}
        self._left: dict[str, str] = {}

    def open(self) -> dict[str, bytes]:
        """Return the files as they stand on disk, and take them as known.

        What a page that was killed had begun to put in place is finished first.
        """
        palette.finish_interrupted(self.folder)
        files = read_files(self.folder)
        self._known = {name: _digest(content) for name, content in files.items()}
        return files

    def changed_outside(self) -> tuple[str, ...]:
        """Return the files that somebody else changed since they were last read or written."""
        changed = []
        for name, known in sorted(self._known.items()):
            path = self.folder / name
            try:
                found = _digest(path.read_bytes()) if path.is_file() else ""
            except OSError:
                continue
            # What a save that failed half-way has put in place is ours as well.
            if found not in (known, self._tried.get(name)):
                changed.append(name)
        return tuple(changed)

    def _strange(self, wanted: Mapping[str, str]) -> tuple[str, ...]:
        """Return the files that stand where the project's are to go, and were never seen here.

        There are some where the folder could not be read, or where the project takes up a name that
        its owner uses for something else.
        """
        found = []
        for name in sorted(set(wanted) - set(self._known)):
            path = self.folder / _inside(self.folder, name)
            if not path.is_file():
                continue
            try:
                own = (wanted[name], self._left.get(name), self._tried.get(name))
                strange = _digest(path.read_bytes()) not in own
            except OSError:
                strange = True
            if strange:
                found.append(name)
        return tuple(found)

    def save(self, files: Files, *, force: bool = False) -> None:
        """Write what changed: one action's files all together, or none of them.

        Raises
        ------
        ChangedOutsideError
            Somebody else changed a file meanwhile, or has one where ours is to go, and `force` was not
            given.
        InputError
            The folder cannot be written.
        """
        wanted = {name: _digest(content) for name, content in files.items()}
        changed = () if force else (*self.changed_outside(), *self._strange(wanted))
        if changed:
            raise ChangedOutsideError(changed)
        written = {name: content for name, content in sorted(files.items())
                   if force or self._known.get(name) != wanted[name]}  # fmt: skip
        # A layout no longer named may still be wanted by its owner: it stays, unwatched.
        gone = [name for name in (SCHEME, MEMORY) if name in self._known and name not in files]
        if written or gone:
            self._tried = {**wanted, **dict.fromkeys(gone, "")}
            palette.make_folder(self.folder)
            for name in written:
                palette.make_folder((self.folder / _inside(self.folder, name)).parent)
            palette.write_together(self.folder, written, gone=gone)
        self._left.update(self._known)
        self._known, self._tried = wanted, {}


class ChangedOutsideError(InputError):
    """Somebody else wrote to the project since the page last did."""

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names
        super().__init__(
            ", ".join(names), "another program or page changed this", "take theirs or keep yours"
        )


def _digest(content: bytes) -> str:
    return hashlib.blake2b(content, digest_size=16).hexdigest()
