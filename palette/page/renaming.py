"""New names for paints and sections, carried through every file that mentions the old one."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from palette.page.documents import change_table, tables_of
from palette.page.folder import SCHEME
from palette.page.history import Files

__all__ = ["with_paint_renamed", "with_sections_renamed"]


def with_paint_renamed(files: Files, old: str, new: str) -> dict[str, bytes]:
    """Return the files with a paint called something else, in the shelf, the rules and the scheme."""
    changed = dict(files)
    for place, table in enumerate(tables_of(files, "paint")):
        if table.get("name") == old:
            changed = change_table(changed, "paint", place, {"name": new})

    def renamed(name: str) -> str:
        return new if name == old else name

    changed = _in_rules(changed, ("paint", "paints"), renamed)
    return _in_scheme(changed, lambda paint_of: {key: renamed(paint) for key, paint in paint_of.items()})


def with_sections_renamed(files: Files, names: Mapping[str, str]) -> dict[str, bytes]:
    """Return the files with sections called something else in the rules and the scheme, all at once.

    The layout is its own file's business.
    """

    def renamed(name: str) -> str:
        return names.get(name, name)

    changed = _in_rules(files, ("sections",), renamed)
    return _in_scheme(changed, lambda paint_of: {renamed(key): paint for key, paint in paint_of.items()})


def _in_rules(files: Files, keys: tuple[str, ...], renamed: Callable[[str], str]) -> dict[str, bytes]:
    changed = dict(files)
    for place, table in enumerate(tables_of(files, "rule")):
        for key in keys:
            value = table.get(key)
            if isinstance(value, str):
                fresh: Any = renamed(value)
            elif isinstance(value, list):
                fresh = [renamed(str(name)) for name in value]
            else:
                continue
            if fresh != value:
                changed = change_table(changed, "rule", place, {key: fresh})
    return changed


def _in_scheme(files: Files, change: Callable[[dict[str, str]], dict[str, str]]) -> dict[str, bytes]:
    try:
        document = json.loads(files[SCHEME])
        document["paint_of"] = change(document["paint_of"])
    except (KeyError, ValueError, TypeError, AttributeError):
        return dict(files)
    return {**files, SCHEME: (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode()}
