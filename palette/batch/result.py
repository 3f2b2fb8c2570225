"""What became of one job, as a plain value: a row of the summary, and what its folder's mark remembers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal

__all__ = ["JobResult", "Shown", "State", "Weakest"]

State = Literal["good", "broken", "no-scheme", "wrong-input", "failed"]
"""``broken``: a photographed panel clashes or breaks a rule; ``no-scheme``: the rules collide;
``wrong-input``: a file or an option cannot be used; ``failed``: the job was cut short."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weakest:
    """The two neighbours that look most alike.

    `difference` is CIEDE2000 under `light`; `bound` is what no scheme can beat and `proven` says
    that the scheme reaches it, both None where nothing was searched for, as on a photo.
    """

    a: str
    b: str
    light: str
    difference: float
    bound: float | None = None
    proven: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A picture for the contact sheet.

    `file` lies in the job's folder; `aspect` is height over width of the part that is shown, from
    the picture's top, or None for all of it.
    """

    file: str
    aspect: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobResult:
    """What became of one job.

    Parameters
    ----------
    id : str
        The name of its folder.
    kind : {"assign", "photo"}
    name : str
        The wall's name.
    source : str
        The file the job began with, as it was named.
    state : State
    sections : int or None
        None where none could be read, as for the other counts.
    paints : tuple of str
        Those in use, in the order of the shelf.
    weakest : Weakest or None
    rules_kept, rules_broken : int or None
        How many rules hold, and how many do not, preferences among them.
    clashes : int or None
        Pairs of neighbours that look alike.
    seconds : float
        Time the job took when it was done.
    sentence : str
        What is wrong; empty where nothing is.
    notes : tuple of str
        What is in doubt, or would help.
    files : tuple of str
        What was written into its folder.
    pictures : tuple of Shown
    """

    id: str
    kind: Literal["assign", "photo"]
    name: str
    source: str
    state: State
    sections: int | None = None
    paints: tuple[str, ...] = ()
    weakest: Weakest | None = None
    rules_kept: int | None = None
    rules_broken: int | None = None
    clashes: int | None = None
    seconds: float = 0.0
    sentence: str = ""
    notes: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    pictures: tuple[Shown, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the result as JSON values (``job`` in `summary.schema.json`)."""
        document = asdict(self)
        for key in ("paints", "notes", "files", "pictures"):
            document[key] = list(document[key])
        return document

    @classmethod
    def from_dict(cls, document: Mapping[str, Any]) -> JobResult:
        """Return the result of a document made by `to_dict`.

        Raises
        ------
        TypeError
            It has other keys.
        """
        told = dict(document)
        for key in ("paints", "notes", "files"):
            told[key] = tuple(told[key])
        told["pictures"] = tuple(Shown(**shown) for shown in told["pictures"])
        told["weakest"] = told["weakest"] and Weakest(**told["weakest"])
        return cls(**told)
