"""A project as one zip file, and back."""

from __future__ import annotations

import io
import zipfile
import zlib
from pathlib import PurePosixPath

from palette.errors import InputError
from palette.page.folder import (
    BRIEF,
    MAX_FILE_BYTES,
    MEMORY,
    PLAN,
    SCHEME,
    memory_of,
    refuse_unknown,
)
from palette.page.history import Files
from palette.page.naming import measured_files, named_files

__all__ = ["files_from_zip", "files_to_zip"]

MAX_ZIP_FILES = 200

_TORN = (zipfile.BadZipFile, zlib.error, OSError, EOFError, ValueError, RuntimeError, NotImplementedError)
"""What zipfile raises at damaged, locked and strangely packed archives."""

_LONGEST_NAME = 120
_OWN = (BRIEF, SCHEME, MEMORY, PLAN)


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
        It is no zip, holds no brief, is too large when unpacked, or was made by a newer palette.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except _TORN:
        what = "this is not a zip file"
        raise InputError(where, what, 'drop a zip made with "Everything in one zip"') from None
    entries = [entry for entry in archive.infolist() if entry.filename and not entry.is_dir()]
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
        except _TORN:
            raise InputError(where, f'"{name}" in it cannot be unpacked', "zip the folder again") from None
    project = _project_only(found)
    _refuse_odd_names(project, where=where)
    try:
        refuse_unknown(project)
    except InputError as fault:
        InputError.gather(
            InputError(f"{where}, {each.where}", each.what, each.mend) for each in fault.each()
        )
    return project


def _refuse_odd_names(project: Files, *, where: str) -> None:
    """Refuse names that would be another place on another system, or take a folder for a file.

    A backslash or a drive's letter leads out of the folder under Windows, though not here.
    """
    for name in project:
        odd = set(name) & set('\\:*?"<>|') or not name.isprintable() or len(name) > _LONGEST_NAME
        folders = {str(parent) for parent in PurePosixPath(name).parents}
        if odd or PurePosixPath(name).as_posix() != name or folders & {*project, *_OWN}:
            shown = "".join(sign if sign.isprintable() else "?" for sign in name[:60])
            what = f'a file in it cannot be called "{shown}" in a project'
            mend = "give it a plain name, in the brief too, and zip the folder again"
            raise InputError(where, what, mend)


def _project_only(found: dict[str, bytes]) -> dict[str, bytes]:
    photo = memory_of(found).get("photo", {})
    photos = [name for name in photo.values() if isinstance(name, str)] if isinstance(photo, dict) else []
    wanted = [BRIEF, SCHEME, MEMORY, PLAN, *named_files(found[BRIEF]), *photos]
    kept = {name: found[name] for name in wanted if name in found}
    return {**kept, **{name: found[name] for name in measured_files(kept) if name in found}}
