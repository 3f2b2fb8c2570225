"""The readers under test, by name: each is a module here.

A module has

``target(data)``
    Reads the bytes as its reader would read a file of them, asserts that the result is sane, and
    returns it; `palette.errors.InputError` is the only exception it may let out.
``seeds()``
    Sound inputs to begin from, as a list of bytes.
``WORDS``
    Keys and words of the format, as a tuple of texts.
``heavy()``, if it likes
    Large inputs as pairs of name and bytes, each tried once: they are no use as seeds.
``EXAMPLES``, if its inputs take long
    How many fresh ones the default run tries; 200 is usual.
``mutate(data, random)``, if texts and numbers are not what it is made of
    Returns changed bytes; `fuzz.hostile.mutate_text` with `WORDS` is the usual one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib import import_module
from pkgutil import iter_modules
from random import Random

READERS = tuple(sorted(module.name for module in iter_modules(__path__)))
"""Every module of this folder is a reader under test."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """One reader under test, its module's parts with the usual ones where it has none."""

    name: str
    target: Callable[[bytes], object]
    seeds: Callable[[], list[bytes]]
    words: tuple[str, ...]
    mutate: Callable[[bytes, Random], bytes]
    heavy: Callable[[], Iterable[tuple[str, bytes]]]
    examples: int


def reader_by_name(name: str) -> Reader:
    """Return a reader of `READERS`."""
    from fuzz.hostile import mutate_text

    module = import_module(f"fuzz.readers.{name}")
    words = tuple(module.WORDS)

    def usual(data: bytes, random: Random) -> bytes:
        return mutate_text(data, random, words)

    return Reader(
        name=name,
        target=module.target,
        seeds=module.seeds,
        words=words,
        mutate=getattr(module, "mutate", usual),
        heavy=getattr(module, "heavy", list),
        examples=getattr(module, "EXAMPLES", 200),
    )
