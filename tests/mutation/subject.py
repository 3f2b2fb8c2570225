"""What is mutated, and which tests judge it: `subjects.toml` read."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

__all__ = ["ROOT", "Group", "read_groups"]

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Modules, as paths from the checkout, and the arguments of pytest that choose their tests."""

    paths: tuple[str, ...]
    tests: tuple[str, ...]
    preload: tuple[str, ...]


def read_groups() -> list[Group]:
    """Return the groups of `subjects.toml`; a module belongs to the first that names it."""
    document = tomllib.loads(Path(__file__).with_name("subjects.toml").read_text(encoding="utf-8"))
    taken: set[str] = set()
    groups = []
    for table in document["group"]:
        found = [
            path.relative_to(ROOT).as_posix()
            for pattern in table["modules"]
            for path in sorted(ROOT.glob(pattern))
        ]
        own = tuple(path for path in dict.fromkeys(found) if path not in taken)
        taken.update(own)
        groups.append(Group(paths=own, tests=tuple(table["tests"]), preload=tuple(document["preload"])))
    return groups


def module_name(path: str) -> str:
    """Return the dotted name of a module's path."""
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
