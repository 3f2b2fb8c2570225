"""Sections kept as they are: pin rules of the brief, one for each section locked on the page."""

from __future__ import annotations

from palette.page.documents import add_table, change_table, drop_table, tables_of
from palette.page.history import Files

__all__ = ["is_locked", "locked_sections", "locks_of", "with_lock"]


def locks_of(files: Files) -> dict[str, int]:
    """Return the place of each rule that pins just one section, by its section."""
    found = {}
    for place, table in enumerate(tables_of(files, "rule")):
        sections = table.get("sections")
        listed = [sections] if isinstance(sections, str) else sections
        if table.get("kind") == "pin" and isinstance(listed, list) and len(listed) == 1:
            found[str(listed[0])] = place
    return found


def locked_sections(files: Files) -> frozenset[str]:
    """Return the sections that are kept as they are."""
    return frozenset(locks_of(files))


def is_locked(files: Files, section: str) -> bool:
    """Return whether a section is kept as it is."""
    return section in locks_of(files)


def with_lock(files: Files, section: str, paint: str | None) -> dict[str, bytes]:
    """Return the files with a section kept in a paint, or free again where `paint` is None."""
    place = locks_of(files).get(section)
    if paint is None:
        return dict(files) if place is None else drop_table(files, "rule", place)
    if place is None:
        return add_table(files, "rule", {"kind": "pin", "sections": [section], "paint": paint})
    return change_table(files, "rule", place, {"paint": paint})
