"""Writing files: one, several that belong together, a folder of them."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Mapping
from pathlib import Path

from palette.errors import InputError
from palette.filing.journal import (
    Move,
    digest,
    finish_journals,
    journals_in,
    place_of,
    put_in_place,
    write_journal,
)
from palette.filing.parts import clear_leftovers, sync_folder, write_part
from palette.filing.turns import take_turn

__all__ = ["make_folder", "write_atomically", "write_folder", "write_together"]


def make_folder(path: Path) -> Path:
    """Make a folder, with its parents, if it is not there; return it.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Path

    Raises
    ------
    InputError
        Something else has that name, or the disk refuses.
    """
    new = [each for each in (path, *path.parents) if not each.exists()]
    try:
        path.mkdir(parents=True, exist_ok=True)
        for each in reversed(new):
            sync_folder(each.parent)
    except OSError as fault:
        what = f"the folder cannot be made ({fault.strerror})"
        raise InputError(str(path), what, "name another folder") from None
    return path


def write_atomically(path: Path, data: bytes) -> Path:
    """Write a file so that a reader sees the old one or the new one, never half of it.

    A symbolic link is followed, not replaced.

    Parameters
    ----------
    path : Path
    data : bytes

    Returns
    -------
    Path

    Raises
    ------
    InputError
        The folder is missing or read-only, or the disk is full; the old file stands.
    """
    return write_together(path.parent, {path.name: data})[0]


def write_together(folder: Path, files: Mapping[str, bytes], *, gone: Iterable[str] = ()) -> list[Path]:
    """Write several files that belong together, and take others away: all of it happens, or nothing.

    That holds when the program is killed or the power fails at any moment; what was interrupted is
    finished by whoever writes in the folder next, or reads a brief or a scheme there.

    Parameters
    ----------
    folder : Path
    files : mapping
        Name in the folder to content. Folders in names, written with ``/``, must exist.
    gone : iterable of str
        Names of files to take away, if they are there.

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        As for `write_atomically`; the old files stand.
    """
    with take_turn(folder) as alone:
        finish_journals(folder)
        clear_leftovers(folder, alone=alone)
        _Writing(folder).write(files, tuple(gone))
    return [folder / name for name in files]


def write_folder(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Write files into a folder, made if it is not there: all of them appear, or none.

    Parameters
    ----------
    folder : Path
    files : mapping of str to bytes
        Name in the folder to content.

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; folders made for this are taken away again.
    """
    new = [each for each in (folder, *folder.parents) if not each.exists()]
    try:
        make_folder(folder)
        return write_together(folder, files)
    except InputError:
        for each in new:
            with contextlib.suppress(OSError):
                each.rmdir()
        raise


class _Writing:
    """One set of files on its way: what waits, and what stood there before."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._before: dict[str, bytes | None] = {}
        self._moves: list[Move] = []
        self._at = folder

    def write(self, files: Mapping[str, bytes], gone: tuple[str, ...]) -> None:
        """Do it; the parts are gone afterwards, unless a journal that could not be undone names them."""
        try:
            self._prepare(files, gone)
            if len(self._moves) == 1:
                # One name changes in one step: nothing to keep a list of.
                self._put(self._moves[0])
                self._sync_names()
            elif self._moves:
                self._put_all()
        except OSError as fault:
            what = f"the file cannot be written ({fault.strerror})"
            mend = "check that the folder exists, that you may write in it and that the disk is not full"
            raise InputError(str(self._at), what, mend) from None
        finally:
            if not journals_in(self._folder):
                self._drop_parts()

    def _prepare(self, files: Mapping[str, bytes], gone: tuple[str, ...]) -> None:
        several = len(files) + len(gone) > 1
        for name in (*files, *gone):
            self._at = self._folder / name
            place = place_of(self._folder, name)
            before = place.read_bytes() if several and place.exists() else None
            self._before[name] = before
            if name in files:
                part = write_part(place.parent, files[name]).name
                self._moves.append(Move(name=name, part=part, before=digest(before)))
            elif place.exists():
                self._moves.append(Move(name=name, part="", before=digest(before)))

    def _put_all(self) -> None:
        self._at = self._folder
        self._sync_names()
        journal = write_journal(self._folder, self._moves)
        try:
            for move in self._moves:
                self._put(move)
        except OSError:
            # If even this is refused, the journal stays, and whoever comes next finishes what it says.
            with contextlib.suppress(OSError):
                self._put_back(journal)
            raise
        self._at = self._folder
        self._sync_names()
        # All is done; a journal that will not go says so again, which does no harm.
        with contextlib.suppress(OSError):
            journal.unlink(missing_ok=True)

    def _put(self, move: Move) -> None:
        self._at = self._folder / move.name
        put_in_place(self._folder, move)

    def _put_back(self, journal: Path) -> None:
        """Restore what stood there, as a set of files of its own under the same journal."""
        back = []
        for name, before in self._before.items():
            place = place_of(self._folder, name)
            standing = place.read_bytes() if place.exists() else None
            if standing != before:
                part = "" if before is None else write_part(place.parent, before).name
                back.append(Move(name=name, part=part, before=digest(standing)))
        self._sync_names()
        write_journal(self._folder, back, over=journal)
        for move in back:
            put_in_place(self._folder, move)
        self._sync_names()
        journal.unlink(missing_ok=True)

    def _sync_names(self) -> None:
        for parent in sorted({place_of(self._folder, move.name).parent for move in self._moves}):
            sync_folder(parent)

    def _drop_parts(self) -> None:
        for move in self._moves:
            if move.part:
                with contextlib.suppress(OSError):
                    (place_of(self._folder, move.name).parent / move.part).unlink(missing_ok=True)
