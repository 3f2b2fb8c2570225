"""The one place that talks to the SAT library."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from types import TracebackType

import numpy as np
from numpy.typing import NDArray

from palette.solving.formula import Formula

__all__ = ["Engine", "engine_name"]

_SOLVER = "cadical195"
# CaDiCaL answered all incremental questions on panels within a few per cent of the best of ten
# solvers tried, and refutes the hard published graphs (queens) an order sooner.


class Engine:
    """An incremental SAT solver over a formula that may still grow."""

    def __init__(self, formula: Formula) -> None:
        from pysat.solvers import Solver

        self._formula = formula
        self._solver = Solver(name=_SOLVER, bootstrap_with=formula.take_clauses())

    def __enter__(self) -> Engine:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._solver.delete()

    def find(self, assumptions: Iterable[int] = ()) -> NDArray[np.int64] | None:
        """Return the paint number of every section, shape (S,), or None when there is none."""
        fresh = self._formula.take_clauses()
        if fresh:
            self._solver.append_formula(fresh)
        if not self._solver.solve(assumptions=[int(literal) for literal in assumptions]):
            return None
        values = np.zeros(self._formula.variables + 1, bool)
        model = np.array(self._solver.get_model(), np.int64)
        values[model[(model > 0) & (model <= self._formula.variables)]] = True
        chosen: NDArray[np.int64] = values[self._formula.paint].argmax(axis=1)
        return chosen

    def core(self) -> Sequence[int]:
        """Return the assumptions that the last "no" used."""
        return [int(literal) for literal in self._solver.get_core() or ()]


def engine_name() -> str:
    """Return the solver and its version, as a proof names it."""
    import pysat

    return f"{_SOLVER} (python-sat {pysat.__version__})"
