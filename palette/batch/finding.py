"""From what was named on the command line to jobs: files, folders, patterns, lists of photos."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from palette.batch.brief_job import BriefJob
from palette.batch.mark import MARK, SUMMARY
from palette.batch.photo_job import PhotoJob
from palette.batch.photo_list import read_photo_list
from palette.choosing import AssignOptions
from palette.errors import InputError
from palette.inspection import PhotoRequest
from palette.reading import find_files, read_toml
from palette.references import file_name

__all__ = ["list_briefs", "list_layouts", "list_photos", "name_folders"]

_PHOTO_SUFFIXES = (".jpg", ".jpeg", ".png", ".heic", ".heif")
_DRAWING, _TABLES = ".svg", ".toml"


def list_briefs(named: Sequence[Path], *, options: AssignOptions | None = None) -> tuple[BriefJob, ...]:
    """Return a job for each brief: those named, and those in the folders named.

    Parameters
    ----------
    named : sequence of Path
    options : AssignOptions or None

    Returns
    -------
    tuple of BriefJob

    Raises
    ------
    InputError
        There is no brief in one of the folders.
    """
    found = _gather(named, suffixes=(_TABLES,), wanted=_is_brief, noun="brief")
    chosen = options or AssignOptions()
    ids = name_folders(found)
    return tuple(
        BriefJob(id=own, brief=brief, options=chosen) for own, brief in zip(ids, found, strict=True)
    )


def list_layouts(
    named: Sequence[Path], brief: Path, *, options: AssignOptions | None = None
) -> tuple[BriefJob, ...]:
    """Return a job for each layout, by the paints, lights, rules and aims of one brief.

    In folders, drawings and tape measurements are found; label images must be named.

    Parameters
    ----------
    named : sequence of Path
    brief : Path
    options : AssignOptions or None

    Returns
    -------
    tuple of BriefJob

    Raises
    ------
    InputError
        The brief is no TOML, or there is no layout in one of the folders.
    """
    read_toml(brief)
    found = _gather(named, suffixes=(_DRAWING, _TABLES), wanted=_is_layout, noun="layout")
    chosen = options or AssignOptions()
    ids = name_folders(found)
    return tuple(
        BriefJob(id=own, brief=brief, layout=layout, options=chosen)
        for own, layout in zip(ids, found, strict=True)
    )


def list_photos(named: Sequence[Path], *, known: PhotoRequest) -> tuple[PhotoJob, ...]:
    """Return a job for each photo: those named, those in folders, and those of lists (TOML).

    What is `known` holds for all of them, where a list says nothing else.

    Parameters
    ----------
    named : sequence of Path
    known : PhotoRequest
        What holds for all of them, where a list says nothing else.

    Returns
    -------
    tuple of PhotoJob

    Raises
    ------
    InputError
        A list has faults, or there is no photo in one of the folders.
    """
    requests: list[tuple[str, PhotoRequest]] = []
    for path in _gather(named, suffixes=_PHOTO_SUFFIXES, wanted=lambda _: True, noun="photo"):
        if path.suffix.lower() == _TABLES:
            requests += read_photo_list(path, known=known)
        else:
            requests.append(("", replace(known, photo=path)))
    ids = name_folders(
        [Path(file_name(name, otherwise="wall")) if name else one.photo for name, one in requests]
    )
    return tuple(
        PhotoJob(id=own, name=name, request=one) for own, (name, one) in zip(ids, requests, strict=True)
    )


def name_folders(paths: Sequence[Path]) -> list[str]:
    """Return a folder name for each file: its own, with its folder's before it where two are alike.

    A brief called brief.toml is named after its folder.
    """
    levels = [
        [
            file_name(path.resolve().parent.name if path.stem == "brief" else path.stem, otherwise="wall")
            for path in paths
        ],
        [file_name(f"{path.resolve().parent.name}-{path.stem}", otherwise="wall") for path in paths],
        [file_name(f"{path.resolve().parent.name}-{path.name}", otherwise="wall") for path in paths],
    ]
    names = [""] * len(paths)
    taken: set[str] = set()
    for level in levels:
        folded = [name.casefold() for name in level]
        for place, name in enumerate(level):
            if not names[place] and folded.count(folded[place]) == 1 and folded[place] not in taken:
                names[place] = name
        taken = {name.casefold() for name in names if name}
    for place in range(len(names)):
        number = 2
        while not names[place]:
            own = f"{levels[0][place]}-{number}"
            names[place] = own if own.casefold() not in taken else ""
            taken.add(own.casefold())
            number += 1
    return names


def _gather(
    named: Sequence[Path], *, suffixes: Sequence[str], wanted: Callable[[Path], bool], noun: str
) -> list[Path]:
    """Return the files named, those of folders where they are wanted, each once, in that order."""
    if not named:
        raise InputError("batch", f"no {noun} is named", f"name {noun}s, or a folder that holds some")
    found: dict[Path, Path] = {}
    for path in named:
        some, what = [path], f"there is no {noun} in it"
        if path.is_dir():
            # Folders of earlier answers hold layouts and pictures too, but nothing to begin with.
            some = [each for each in find_files(path, suffixes, beside=(MARK, SUMMARY)) if wanted(each)]
        elif any(mark in path.name for mark in "*?[") and not path.exists():
            # Some shells leave patterns to the program.
            some, what = sorted(path.parent.glob(path.name)), "no file is called so"
        if not some:
            raise InputError(str(path), what, f"name {noun}s, or a folder that holds some")
        for each in some:
            found.setdefault(each.resolve(), each)
    return list(found.values())


def _is_brief(path: Path) -> bool:
    """Return whether a TOML file looks like a brief; one that cannot be read may be one."""
    try:
        document = read_toml(path)
    except InputError:
        return True
    named = "panel" in document or "panels" in document
    return named or (
        ("paint" in document or "paints" in document) and ("rule" in document or "rules" in document)
    )


def _is_layout(path: Path) -> bool:
    if path.suffix.lower() == _DRAWING:
        return True
    try:
        return "section" in read_toml(path)
    except InputError:
        return True
