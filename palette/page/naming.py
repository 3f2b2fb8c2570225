"""Which files a project consists of: those its brief names, and those they name in turn."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import palette
from palette.page.history import Files

__all__ = ["measured_files", "named_files"]


def named_files(brief: bytes) -> Iterator[str]:
    """Yield the files a brief names, as it writes them."""
    for naming in palette.find_namings(_values(brief)):
        yield naming.file


def measured_files(files: Files) -> Iterator[str]:
    """Yield the files that a project's paint and rule files name: measurements, panels built already."""
    for name, content in list(files.items()):
        if name.endswith(".toml"):
            yield from named_files(content)


def _values(content: bytes) -> dict[str, Any]:
    try:
        return tomllib.loads(content.decode("utf-8-sig").replace("\r\n", "\n"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError):
        return {}
