"""The project folder: the same plain files the commands read and write.

A project is ``brief.toml``, the panel, paint and rule files it names, ``scheme.json``, and
``page.json``, which holds what only the page remembers (resting rules, kept schemes, a photo's
corners). Nothing else in the folder is read, and nothing outside it.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Any

import palette
from palette.errors import InputError
from palette.page.history import Files

__all__ = [
    "BRIEF",
    "MEMORY",
    "SCHEME",
    "Keeper",
    "files_from_zip",
    "files_to_zip",
    "memory_of",
    "named_files",
    "read_files",
    "with_memory",
]

BRIEF, SCHEME, MEMORY, PLAN = "brief.toml", "scheme.json", "page.json", "plan.toml"
MAX_FILE_BYTES = 48 * 2**20
MAX_ZIP_FILES = 200


def named_files(brief: bytes) -> Iterator[str]:
    """Yield the files a brief names, as it writes them."""
    import tomllib

    try:
        document = tomllib.loads(brief.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return
    for key in ("panel", "paints", "rules", "plan"):
        value = document.get(key)
        if isinstance(value, dict):
            value = value.get("file")
        if isinstance(value, str):
            yield value


def measured_files(files: Files) -> Iterator[str]:
    """Yield the measurements that paints of the project name, and the lamp files its brief names."""
    import tomllib

    for name, content in list(files.items()):
        if not name.endswith(".toml"):
            continue
        try:
            document = tomllib.loads(content.decode("utf-8-sig"))
        except (UnicodeDecodeError, tomllib.TOMLDecodeError):
            continue
        paints = document.get("paint")
        for table in paints if isinstance(paints, list) else ():
            if isinstance(table, dict) and isinstance(table.get("matrix"), str):
                yield table["matrix"]
        lights = document.get("lights")
        for light in lights if isinstance(lights, list) else ():
            if isinstance(light, str) and light.endswith((".csv", ".toml")):
                yield light


def memory_of(files: Files) -> dict[str, Any]:
    """Return what only the page remembers; nothing, where that cannot be read."""
    try:
        document = json.loads(files.get(MEMORY, b"{}"))
    except (json.JSONDecodeError, UnicodeDecodeError, RecursionError):
        return {}
    return document if isinstance(document, dict) else {}


def with_memory(files: Files, **changes: Any) -> dict[str, bytes]:
    """Return the files with entries of the page's memory changed; None takes one out."""
    document = {**memory_of(files), **changes}
    document = {key: value for key, value in document.items() if value is not None}
    text = json.dumps({"version": 1, **document}, indent=1, ensure_ascii=False)
    return {**files, MEMORY: (text + "\n").encode()}


def read_files(folder: Path) -> dict[str, bytes]:
    """Return the files of a project; empty where the folder holds none yet.

    Raises
    ------
    InputError
        A file cannot be read, is too large, or lies outside the folder.
    """
    files: dict[str, bytes] = {}
    if not (folder / BRIEF).exists():
        return files
    files[BRIEF] = _read(folder, BRIEF)
    for name in (*named_files(files[BRIEF]), PLAN, SCHEME, MEMORY):
        if name not in files and (folder / name).is_file():
            files[_inside(folder, name)] = _read(folder, name)
    for name in measured_files(files):
        if name not in files and (folder / name).is_file():
            files[_inside(folder, name)] = _read(folder, name)
    photo = memory_of(files).get("photo", {})
    for name in photo.values() if isinstance(photo, dict) else ():
        if isinstance(name, str) and (folder / name).is_file():
            files[_inside(folder, name)] = _read(folder, name)
    return files


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

    def open(self) -> dict[str, bytes]:
        """Return the files as they stand on disk, and take them as known."""
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
            if found != known:
                changed.append(name)
        return tuple(changed)

    def save(self, files: Files, *, force: bool = False) -> None:
        """Write what changed, each file whole or not at all.

        Raises
        ------
        ChangedOutsideError
            Somebody else changed a file meanwhile, and `force` was not given.
        InputError
            The folder cannot be written.
        """
        changed = () if force else self.changed_outside()
        if changed:
            raise ChangedOutsideError(changed)
        palette.make_folder(self.folder)
        # The brief last: until it is written the folder still names the old files.
        for name in sorted(files, key=lambda name: name == BRIEF):
            digest = _digest(files[name])
            if force or self._known.get(name) != digest:
                palette.make_folder((self.folder / name).parent)
                palette.write_atomically(self.folder / _inside(self.folder, name), files[name])
                self._known[name] = digest
        for name in sorted(set(self._known) - set(files)):
            if name in (SCHEME, MEMORY):
                (self.folder / name).unlink(missing_ok=True)
            # A layout no longer named may still be wanted by its owner: it stays, unwatched.
            del self._known[name]


class ChangedOutsideError(InputError):
    """Somebody else wrote to the project since the page last did."""

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names
        super().__init__(
            ", ".join(names), "another program or page changed this", "take theirs or keep yours"
        )


def _digest(content: bytes) -> str:
    return hashlib.blake2b(content, digest_size=16).hexdigest()


def files_to_zip(files: Files, *, folder: str) -> bytes:
    """Return a project as one zip file holding one folder."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            # A fixed date: the same project makes the same zip.
            entry = zipfile.ZipInfo(f"{folder}/{name}", date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[name])
    return buffer.getvalue()


def files_from_zip(data: bytes, *, where: str) -> dict[str, bytes]:
    """Return the project of a zip file, which may hold it in a folder.

    Raises
    ------
    InputError
        It is no zip, holds no brief, or is too large when unpacked.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, OSError):
        what = "this is not a zip file"
        raise InputError(where, what, 'drop a zip made with "Everything in one zip"') from None
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    briefs = sorted((e.filename for e in entries if PurePosixPath(e.filename).name == BRIEF), key=len)
    if not briefs:
        raise InputError(where, "it holds no brief.toml", 'drop a zip made with "Everything in one zip"')
    root = briefs[0][: -len(BRIEF)]
    if len(entries) > MAX_ZIP_FILES or sum(entry.file_size for entry in entries) > MAX_FILE_BYTES:
        raise InputError(where, "it holds more than a project", "zip the project folder alone")
    found: dict[str, bytes] = {}
    for entry in entries:
        name = entry.filename.removeprefix(root)
        parts = PurePosixPath(name).parts
        if not entry.filename.startswith(root) or ".." in parts or PurePosixPath(name).is_absolute():
            continue
        try:
            with archive.open(entry) as content:
                # The sizes a zip states can lie; never take more than was allowed for.
                found[name] = content.read(entry.file_size + 1)
        except (zipfile.BadZipFile, RuntimeError, NotImplementedError, OSError):
            raise InputError(where, f'"{name}" in it cannot be unpacked', "zip the folder again") from None
    return _project_only(found)


def _project_only(found: dict[str, bytes]) -> dict[str, bytes]:
    photo = memory_of(found).get("photo", {})
    photos = [name for name in photo.values() if isinstance(name, str)] if isinstance(photo, dict) else []
    wanted = [BRIEF, SCHEME, MEMORY, PLAN, *named_files(found[BRIEF]), *photos]
    kept = {name: found[name] for name in wanted if name in found}
    return {**kept, **{name: found[name] for name in measured_files(kept) if name in found}}
