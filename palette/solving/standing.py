"""Where the search stands: the best scheme so far, and what was promised to earlier aims."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from palette.progress import OnProgress, Step
from palette.solving.engine import Engine
from palette.solving.formula import Formula, Ints
from palette.solving.limits import Clock, Undecided
from palette.solving.model import Model
from palette.survey import Survey

__all__ = ["Standing"]


@dataclass(slots=True, kw_only=True)
class Standing:
    """The one thing that changes while the aims are met one after the other.

    `best` keeps all rules and promises. `floor` and `apart` are the promises that are about
    pairs of sections alone: least strength at contacts, pairs of sections that must differ.
    `whole_panel` says that some other promise looks at more than two sections at once.
    """

    survey: Survey
    model: Model
    formula: Formula
    engine: Engine
    clock: Clock
    on_progress: OnProgress
    best: Ints
    floor: float = -np.inf
    apart: Ints = field(default_factory=lambda: np.zeros((0, 2), np.int64))
    whole_panel: bool = False
    owed: Callable[[], None] | None = None

    def pay_debt(self) -> None:
        """Write down a promise that was put off because no aim might come after it."""
        if self.owed is not None:
            self.owed()
            self.owed = None

    def tell(self, note: str, done: int = 0, total: int = 0) -> None:
        """Report one step; the callback may raise `Stopped`."""
        self.on_progress(Step(room="solving", done=done, total=total, note=note))

    def ask(self, assumptions: Ints | list[int], *, patience: int | None = None) -> bool | None:
        """Return whether a scheme keeps the assumptions too, and take it as the best; None: no news."""
        try:
            found = self.engine.find(assumptions, patience=patience)
        except Undecided:
            return None
        if found is None:
            return False
        self.best = found
        return True

    def promise(self, literals: Ints | list[int]) -> None:
        """Hold literals true from now on."""
        for literal in np.asarray(literals, np.int64).tolist():
            self.formula.add_clause([literal])
