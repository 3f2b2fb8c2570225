"""A list of photos (TOML) whose sizes, corners or lights differ."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from palette.errors import InputError
from palette.formats import FORMATS
from palette.inspection import PhotoRequest
from palette.photos import parse_corners
from palette.reading import read_toml, refuse_unknown_keys, take_tables, take_text
from palette.references import find_named
from palette.spectral_files import LAMP_SUFFIXES
from palette.supplies import light_by_name
from palette.units import parse_size

__all__ = ["read_photo_list"]

_FILES = ("paints", "labels", "layout")
_MOST_JOBS = 10_000
_KNOWN = ("light", "corners", "size", "depth", *_FILES)


def read_photo_list(path: Path, *, known: PhotoRequest) -> list[tuple[str, PhotoRequest]]:
    """Return the photos of a list, each with its name, empty where it has none.

    ``[[job]]`` tables with ``photo`` and, where they are known, ``name``, ``light``, ``corners``,
    ``size``, ``depth``, ``paints``, ``labels`` and ``layout``, as the options of ``palette photo``
    say them; files are sought beside the list. Those keys before the first ``[[job]]`` hold for
    every photo that says nothing else, and before both stands what is `known` already.

    Raises
    ------
    InputError
        With every fault of the list.
    """
    where = str(path)
    document = FORMATS["photo-list"].newest(read_toml(path), where=where)
    refuse_unknown_keys(document, ("job", *_KNOWN), where=where)
    common = _add(known, document, path.parent, where=where)
    found: list[tuple[str, PhotoRequest]] = []
    faults: list[InputError] = []
    tables = take_tables(document, "job", where=where, most=_MOST_JOBS)
    if not tables:
        raise InputError(where, "it lists no photos", 'write [[job]] and photo = "wall.jpg" below it')
    for number, table in enumerate(tables, 1):
        here = f"{where}, job {number}"
        try:
            refuse_unknown_keys(table, ("photo", "name", *_KNOWN), where=here)
            photo = find_named(path.parent, take_text(table, "photo", where=here))
            name = take_text(table, "name", where=here) if "name" in table else ""
            found.append((name, _add(replace(common, photo=photo), table, path.parent, where=here)))
        except InputError as fault:
            faults.extend(fault.each())
    InputError.gather(faults)
    return found


def _add(request: PhotoRequest, table: Mapping[str, Any], folder: Path, *, where: str) -> PhotoRequest:
    """Return a request with what a table says of it."""
    said: dict[str, Any] = {}
    if "light" in table:
        light = take_text(table, "light", where=where)
        light_by_name(light, where=f"{where}, light", folder=folder)
        said["light"] = str(find_named(folder, light)) if light.lower().endswith(LAMP_SUFFIXES) else light
    if "corners" in table:
        said["corners"] = parse_corners(take_text(table, "corners", where=where), where=f"{where}, corners")
    if "size" in table:
        said["size_mm"] = parse_size(table["size"], where=f"{where}, size")
    if "depth" in table:
        if not isinstance(table["depth"], bool):
            mend = "write depth = true, or leave it out"
            raise InputError(where, f'"depth" is {table["depth"]!r}', mend)
        said["depth"] = table["depth"]
    said |= {key: find_named(folder, take_text(table, key, where=where)) for key in _FILES if key in table}
    return replace(request, **said)
