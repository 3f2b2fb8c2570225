"""Text and TOML from disk, and tables checked key by key.

Every reader of a file people write goes through here, so that a missing file, a slip of syntax
and a misspelt key are told in the same words everywhere.
"""

from __future__ import annotations

import difflib
import hashlib
import os
import stat
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from palette.errors import InputError
from palette.parsing import WRITE_SLASHES, parse_json, parse_toml

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

__all__ = [
    "digest_file",
    "find_files",
    "nearest",
    "no_such_file",
    "read_bytes",
    "read_json",
    "read_text",
    "read_toml",
    "read_toml_document",
    "refuse_unknown_keys",
    "take_name",
    "take_number",
    "take_tables",
    "take_text",
]

MAX_TEXT_BYTES = 16 * 2**20
"""A drawing or a list this large was not made by a person; it is refused, not parsed."""

MAX_TABLE_BYTES = 4 * 2**20
"""The same for TOML and tables of figures: as tape measurements, some fifty thousand slabs."""

_MOST_TABLES = 1000
_LONGEST_NAME = 100
_LONGEST_TEXT = 300  # letters of a name; of a file's too
_MOST_UNKNOWN = 50
_MOST_NEAR = 2000  # words a misspelt one is compared with, and letters of it


def no_such_file(path: Path) -> InputError:
    """Return the sentence about a file that is not there."""
    # A name like "walls\north.svg" in a TOML file holds a line break where a folder was meant.
    mend = "check the name and the folder" if str(path).isprintable() else WRITE_SLASHES
    return InputError(str(path), "there is no such file", mend)


def find_files(folder: Path, suffixes: Collection[str], *, beside: Collection[str] = ()) -> list[Path]:
    """Return the files of a folder and of those in it whose names end so, in the order of their names.

    Hidden folders are passed over, and so are those that hold a file of a name in `beside`.

    Raises
    ------
    InputError
        The folder cannot be read.
    """

    def refuse(fault: OSError) -> None:
        what = f"the folder cannot be read ({fault.strerror})"
        raise InputError(str(fault.filename), what, "check that you may read it") from None

    found = []
    for place, folders, files in os.walk(folder, onerror=refuse):
        folders.sort()
        folders[:] = [name for name in folders if not name.startswith(".")]
        if not set(beside).intersection(files):
            found += [Path(place, name) for name in sorted(files) if name.lower().endswith(tuple(suffixes))]
        else:
            folders.clear()
    return [path for path in found if not path.name.startswith(".")]


def digest_file(path: Path) -> str:
    """Return the SHA-256 of a file's content; "" for one that cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError):
        return ""


def read_bytes(path: Path, *, most: int) -> bytes:
    """Return the bytes of a file of at most `most` bytes.

    Raises
    ------
    InputError
        The file is missing, a folder, unreadable or too large.
    """
    try:
        if path.is_dir():
            raise InputError(str(path), "this is a folder", "name the file inside it")
        known = path.stat()
        # A device or a pipe may never end, or never begin.
        if not stat.S_ISREG(known.st_mode):
            raise InputError(str(path), "this is no ordinary file", "name a file on the disk")
        data, size = b"", known.st_size
        if size <= most:
            with path.open("rb") as file:
                data = file.read(most + 1)
            size = len(data)
        if size > most:
            what = f"the file has {size / 2**20:.0f} MiB, more than the {most / 2**20:.0f} MiB allowed"
            raise InputError(str(path), what, "save a smaller one")
        return data
    except FileNotFoundError:
        raise no_such_file(path) from None
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "its name cannot be used"
        mend = "check that you may read it"
        raise InputError(str(path), f"the file cannot be read ({reason})", mend) from None


def read_text(path: Path, *, most: int = MAX_TEXT_BYTES) -> str:
    """Return a UTF-8 text file of at most `most` bytes, any line endings."""
    data = read_bytes(path, most=most)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        what = f"byte {fault.start} is not UTF-8 text"
        raise InputError(str(path), what, "save the file as plain text in UTF-8") from None


def read_toml(path: Path) -> dict[str, Any]:
    """Return a TOML file as a table.

    Raises
    ------
    InputError
        The file cannot be read or is not TOML; the message names the line.
    """
    return parse_toml(read_text(path, most=MAX_TABLE_BYTES), where=str(path))


def read_toml_document(path: Path) -> TOMLDocument:
    """Return a TOML file as its author wrote it, comments and all, to be changed and written again.

    Raises
    ------
    InputError
        The file cannot be read or is not TOML.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    text = read_text(path, most=MAX_TABLE_BYTES)
    parse_toml(text, where=str(path))  # quick, and with the sentences people know
    try:
        return tomlkit.parse(text.replace("\r\n", "\n"))
    except (TOMLKitError, RecursionError, ValueError) as fault:
        what = f"this is not TOML: {str(fault) or 'tables are nested too deeply'}"
        raise InputError(str(path), what[:300], "correct that line") from None


def read_json(path: Path) -> dict[str, Any]:
    """Return a JSON file that holds one object."""
    return parse_json(read_text(path), where=str(path))


def nearest(word: str, known: Collection[str]) -> str:
    """Return advice that names the known word nearest to a misspelt one, else all of them."""
    compared = sorted(known) if max(len(word), len(known)) <= _MOST_NEAR else []
    close = difflib.get_close_matches(word, compared, n=1)
    if close:
        return f'write "{close[0]}" if that was meant'
    return "use one of: " + ", ".join(sorted(known))


def refuse_unknown_keys(table: Mapping[str, Any], known: Collection[str], *, where: str) -> None:
    """Raise InputError for each key that is not known, with the nearest that is."""
    unknown = [key for key in table if key not in known]
    faults = [
        InputError(where, f'the key "{key}" is not known here', nearest(key, known))
        for key in unknown[:_MOST_UNKNOWN]
    ]
    if len(unknown) > _MOST_UNKNOWN:
        what = f"{len(unknown) - _MOST_UNKNOWN:,} more keys are not known here"
        faults.append(InputError(where, what, "mend the first ones, then look again"))
    InputError.gather(faults)


def take_text(table: Mapping[str, Any], key: str, *, where: str) -> str:
    """Return a text that must be there and not be empty."""
    value = table.get(key)
    if value is None:
        raise InputError(where, f'the key "{key}" is missing', f'add {key} = "…"')
    if not isinstance(value, str) or not value.strip():
        raise InputError(where, f'"{key}" is {value!r}, not a text', f'write {key} = "…"')
    if len(value) > _LONGEST_TEXT:
        what = f'"{key}" has {len(value):,} letters, more than {_LONGEST_TEXT}'
        raise InputError(where, what, "write a shorter one")
    return value.strip()


def take_name(table: Mapping[str, Any], key: str, *, where: str, most: int = _LONGEST_NAME) -> str:
    """Return a text that can be printed on one line: a name of at most `most` letters."""
    name = " ".join(take_text(table, key, where=where).split())
    if len(name) > most:
        what = f'"{key}" has {len(name):,} letters, more than {most}'
        raise InputError(where, what, "write a shorter one")
    if not name.isprintable():
        what = f'"{key}" is "{name}", with marks that cannot be seen'
        raise InputError(where, what, "write it anew, letter by letter")
    return name


def take_number(table: Mapping[str, Any], key: str, *, where: str, least: float, most: float) -> float:
    """Return a number between `least` and `most`, both included."""
    value = table[key]
    mend = f"write a number from {least:g} to {most:g}"
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError(where, f'"{key}" is {value!r}, not a number', mend)
    if not least <= value <= most:
        raise InputError(where, f'"{key}" is {value:g}', mend)
    return float(value)


def take_tables(
    table: Mapping[str, Any], key: str, *, where: str, most: int = _MOST_TABLES
) -> list[dict[str, Any]]:
    """Return the ``[[key]]`` tables, none if there are none, and at most `most`."""
    value = table.get(key, [])
    if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
        raise InputError(where, f'"{key}" is not a list of tables', f"write [[{key}]] before each one")
    if len(value) > most:
        what = f"it has {len(value):,} [[{key}]] tables, more than {most:,}"
        raise InputError(where, what, "keep those that are needed")
    return value
