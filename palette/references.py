"""What files are called, and how one names another, so that a folder may move between systems."""

from __future__ import annotations

import os
import re
from pathlib import Path

__all__ = ["file_name", "find_named", "name_from"]

# Names Windows keeps for devices, whatever their ending (Microsoft, "Naming Files, Paths, and Namespaces").
_DEVICES = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?", re.IGNORECASE)


def file_name(text: str, *, otherwise: str = "light") -> str:
    """Return a light's or a wall's name as every file system takes it: ``365/12`` becomes ``365-12``.

    Parameters
    ----------
    text : str
    otherwise : str
        The name where nothing is left of the text.

    Returns
    -------
    str
    """
    name = re.sub(r"[^\w.+-]+", "-", text)[:80].strip("-.") or otherwise
    return f"{otherwise}-{name}" if _DEVICES.fullmatch(name) else name


def find_named(folder: Path, name: str) -> Path:
    """Return the file that a file in `folder` names.

    Names are relative to the folder. One written on Windows, ``walls\\north.svg``, is found
    elsewhere too; where a file of that very name lies in the folder, that file is meant.
    """
    path = folder / name
    if "\\" in name and os.sep == "/" and not _is_there(path):
        return folder / name.replace("\\", "/")
    return path


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError:  # its name is longer than any file's
        return False


def name_from(folder: Path, file: Path) -> str:
    """Return how a file in `folder` names `file`: relative, with ``/`` between folders.

    On Windows two drives have no way from one to the other; the name is then the whole path.
    """
    try:
        relative = os.path.relpath(file.resolve(), folder.resolve())
    except ValueError:
        return file.resolve().as_posix()
    return Path(relative).as_posix()
