"""Where a brief, a rule file or a paint file names other files.

One list of these places serves two ends: a job's fingerprint covers every file behind it, and a
brief written into another folder still finds them.
"""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping, MutableSequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from palette.errors import InputError
from palette.reading import read_toml
from palette.references import find_named
from palette.spectral_files import LAMP_SUFFIXES

__all__ = ["Naming", "find_namings", "list_files"]

_WITH_FILES_OF_THEIR_OWN = ("paints", "rules")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Naming:
    """One place where a document names a file: ``holder[key]``."""

    holder: Any
    key: str | int

    @property
    def file(self) -> str:
        """The name as it stands there."""
        return str(self.holder[self.key])

    def rename(self, file: str) -> None:
        """Put another name in its place."""
        self.holder[self.key] = file


def find_namings(document: MutableMapping[str, Any]) -> Iterator[Naming]:
    """Yield every place where a brief, rule file or paint file names a file.

    What has a wrong shape is passed over: the reader of the document tells about it.

    Parameters
    ----------
    document : MutableMapping[str, Any]
        As the TOML holds it.

    Yields
    ------
    Naming
    """
    for key in ("panel", *_WITH_FILES_OF_THEIR_OWN):
        yield from _text(document, key)
    yield from _text(document.get("panel"), "file")
    for key in ("panels", "lights"):
        for place, _ in enumerate(_listed(document, key)):
            naming = Naming(holder=document[key], key=place)
            named = isinstance(document[key][place], str)
            if named and (key == "panels" or naming.file.lower().endswith(LAMP_SUFFIXES)):
                yield naming
    for rule in _listed(document, "rule"):
        if isinstance(rule, MutableMapping) and rule.get("kind") == "seam":
            for key in ("panel", "scheme"):
                yield from _text(rule, key)
    for paint in _listed(document, "paint"):
        yield from _text(paint, "matrix")


def list_files(path: Path) -> tuple[Path, ...]:
    """Return a brief or a paint file and all files it names, and those they name, each once.

    A file that cannot be read names nothing; one that is missing is listed all the same.
    """
    found = [path]
    for key, file in _named_in(path):
        found.append(file)
        if key in _WITH_FILES_OF_THEIR_OWN:
            found += (inner for _, inner in _named_in(file))
    return tuple(dict.fromkeys(found))


def _named_in(path: Path) -> list[tuple[str | int, Path]]:
    if path.suffix.lower() != ".toml":
        return []
    try:
        document = read_toml(path)
    except InputError:
        return []
    return [(naming.key, find_named(path.parent, naming.file)) for naming in find_namings(document)]


def _text(holder: Any, key: str) -> Iterator[Naming]:
    if isinstance(holder, MutableMapping) and isinstance(holder.get(key), str):
        yield Naming(holder=holder, key=key)


def _listed(document: MutableMapping[str, Any], key: str) -> MutableSequence[Any]:
    value = document.get(key)
    return value if isinstance(value, MutableSequence) else []
