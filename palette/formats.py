"""The kinds of file and answer that are palette's own: their versions, and the way up from an older one.

Each kind has a schema in ``data/schemas`` that lists its keys and their units. What is written
says its version; what is read may leave it out and is then of version 1. A newer version is
refused, since what it means is not known here, and an older one is brought up step by step.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from palette.errors import InputError

__all__ = ["ANSWERS", "DRAWING", "FILES", "FORMATS", "Format", "read_schema"]

Document = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One kind of file or answer.

    Parameters
    ----------
    name : str
        How the kind is called.
    upgrades : tuple of Callable[[Document], Document]
        Steps from each version to the next, the first from version 1 to 2; so the newest version
        is one more than there are steps. A step takes and returns a document without its version,
        and leaves the one it was given alone.
    """

    name: str
    upgrades: tuple[Callable[[Document], Document], ...] = ()

    @property
    def version(self) -> int:
        """The newest version, which this palette writes."""
        return len(self.upgrades) + 1

    def newest(self, document: Mapping[str, Any], *, where: str) -> Document:
        """Return a document as the newest version has it, without the key ``version``.

        Raises
        ------
        InputError
            Its version is newer than this palette knows, or no whole number from 1.
        """
        found = dict(document)
        version = self.known_version(found.pop("version", 1), where=where)
        for upgrade in self.upgrades[version - 1 :]:
            found = upgrade(found)
        return found

    def known_version(self, version: object, *, where: str) -> int:
        """Return a version that can be read.

        Raises
        ------
        InputError
            It is newer than this palette knows, or no whole number from 1.
        """
        if type(version) is not int or version < 1:
            mend = f"write {self.version}, or leave it out"
            raise InputError(where, f'"version" is {version!r}, not a whole number from 1', mend)
        if version > self.version:
            reads = f"{self.name} files up to version {self.version}"
            what = f"its version is {version}, and this palette reads {reads}"
            raise InputError(where, what, "use the palette that wrote it, or a newer one")
        return version

    def stamp(self, document: Mapping[str, Any]) -> Document:
        """Return a document with the newest version, in place of any it has, before its other keys."""
        return {"version": self.version, **{key: document[key] for key in document if key != "version"}}


FILES = ("brief", "rules", "wall", "paints", "lamp", "plan", "scheme", "page", "photo",
         "photo-list", "job", "summary")  # fmt: skip
"""Kinds of file; `wall` is tape measurements, `page` what the page remembers, `job` the mark a finished
job of a batch leaves."""

ANSWERS = (
    "answer-assign",
    "answer-buy",
    "answer-check",
    "answer-compare",
    "answer-lamps",
    "answer-neighbours",
    "answer-page",
    "answer-paints",
    "answer-plan",
    "answer-preview",
    "answer-repaint",
    "answer-rules",
    "answer-swatches",
)
"""What the commands print with ``--json``; ``palette photo`` prints what photo.json holds, ``palette
batch`` what summary.json holds."""

FORMATS: dict[str, Format] = {name: Format(name=name) for name in (*FILES, *ANSWERS)}
"""Every kind by its name."""

DRAWING = Format(name="drawing")
"""A panel as SVG, an open standard: what its ``data-`` attributes mean has a version of its own, told in
``data-layout-version`` of the drawing, which may be left out."""


def read_schema(name: str) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a kind of file or answer, one of `FORMATS`.

    A TOML file is described by the JSON values it stands for; its dates and times by their text.

    Parameters
    ----------
    name : str
        One of `FORMATS`.

    Returns
    -------
    dict

    Raises
    ------
    InputError
        There is no such kind.
    """
    if name not in FORMATS:
        raise InputError(
            "schema", f'there is no kind of file "{name}"', "use one of: " + ", ".join(FORMATS)
        )
    text = (files("palette") / "data" / "schemas" / f"{name}.schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
