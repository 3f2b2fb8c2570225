"""The aim that the two neighbours that look most alike still look as different as can be."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.scheme import Level
from palette.solving.aims import Aim
from palette.solving.formula import Formula, Ints
from palette.solving.halving import climb
from palette.solving.model import Model
from palette.solving.standing import Standing

__all__ = ["strengthen", "switches_of_strengths", "weakest_strength"]


def strengthen(standing: Standing, aim: Aim) -> Level | None:
    """Make the weakest pair as strong as can be, and return how strong.

    A switch for each distinct strength forbids the pairs of paints just below it, so one solver
    answers every threshold and keeps what it has learnt; the threshold is found by halving.
    """
    model, formula = standing.model, standing.formula
    if not len(model.contacts):
        return None
    strengths, switches = switches_of_strengths(formula)

    def rung_of(scheme: Ints) -> int:
        return int(np.searchsorted(strengths, weakest_strength(model, scheme)))

    def ask(rung: int) -> int | None:
        standing.tell(f"weakest pair at least {strengths[rung]:.1f}")
        answer = standing.ask(switches[: rung + 1], floor=float(strengths[rung]))
        return rung_of(standing.best) if answer else (-1 if answer is False else None)

    reached, beyond = climb(rung_of(standing.best), len(strengths), ask)
    value = float(strengths[reached])
    kept = int(np.searchsorted(strengths, value - aim.within))
    standing.promise(switches[: kept + 1])
    standing.floor = max(standing.floor, float(strengths[kept]))
    return Level(
        aim=aim.name,
        value=value,
        bound=float(strengths[beyond - 1]),
        unit="CIEDE2000",
        proven=beyond - reached == 1,
    )


def switches_of_strengths(formula: Formula) -> tuple[NDArray[np.float64], Ints]:
    """Return the distinct strengths, and a switch for each that forbids the pairs just below it.

    With the switches up to the k-th on, no contact is weaker than the k-th strength.
    """
    strengths = np.unique(formula.model.strength)
    switches = formula.new_variables(len(strengths))
    _forbid_below(formula, strengths, switches)
    return strengths, switches


def weakest_strength(model: Model, scheme: Ints) -> float:
    """Return the least strength over the contacts."""
    contacts = model.contacts
    return float(model.strength[scheme[contacts[:, 0]], scheme[contacts[:, 1]]].min())


def _forbid_below(formula: Formula, strengths: NDArray[np.float64], switches: Ints) -> None:
    """Let switch k forbid the pairs of paints whose strength is the one before the k-th."""
    model, paint = formula.model, formula.paint
    rank = np.searchsorted(strengths, model.strength)
    rows, columns = np.nonzero(rank < len(strengths) - 1)
    # Pairs of paints the rules forbid at every contact need no second clause.
    keep = _allowed_somewhere(model)[rows, columns]
    rows, columns = rows[keep], columns[keep]
    a, b = model.contacts[:, :1], model.contacts[:, 1:]
    above = switches[rank[rows, columns] + 1][None, :]
    formula.add(-paint[a, rows[None, :]], -paint[b, columns[None, :]], -above)


def _allowed_somewhere(model: Model) -> NDArray[np.bool_]:
    pairs = model.must.tables
    tabled = {(a, b): t for (a, b), t in zip(pairs.pairs.tolist(), pairs.table_of.tolist(), strict=True)}
    used = {tabled.get((min(a, b), max(a, b)), -1) for a, b in model.contacts.tolist()}
    if -1 in used:
        return np.ones_like(model.strength, dtype=bool)
    allowed = np.zeros_like(model.strength, dtype=bool)
    for table in sorted(used):
        allowed |= pairs.tables[table] | pairs.tables[table].T
    return allowed
