"""What the project's files mean: the brief, the survey, and how each light shows each paint."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import palette
from palette.errors import InputError
from palette.page.folder import BRIEF, MEMORY, SCHEME
from palette.page.history import Files
from palette.page.private_folder import PrivateFolder, clear_leftovers

_PHOTOS = (".jpg", ".jpeg", ".heic", ".heif", ".webp")

MOST_SECTIONS = 1500
"""Each is some ten elements of the page, drawn twice."""

__all__ = ["MOST_SECTIONS", "Ground", "Scratch", "complete", "files_key", "verdict_of", "work_out"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """Everything that stands still while sections are recoloured.

    `key` names the files it was made from; two grounds of the same files are the same.
    """

    key: str
    brief: palette.Brief
    survey: palette.Survey


def files_key(files: Files) -> str:
    """Return a short name for everything in a project but its scheme and the page's memory."""
    digest = hashlib.blake2b(digest_size=12)
    for name in sorted(files):
        # A photo is no part of what the files mean: the drawing read from it is.
        if name not in (SCHEME, MEMORY) and not name.lower().endswith(_PHOTOS):
            digest.update(f"{name}:{len(files[name])}:".encode() + files[name])
    return digest.hexdigest()


class Scratch:
    """A private folder in which the project's files lie as the readers want them.

    The project's own folder may be read-only or full: what is seen and judged never depends on it.
    """

    def __init__(self) -> None:
        clear_leftovers()
        self._folder = PrivateFolder()
        self._grounds: dict[str, Ground] = {}

    @property
    def folder(self) -> Path:
        """Where the files lie."""
        return self._folder.path

    def lay_out(self, files: Files) -> Path:
        """Put the files in the folder; return the brief's path.

        Raises
        ------
        InputError
            There is no room for them.
        """
        self._folder.lay_out(files)
        return self.folder / BRIEF

    def ground(self, files: Files) -> Ground:
        """Return what the files mean.

        Raises
        ------
        InputError
            Every fault found in them, told without this folder's name; or there is no room for them.
        """
        key = files_key(files)
        if key not in self._grounds:
            self.keep(_work_out(self._folder, files, key))
        return self._grounds[key]

    def keep(self, ground: Ground) -> None:
        """Keep at hand what files mean, as `work_out` found."""
        # Undo and redo go back and forth between a few states: the last ones stay.
        while len(self._grounds) >= 8:
            del self._grounds[next(iter(self._grounds))]
        self._grounds[ground.key] = ground

    def clear(self) -> None:
        """Remove the folder."""
        self._folder.close()


def work_out(files: Files) -> Ground:
    """Return what files mean, in a folder of its own: may be called from another thread.

    Raises
    ------
    InputError
        As `Scratch.ground`.
    """
    with PrivateFolder() as private:
        return _work_out(private, files, files_key(files))


def _work_out(private: PrivateFolder, files: Files, key: str) -> Ground:
    private.lay_out(files)
    try:
        brief = palette.read_brief(private.path / BRIEF)
        many = len(brief.panel.sections)
        if many > MOST_SECTIONS:
            what = f"it has {many:,} sections, and the page shows at most {MOST_SECTIONS:,}"
            raise InputError("The wall", what, "join sections in the drawing, or use the commands")
        return Ground(key=key, brief=brief, survey=palette.survey_brief(brief))
    except InputError as fault:
        raise _plainly(fault, f"{private.path}/") from None


def _plainly(fault: InputError, prefix: str) -> InputError:
    faults = [InputError(*(part.replace(prefix, "") for part in (each.where, each.what, each.mend)))
              for each in fault.each()]  # fmt: skip
    try:
        InputError.gather(faults)
    except InputError as plain:
        return plain
    return fault


def complete(ground: Ground, paint_of: Mapping[str, str]) -> bool:
    """Return whether every section has a paint of the shelf."""
    paints = {paint.id for paint in ground.survey.paints}
    return all(paint_of.get(section) in paints for section in ground.survey.panel.ids)


def verdict_of(ground: Ground, paint_of: Mapping[str, str]) -> palette.Verdict | None:
    """Return the judgement of a scheme, or None while sections are without paint."""
    if not complete(ground, paint_of):
        return None
    scheme = palette.Scheme(paint_of={section: paint_of[section] for section in ground.survey.panel.ids})
    return palette.check_scheme(ground.survey, ground.brief.rules, scheme)
