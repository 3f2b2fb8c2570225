"""Names a rule uses, held against those that exist."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from palette.errors import InputError

__all__ = ["nearest", "unknown_names"]


def nearest(name: str, known: Iterable[str]) -> str:
    """Return an instruction that names what was probably meant, or what there is."""
    choices = list(known)
    close = difflib.get_close_matches(name, choices, n=1, cutoff=0.5)
    if close:
        return f'write "{close[0]}" if that was meant'
    shown = ", ".join(choices[:12]) + (" ..." if len(choices) > 12 else "")
    return f"use one of: {shown}" if choices else "there is none to name"


def unknown_names(kind: str, noun: str, named: Iterable[str], known: Iterable[str]) -> Iterator[InputError]:
    """Yield a fault for each name that does not exist."""
    there = list(known)
    for name in named:
        if name not in there:
            what = f'the {noun} "{name}" does not exist'
            yield InputError(f'rule "{kind}"', what, nearest(name, there))
