"""The aim that the two neighbours that look most alike still look as different as can be."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.progress import OnProgress, Step
from palette.scheme import Level
from palette.solving.engine import Engine
from palette.solving.formula import Formula

__all__ = ["AIM", "strengthen"]

AIM = "weakest-pair"


def strengthen(
    formula: Formula, engine: Engine, start: NDArray[np.int64], on_progress: OnProgress
) -> tuple[NDArray[np.int64], Level | None]:
    """Return the scheme with the strongest weakest pair, and the level that says so.

    A switch for each distinct strength forbids the pairs of paints just below it, so one solver
    answers every threshold and keeps what it has learnt; the threshold is found by halving.
    """
    model = formula.model
    if not len(model.contacts):
        return start, None
    strengths = np.unique(model.strength)
    switches = formula.new_variables(len(strengths))
    _forbid_below(formula, strengths, switches)
    best = start
    reached = int(np.searchsorted(strengths, _weakest(formula, best)))
    beyond = len(strengths)
    while beyond - reached > 1:
        note = f"weakest pair {strengths[reached]:.1f}"
        on_progress(Step(room="solving", done=reached, total=beyond - 1, note=note))
        middle = (reached + beyond) // 2
        found = engine.find(switches[: middle + 1])
        if found is None:
            beyond = middle
        else:
            best = found
            reached = int(np.searchsorted(strengths, _weakest(formula, best)))
    value = float(strengths[reached])
    return best, Level(aim=AIM, value=value, bound=value, unit="CIEDE2000", proven=True)


def _forbid_below(formula: Formula, strengths: NDArray[np.float64], switches: NDArray[np.int64]) -> None:
    """Let switch k forbid the pairs of paints whose strength is the one before the k-th."""
    model, paint = formula.model, formula.paint
    rank = np.searchsorted(strengths, model.strength)
    rows, columns = np.nonzero(rank < len(strengths) - 1)
    # Pairs of paints the rules forbid at every contact need no second clause.
    rows, columns = _still_allowed(formula, rows, columns)
    a, b = model.contacts[:, :1], model.contacts[:, 1:]
    above = switches[rank[rows, columns] + 1][None, :]
    formula.add(-paint[a, rows[None, :]], -paint[b, columns[None, :]], -above)


def _still_allowed(
    formula: Formula, rows: NDArray[np.intp], columns: NDArray[np.intp]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    model = formula.model
    pairs = model.must.tables
    tabled = {(int(a), int(b)): int(t) for (a, b), t in zip(pairs.pairs, pairs.table_of, strict=True)}
    used = {tabled.get((min(a, b), max(a, b))) for a, b in model.contacts.tolist()}
    if None in used:
        return rows, columns
    allowed = np.zeros_like(model.strength, dtype=bool)
    for table in sorted(t for t in used if t is not None):
        allowed |= pairs.tables[table] | pairs.tables[table].T
    keep = allowed[rows, columns]
    return rows[keep], columns[keep]


def _weakest(formula: Formula, scheme: NDArray[np.int64]) -> float:
    contacts = formula.model.contacts
    return float(formula.model.strength[scheme[contacts[:, 0]], scheme[contacts[:, 1]]].min())
