"""Branch and bound, led by the exact answer of the pairs alone."""

from __future__ import annotations

import numpy as np

from palette.solving.elimination import Elimination, Gains, TooWide, eliminate
from palette.solving.formula import Ints
from palette.solving.limits import Undecided
from palette.solving.standing import Standing

__all__ = ["best_by_regret", "branch"]

_CELLS = 3_000_000
"""Greatest table kept for the bound: 24 MB."""

_NODES = 2_000
"""Questions to the solver before the search is broken off: a second or two."""


def best_by_regret(
    standing: Standing, allowed: list[Ints], gains: dict[tuple[int, int], Gains], bound: float
) -> tuple[float, bool]:
    """Improve the contrast of the best scheme; return an upper bound and whether it is reached."""
    try:
        done = eliminate(allowed, gains, most_cells=_CELLS)
    except TooWide:
        return bound, False
    every = list(range(len(allowed)))
    finished = branch(standing, done, every, [], offset=0.0, nodes=_NODES)
    if finished:
        return standing.model.contrast(standing.best), True
    return min(bound, done.best), False


def branch(
    standing: Standing,
    done: Elimination,
    numbers: list[int],
    fixed: list[int],
    *,
    offset: float,
    nodes: int,
) -> bool:
    """Improve the best scheme over some sections; return whether it is now the best of all.

    Walking the elimination backwards, each choice has a regret: how much less than the best the
    pairs alone can still give after it. The sum of regrets is exact at a leaf, so a branch dies
    once it passes what the best scheme lacks; a branch no scheme can follow dies at the solver.

    Parameters
    ----------
    numbers : list of int
        The section behind each number of the elimination.
    fixed : list of int
        Literals of all other sections.
    offset : float
        Contrast that does not depend on the sections searched.
    """
    search = _Search(standing, done, numbers, fixed, offset, nodes)
    try:
        search.descend(0, 0.0, {}, [])
    except Undecided:
        return False
    return True


class _Search:
    def __init__(
        self,
        standing: Standing,
        done: Elimination,
        numbers: list[int],
        fixed: list[int],
        offset: float,
        nodes: int,
    ) -> None:
        self._standing = standing
        self._done = done
        self._numbers = numbers
        self._fixed = fixed
        self._ceiling = done.best + offset
        self._walk = tuple(reversed(done.order))
        self._nodes_left = nodes
        self._value = standing.model.contrast(standing.best)

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
            # A gain below a millionth of a millionth of the whole is rounding, not contrast.
            if not self._ceiling - total > self._value + 1e-9 * abs(self._ceiling):
                break
            paint = self._standing.formula.paint[self._numbers[section], done.allowed[section][choice]]
            path = [*assumed, int(paint)]
            if self._possible(path):
                self.descend(depth + 1, total, {**chosen, section: choice}, path)

    def _possible(self, path: list[int]) -> bool:
        self._nodes_left -= 1
        if self._nodes_left < 0 or self._standing.clock.expired:
            raise Undecided
        if self._nodes_left % 100 == 0:
            self._standing.tell("contrast, by branching")
        found = self._standing.engine.find([*self._fixed, *path], patience=2000)
        if found is None:
            return False
        self._take(found)
        return True

    def _take(self, scheme: Ints) -> None:
        """Keep a scheme the solver happened on, when it is better."""
        value = self._standing.model.contrast(scheme)
        if value > self._value:
            self._value = value
            self._standing.best = scheme
