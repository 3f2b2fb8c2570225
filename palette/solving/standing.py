"""Where the search stands: the best scheme so far, and what was promised to earlier aims."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from palette.progress import OnProgress, Step
from palette.solving.elimination import Gains
from palette.solving.engine import Engine
from palette.solving.fitting import fit_limits
from palette.solving.formula import Formula, Ints
from palette.solving.limits import Clock, Undecided
from palette.solving.model import Limit, Model
from palette.solving.steps import forbidden_literals, roomy_masks
from palette.survey import Survey

__all__ = ["Standing"]


_STRIPES = 500
"""Groups that may not be alike, beyond which looking at each takes too long."""

_ADDED_UP = 45
"""Sections up to which sums are left to the solver."""

_STEPS_TRIED = 5
_STEPPED = 5_000
"""Ways to set the steps of a slope that are tried, and conflicts over each."""


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
    _roomy: list[np.ndarray] | None = None

    def pay_debt(self) -> None:
        """Write down a promise that was put off because no aim might come after it."""
        if self.owed is not None:
            self.owed()
            self.owed = None

    def tell(self, note: str, done: int = 0, total: int = 0) -> None:
        """Report one step; the callback may raise `Stopped`."""
        self.on_progress(Step(room="solving", done=done, total=total, note=note))

    def ask(
        self,
        assumptions: Ints | list[int],
        *,
        patience: int | None = None,
        floor: float | None = None,
        apart: Ints | None = None,
    ) -> bool | None:
        """Return whether a scheme keeps the assumptions too, and take it as the best; None: no news.

        `floor` and `apart` say of assumptions about pairs what they mean, so that limits on sums
        can be met by prices where the solver would be slow to add up.
        """
        told = floor is not None or apart is not None or not len(assumptions)
        try:
            if self.formula.loosening is not None:
                found = self.engine.find_loosely(assumptions, patience=patience)
                if found is None:
                    return False
                if not self._over(found):
                    self.best = found
                    return True
                if told and self._mendable and len(found) > _ADDED_UP:
                    mended = self._mend(found, assumptions, self.pair_gains(floor=floor, apart=apart))
                    if mended is not None:
                        self.best = mended
                        return True
            found = self.engine.find(assumptions, patience=patience)
        except Undecided:
            return None
        if found is None:
            return False
        self.best = found
        return True

    def ask_within(self, masks: np.ndarray) -> bool:
        """Take a scheme that keeps all promises within masks of paints, if one is found soon."""
        held = forbidden_literals(self.formula.paint, masks)
        try:
            found = self.engine.find_loosely(held, patience=_STEPPED)
            if found is not None and self._over(found):
                if not self._mendable:
                    return False
                limits = [limit for ends in self.model.must.limits for limit in ends]
                pairs = self.pair_gains()
                found = fit_limits(self.model, limits, pairs, found, self.clock, masks=masks)
        except Undecided:
            return False
        if found is None:
            return False
        self.best = found
        return True

    def _over(self, scheme: Ints) -> bool:
        return any(limit.amount(scheme) > limit.cap for ends in self.model.must.limits for limit in ends)

    def _mend(
        self, scheme: Ints, assumptions: Ints | list[int], pairs: dict[tuple[int, int], Gains]
    ) -> Ints | None:
        """Return a scheme within all limits, from one that keeps everything else; None: no luck."""
        limits = [limit for ends in self.model.must.limits for limit in ends]
        mended = fit_limits(self.model, limits, pairs, scheme, self.clock)
        for masks in [] if mended is not None else self._roomy_masks(limits):
            held = [*assumptions, *forbidden_literals(self.formula.paint, masks)]
            start = self.engine.find_loosely(held, patience=_STEPPED)
            if start is not None:
                mended = fit_limits(self.model, limits, pairs, start, self.clock, masks=masks)
            if mended is not None:
                break
        return mended

    def _roomy_masks(self, limits: list[Limit]) -> list[np.ndarray]:
        if self._roomy is None:
            self._roomy = roomy_masks(self.model, limits, _STEPS_TRIED)
        return self._roomy

    @property
    def _mendable(self) -> bool:
        """True while only pairs, slopes and limits are at stake: what prices can deal with."""
        must = self.model.must
        rough = self.whole_panel or must.clauses or must.varieties or len(must.alike) > _STRIPES
        return not (rough or len(self.formula.misses))

    def pair_gains(
        self, *, floor: float | None = None, apart: Ints | None = None
    ) -> dict[tuple[int, int], Gains]:
        """Return what every pair of sections gains: contrast at contacts, -inf where forbidden.

        `floor` and `apart` stand for promises that are only being tried.
        """
        model = self.model
        gains: dict[tuple[int, int], Gains] = {}
        least = max(self.floor, -np.inf if floor is None else floor)
        strong = np.where(model.strength >= least, model.strength, -np.inf)
        for (a, b), border in zip(model.contacts.tolist(), model.borders.tolist(), strict=True):
            pair = (min(a, b), max(a, b))
            gains[pair] = gains.get(pair, 0.0) + strong * border
        tables = model.must.tables
        for (a, b), table in zip(tables.pairs.tolist(), tables.table_of.tolist(), strict=True):
            gains[a, b] = gains.get((a, b), 0.0) + np.where(tables.tables[table], 0.0, -np.inf)
        different = np.where(np.eye(len(model.strength), dtype=bool), -np.inf, 0.0)
        for a, b in [*self.apart.tolist(), *([] if apart is None else apart.tolist())]:
            gains[a, b] = gains.get((a, b), 0.0) + different
        return gains

    def promise(self, literals: Ints | list[int]) -> None:
        """Hold literals true from now on."""
        for literal in np.asarray(literals, np.int64).tolist():
            self.formula.add_clause([literal])
