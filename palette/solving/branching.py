"""Branch and bound, led by the exact answer of the pairs alone."""

from __future__ import annotations

import numpy as np

from palette.solving.elimination import Elimination, Gains, TooWide, eliminate
from palette.solving.formula import Ints
from palette.solving.limits import Undecided
from palette.solving.standing import Standing

__all__ = ["best_by_regret"]

_CELLS = 3_000_000
"""Greatest table kept for the bound: 24 MB."""

_NODES = 4_000
"""Questions to the solver before the search is broken off: a few seconds."""


def best_by_regret(
    standing: Standing, allowed: list[Ints], gains: dict[tuple[int, int], Gains], bound: float
) -> tuple[float, bool]:
    """Improve the contrast of the best scheme; return an upper bound and whether it is reached.

    Walking the elimination backwards, each choice has a regret: how much less than the best the
    pairs alone can still give after it. The sum of regrets is exact at a leaf, so a branch dies
    once it passes what the best scheme lacks; a branch no scheme can follow dies at the solver.
    """
    try:
        done = eliminate(allowed, gains, most_cells=_CELLS)
    except TooWide:
        return bound, False
    search = _Search(standing, done, gains)
    try:
        search.descend(0, 0.0, {}, [])
    except Undecided:
        return min(bound, done.best), False
    return search.value, True


class _Search:
    def __init__(self, standing: Standing, done: Elimination, gains: dict[tuple[int, int], Gains]) -> None:
        self._standing = standing
        self._done = done
        self._walk = tuple(reversed(done.order))
        self._nodes = 0
        best = standing.best
        self.value = sum(float(gain[best[a], best[b]]) for (a, b), gain in gains.items())

    def descend(self, depth: int, regret: float, chosen: dict[int, int], assumed: list[int]) -> None:
        """Try all choices of the next section, least regret first."""
        done = self._done
        if depth == len(self._walk):
            return
        section = self._walk[depth]
        table = done.joined[section][tuple(chosen[other] for other in done.partners[section])]
        lost = float(np.max(table)) - np.asarray(table, float)
        for choice in np.argsort(lost, kind="stable").tolist():
            total = regret + float(lost[choice])
            # A gain below a millionth of the whole is rounding, not contrast.
            if not done.best - total > self.value + 1e-9 * abs(done.best):
                break
            literal = int(self._standing.formula.paint[section, done.allowed[section][choice]])
            path = [*assumed, literal]
            if self._possible(path):
                self.descend(depth + 1, total, {**chosen, section: choice}, path)

    def _possible(self, path: list[int]) -> bool:
        self._nodes += 1
        if self._nodes > _NODES or self._standing.clock.expired:
            raise Undecided
        if self._nodes % 100 == 0:
            self._standing.tell("contrast, by branching")
        found = self._standing.engine.find(path)
        if found is None:
            return False
        self._take(found)
        return True

    def _take(self, scheme: Ints) -> None:
        """Keep a scheme the solver happened on, when it is better."""
        from palette.solving.contrast import contrast_of

        value = contrast_of(self._standing.model, scheme)
        if value > self.value:
            self.value = value
            self._standing.best = scheme
