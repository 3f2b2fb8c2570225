"""Edits to the project's TOML files that leave everything else in them as its author wrote it."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

import palette
from palette.errors import InputError
from palette.page.folder import BRIEF
from palette.page.history import Files

__all__ = [
    "add_table",
    "change_table",
    "drop_table",
    "new_brief",
    "set_brief_entry",
    "tables_of",
]

_FILE_KEY = {"paint": "paints", "rule": "rules"}


def _document(files: Files, name: str) -> tomlkit.TOMLDocument:
    try:
        text = files[name].decode("utf-8-sig")
        # What is added to a last line without an end would run on in it.
        return tomlkit.parse(text if text.endswith("\n") else f"{text}\n")
    except KeyError:
        raise InputError(name, "there is no such file in the project", "put it back") from None
    except (UnicodeDecodeError, TOMLKitError) as fault:
        raise InputError(name, f"this is not TOML: {str(fault)[:200]}", "correct that line") from None


def _home(files: Files, kind: str) -> str:
    """Return the file in which tables of a kind stand: the brief, or one it names."""
    value = _document(files, BRIEF).get(_FILE_KEY[kind])
    return str(value) if isinstance(value, str) else BRIEF


def _written(files: Files, name: str, document: tomlkit.TOMLDocument) -> dict[str, bytes]:
    return {**files, name: tomlkit.dumps(document).encode()}


def tables_of(files: Files, kind: str) -> list[dict[str, Any]]:
    """Return the ``[[paint]]`` or ``[[rule]]`` tables as plain values, none where there are none."""
    brief = _values(files.get(BRIEF, b""))
    named = brief.get(_FILE_KEY[kind])
    found = (_values(files.get(named, b"")) if isinstance(named, str) else brief).get(kind, [])
    sound = isinstance(found, list) and all(isinstance(table, dict) for table in found)
    return [dict(table) for table in found] if sound else []


@lru_cache(maxsize=32)
def _values(content: bytes) -> Mapping[str, Any]:
    """Return a file's values; asked for often, so the quick reader and a short memory."""
    try:
        return tomllib.loads(content.decode("utf-8-sig").replace("\r\n", "\n"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError):
        return {}


def change_table(files: Files, kind: str, place: int, changes: Mapping[str, Any]) -> dict[str, bytes]:
    """Return the files with keys of one table changed; None takes a key out."""
    name = _home(files, kind)
    document = _document(files, name)
    table = document[kind][place]
    for key, value in changes.items():
        if value is None:
            table.pop(key, None)
        else:
            table[key] = _item(value)
    return _written(files, name, document)


def add_table(files: Files, kind: str, table: Mapping[str, Any]) -> dict[str, bytes]:
    """Return the files with one more table at the end of its kind."""
    name = _home(files, kind)
    document = _document(files, name)
    fresh = tomlkit.table()
    for key, value in table.items():
        if value is not None:
            fresh[key] = _item(value)
    existing = document.get(kind)
    if isinstance(existing, AoT):
        existing.append(fresh)
    else:
        document.pop(kind, None)
        array = tomlkit.aot()
        array.append(fresh)
        document[kind] = array
    return _written(files, name, document)


def drop_table(files: Files, kind: str, place: int) -> dict[str, bytes]:
    """Return the files without one table."""
    name = _home(files, kind)
    document = _document(files, name)
    tables = document[kind]
    del tables[place]
    if not len(tables):
        del document[kind]
    return _written(files, name, document)


def set_brief_entry(files: Files, key: str, value: Any) -> dict[str, bytes]:
    """Return the files with one entry of the brief changed; None takes it out."""
    document = _document(files, BRIEF)
    if value is None:
        document.pop(key, None)
    elif key in document:
        document[key] = _item(value)
    else:
        # Before the first table: a plain key written after one would belong to it.
        body = tomlkit.parse(f"{key} = {_literal(value)}\n" + tomlkit.dumps(document))
        return _written(files, BRIEF, body)
    return _written(files, BRIEF, document)


def _item(value: Any) -> Any:
    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        table.update({key: _item(entry) for key, entry in value.items()})
        return table
    if isinstance(value, (list, tuple)):
        return tomlkit.item(list(value))
    return tomlkit.item(value)


def _literal(value: Any) -> str:
    return json.dumps(value) if isinstance(value, str) else _item(value).as_string()


def new_brief(name: str, *, panel: str | Mapping[str, str], paints: str) -> bytes:
    """Return a first brief: a panel, a shelf, and the two rules nobody does without."""
    document = tomlkit.document()
    document["version"] = palette.FORMATS["brief"].version
    document["name"] = name
    document["panel"] = _item(panel)
    document["paints"] = paints
    document["lights"] = ["daylight", "blacklight"]
    rules = tomlkit.aot()
    for entries in ({"kind": "clash"}, {"kind": "depth", "by": "bands", "bands": 3, "tolerance": 8}):
        rule = tomlkit.table()
        rule.update(entries)
        rules.append(rule)
    document["rule"] = rules
    return tomlkit.dumps(document).encode()
