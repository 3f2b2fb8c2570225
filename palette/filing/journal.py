"""The list of what is to happen to several files, and its carrying out, now or at the next start."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath

from palette.errors import InputError
from palette.filing.parts import is_part, sync_folder, write_part
from palette.filing.turns import take_turn

__all__ = [
    "Move",
    "digest",
    "finish_interrupted",
    "finish_journals",
    "journals_in",
    "place_of",
    "put_in_place",
    "write_journal",
]

_VERSION = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A waiting part takes its file's name; without a part, the file goes.

    Parameters
    ----------
    name : str
        The file, in its folder, with ``/`` between folders.
    part : str
        Name of the part, beside the file; empty where the file goes.
    before : str
        Digest of what stood there; empty where nothing did. Whatever else stands there later was
        written by somebody since, and stays.
    """

    name: str
    part: str
    before: str


def digest(content: bytes | None) -> str:
    """Return a short name for a content; "" for a file that is not there."""
    return "" if content is None else hashlib.blake2b(content, digest_size=16).hexdigest()


def place_of(folder: Path, name: str) -> Path:
    """Return where a file really lies: a symbolic link is followed, not replaced."""
    path = folder / name
    return path.resolve() if path.is_symlink() else path


def write_journal(folder: Path, moves: Sequence[Move], *, over: Path | None = None) -> Path:
    """Let a list of moves reach the disk, in one step, and return it; `over` is the one it replaces."""
    text = json.dumps({"version": _VERSION, "moves": [asdict(move) for move in moves]}, indent=1)
    part = write_part(folder, text.encode())
    journal = over if over is not None else part.with_suffix(".pending")
    try:
        part.replace(journal)
        sync_folder(folder)
    except OSError:
        part.unlink(missing_ok=True)
        if over is None:
            journal.unlink(missing_ok=True)
        raise
    return journal


def put_in_place(folder: Path, move: Move) -> None:
    """Do one move."""
    place = place_of(folder, move.name)
    if not move.part:
        place.unlink(missing_ok=True)
        return
    try:
        (place.parent / move.part).replace(place)
    except FileNotFoundError:
        # Whoever else found the journal has done this already.
        if not place.exists():
            raise


def carry_out(folder: Path, moves: Iterable[Move]) -> None:
    """Do what a list found on the disk says, as far as it is not done and nobody wrote there since.

    Two programs may do this at once, and it may be done again after any interruption.
    """
    for move in moves:
        place = place_of(folder, move.name)
        part = place.parent / move.part if move.part else None
        if part is not None and not part.exists():
            continue
        standing = digest(place.read_bytes()) if place.exists() else ""
        if standing in ("", move.before):
            put_in_place(folder, move)
        elif part is not None:
            part.unlink(missing_ok=True)


def journals_in(folder: Path) -> list[Path]:
    """Return the lists that wait in a folder."""
    return sorted(folder.glob(".palette.*.pending"))


def finish_interrupted(folder: Path) -> None:
    """Finish what a killed program had begun to put in place in a folder.

    Called before files that belong together are read; where nothing waits, it is one look.

    Parameters
    ----------
    folder : Path

    Raises
    ------
    InputError
        It cannot be finished: the folder is read-only, or the disk fails.
    """
    if journals_in(folder):
        with take_turn(folder):
            finish_journals(folder)


def finish_journals(folder: Path) -> None:
    """As `finish_interrupted`, for whoever has the turn already."""
    for journal in journals_in(folder):
        moves = _read(folder, journal)
        if moves is None:
            continue
        try:
            carry_out(folder, moves)
            for parent in sorted({place_of(folder, move.name).parent for move in moves}):
                sync_folder(parent)
            journal.unlink(missing_ok=True)
        except OSError as fault:
            what = f"a write that was interrupted there cannot be finished ({fault.strerror})"
            mend = "check that you may write in the folder and that the disk is not full"
            raise InputError(str(folder), what, mend) from None


def _read(folder: Path, journal: Path) -> list[Move] | None:
    """Return the moves of a list; None if it is not ours, or names anything outside its folder."""
    try:
        document = json.loads(journal.read_bytes())
        if document["version"] != _VERSION:
            return None
        rows = document["moves"]
        moves = [Move(**{key: str(row[key]) for key in ("name", "part", "before")}) for row in rows]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    home = folder.resolve()
    for move in moves:
        inside = (folder / move.name).parent.resolve().is_relative_to(home)
        plain = ".." not in PurePosixPath(move.name).parts and (not move.part or is_part(move.part))
        if not (inside and plain):
            return None
    return moves
