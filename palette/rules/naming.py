"""Names a rule uses, held against those that exist."""

from __future__ import annotations

import difflib
import fnmatch
from collections.abc import Iterable, Iterator

from palette.errors import InputError

_MOST_NEAR = 2000  # names a misspelt one is compared with, and letters of it
_MOST_TOLD = 50

__all__ = ["nearest", "select_sections", "unknown_names", "unmatched_sections"]


def nearest(name: str, known: Iterable[str]) -> str:
    """Return an instruction that names what was probably meant, or what there is."""
    choices = list(known)
    compared = choices if max(len(name), len(choices)) <= _MOST_NEAR else []
    close = difflib.get_close_matches(name, compared, n=1, cutoff=0.5)
    if close:
        return f'write "{close[0]}" if that was meant'
    shown = ", ".join(choices[:12]) + (f" or {len(choices) - 12} more" if len(choices) > 12 else "")
    return f"use one of: {shown}" if choices else "there is none to name"


def unknown_names(kind: str, noun: str, named: Iterable[str], known: Iterable[str]) -> Iterator[InputError]:
    """Yield a fault for each name that does not exist."""
    there = list(known)
    listed = set(there)
    yield from _told(kind, noun, [name for name in named if name not in listed], there)


def select_sections(named: Iterable[str], known: Iterable[str]) -> tuple[str, ...]:
    """Return the sections that names or patterns like ``slab-*`` mean, in the panel's order."""
    wanted = tuple(named)
    exact = set(wanted)
    patterns = [name for name in wanted if any(mark in name for mark in "*?[")]
    return tuple(
        section
        for section in known
        if section in exact or any(fnmatch.fnmatchcase(section, pattern) for pattern in patterns)
    )


def unmatched_sections(kind: str, named: Iterable[str], known: Iterable[str]) -> Iterator[InputError]:
    """Yield a fault for each name or pattern that means no section."""
    there = list(known)
    listed = set(there)
    missing = [name for name in named if name not in listed and not select_sections([name], there)]
    yield from _told(kind, "section", missing, there)


def _told(kind: str, noun: str, missing: list[str], there: list[str]) -> Iterator[InputError]:
    for name in missing[:_MOST_TOLD]:
        what = f'the {noun} "{name}" does not exist'
        yield InputError(f'rule "{kind}"', what, nearest(name, there))
    if len(missing) > _MOST_TOLD:
        what = f"{len(missing) - _MOST_TOLD:,} more of its {noun}s do not exist"
        yield InputError(f'rule "{kind}"', what, "mend the first ones, then look again")
