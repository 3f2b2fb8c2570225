"""The one place that talks to the SAT library."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from types import TracebackType

import numpy as np

from palette.solving.formula import Formula, Ints, Watched
from palette.solving.limits import Clock, Limits, Undecided

__all__ = ["Engine", "certified_refutation", "engine_name"]

_SOLVER = "cadical195"
# CaDiCaL answered all incremental questions on panels within a few per cent of the best of ten
# solvers tried, and refutes the hard published graphs (queens) an order sooner.

_CUTS = 500
"""Answers cut off one after the other before a question is given up."""

_SLICE = 2000
"""Conflicts between two looks at the clock: some hundredths of a second on a large panel."""


class Engine:
    """An incremental SAT solver over a formula that may still grow."""

    def __init__(self, formula: Formula, clock: Clock | None = None) -> None:
        from pysat.solvers import Solver

        self._formula = formula
        self._clock = clock or Clock(Limits())
        self._solver = Solver(name=_SOLVER, bootstrap_with=formula.take_clauses())

    def __enter__(self) -> Engine:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._solver.delete()

    def prefer(self, scheme: Ints) -> None:
        """Let the search lean toward a scheme."""
        paint = self._formula.paint
        signs = np.where(np.arange(paint.shape[1])[None, :] == scheme[:, None], 1, -1)
        self._solver.set_phases((paint * signs).ravel().tolist())

    def find(self, assumptions: Iterable[int] = (), *, patience: int | None = None) -> Ints | None:
        """Return the paint number of every section, shape (S,), or None when there is none.

        Raises
        ------
        Undecided
            The time or the patience ran out first, or a wide limit could not be met.
        """
        return self._find(assumptions, patience, loosely=-1)

    def find_loosely(self, assumptions: Iterable[int] = (), *, patience: int | None = None) -> Ints | None:
        """Return an answer that need not keep the limits on sums of unequal weights, or None.

        "None" is a proof all the same: with the limits there is no answer either.

        Raises
        ------
        Undecided
            The time or the patience ran out first.
        """
        return self._find(assumptions, patience, loosely=1)

    def _find(self, assumptions: Iterable[int], patience: int | None, *, loosely: int) -> Ints | None:
        assumed = [int(literal) for literal in assumptions]
        if self._formula.loosening is not None:
            assumed.append(loosely * self._formula.loosening)
        for _ in range(_CUTS):
            if not self._answer(assumed, patience or self._clock.limits.patience):
                return None
            true = self._true_variables()
            chosen = self._chosen(true)
            broken = [w for w in self._formula.watched if _is_broken(w, chosen, true)]
            if not broken:
                return chosen
            if any(watched.wide for watched in broken):
                break
            for watched in broken:
                self._formula.add_clause(_cut(self._formula, watched, chosen))
        raise Undecided

    def _chosen(self, true: np.ndarray) -> Ints:
        chosen: Ints = true[self._formula.paint].argmax(axis=1)
        return chosen

    def is_true(self, literal: int) -> bool:
        """Return the value of a variable in the last answer."""
        return bool(self._true[literal])

    def core(self) -> Sequence[int]:
        """Return the assumptions that the last "no" used."""
        return [int(literal) for literal in self._solver.get_core() or ()]

    def _answer(self, assumed: list[int], patience: int) -> bool:
        fresh = self._formula.take_clauses()
        if fresh:
            self._solver.append_formula(fresh)
        for _ in range(0, patience, _SLICE):
            if self._clock.expired:
                break
            self._solver.conf_budget(_SLICE)
            answer = self._solver.solve_limited(assumptions=assumed)
            if answer is not None:
                return bool(answer)
        raise Undecided

    def _true_variables(self) -> np.ndarray:
        values = np.zeros(self._formula.variables + 1, bool)
        model = np.array(self._solver.get_model(), np.int64)
        values[model[(model > 0) & (model <= self._formula.variables)]] = True
        self._true = values
        return values


def _is_broken(watched: Watched, chosen: Ints, true: np.ndarray) -> bool:
    if watched.spare is not None and true[watched.spare]:
        return False
    return watched.limit.amount(chosen) > watched.limit.cap


def _cut(formula: Formula, watched: Watched, chosen: Ints) -> list[int]:
    """Return a clause that this scheme breaks and every scheme within the limit keeps.

    It is a cover: the fewest of the weights that already pass the cap cannot all stand again.
    """
    limit, cap = watched.limit, watched.limit.cap
    has = chosen[limit.sections] == limit.paints
    counted = has if limit.holds else ~has
    literals = formula.paint[limit.sections, limit.paints][counted]
    columns, weights = [literals if limit.holds else -literals], [limit.weight[counted]]
    for (a, b, table), (steps, growth) in zip(limit.pairs, watched.steps, strict=True):
        reached = int(np.searchsorted(np.unique(table), table[chosen[a], chosen[b]]))
        columns.append(steps[:reached])
        weights.append(growth[:reached])
        cap -= int(table.min())
    literals, weight = np.concatenate(columns), np.concatenate(weights)
    heaviest = np.argsort(-weight, kind="stable")
    enough = int(np.searchsorted(np.cumsum(weight[heaviest]), cap, side="right")) + 1
    cover = (-literals[heaviest[:enough]]).tolist()
    return cover if watched.spare is None else [*cover, watched.spare]


def engine_name() -> str:
    """Return the solver and its version, as a proof names it."""
    import pysat

    return f"{_SOLVER} (python-sat {pysat.__version__})"


def certified_refutation(formula: Formula) -> tuple[list[list[int]], list[list[int]], str | None]:
    """Return the clauses, the cuts added to them, and their refutation in DRAT; None if there is none.

    Solved anew without assumptions, so that the refutation stands by itself.
    """
    from pysat.solvers import Solver

    clauses = formula.take_clauses()
    cuts: list[list[int]] = []
    while True:
        # A proof is of one formula: with each cut the solver starts afresh.
        with Solver(name=_SOLVER, bootstrap_with=[*clauses, *cuts], with_proof=True) as solver:
            if not solver.solve():
                lines = [line for line in solver.get_proof() if line.strip()]
                return clauses, cuts, "\n".join(lines) + "\n"
            true = np.zeros(formula.variables + 1, bool)
            model = np.array(solver.get_model(), np.int64)
            true[model[(model > 0) & (model <= formula.variables)]] = True
        chosen: Ints = true[formula.paint].argmax(axis=1)
        broken = [watched for watched in formula.watched if _is_broken(watched, chosen, true)]
        if not broken:
            return clauses, cuts, None
        cuts += [_cut(formula, watched, chosen) for watched in broken]
