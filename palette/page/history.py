"""Undo and redo: every state of the project since the page was opened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

__all__ = ["MOST_BYTES", "Files", "History", "Moment"]

MOST_BYTES = 512 * 2**20
"""What the past may weigh: a hundred thousand recolourings, or some ten large photos."""

Files = Mapping[str, bytes]
"""A project as its files: name in the project folder to content."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """The project after one action; `deed` says in a few words what was done."""

    deed: str
    files: Files


@dataclass(slots=True)
class History:
    """The moments of a sitting, and which of them is now.

    Contents that did not change are shared between moments, so a moment costs what it changed. The
    oldest are dropped when all together weigh more than `most_bytes`.
    """

    moments: list[Moment] = field(default_factory=list)
    place: int = -1
    most_bytes: int = MOST_BYTES
    _weights: list[int] = field(default_factory=list)

    @property
    def now(self) -> Moment:
        """The moment the project is in."""
        return self.moments[self.place]

    @property
    def undoable(self) -> str | None:
        """What would be undone, or None at the beginning."""
        return self.now.deed if self.place > 0 else None

    @property
    def redoable(self) -> str | None:
        """What would be done again, or None at the end."""
        return self.moments[self.place + 1].deed if self.place + 1 < len(self.moments) else None

    def record(self, deed: str, files: Files) -> Moment:
        """Go on from now; what had been undone is dropped."""
        before = self.now.files if self.moments else {}
        moment = Moment(deed=deed, files=MappingProxyType(dict(files)))
        del self.moments[self.place + 1 :], self._weights[self.place + 1 :]
        self.moments.append(moment)
        self._weights.append(sum(len(each) for name, each in files.items() if before.get(name) is not each))
        while sum(self._weights) > self.most_bytes and len(self.moments) > 1:
            del self.moments[0], self._weights[0]
        self.place = len(self.moments) - 1
        return moment

    def state(self) -> tuple[list[Moment], list[int], int]:
        """Return what `restore` needs to come back to this very history."""
        return list(self.moments), list(self._weights), self.place

    def restore(self, state: tuple[list[Moment], list[int], int]) -> None:
        """Be as the history was when `state` was asked for."""
        self.moments, self._weights, self.place = state

    def undo(self) -> Moment:
        """Go one moment back, or stay at the beginning."""
        self.place = max(0, self.place - 1)
        return self.now

    def redo(self) -> Moment:
        """Go one moment on, or stay at the end."""
        self.place = min(len(self.moments) - 1, self.place + 1)
        return self.now
