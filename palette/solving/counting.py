"""Sums of weights held below a cap, as clauses."""

from __future__ import annotations

import math

import numpy as np

from palette.solving.formula import Formula, Ints

__all__ = ["cap_sum", "count_up"]

_ROOM = 40_000
_FINEST = 20
"""Most sum variables spent on one limit, and most units its cap is cut into where it is not exact."""


def cap_sum(formula: Formula, literals: Ints, weight: Ints, cap: int, spare: int | None = None) -> bool:
    """Forbid the true literals to weigh more than the cap; return whether the clauses are exact.

    Where the weights are too fine for the room there is, they are rounded down to coarser units:
    the clauses then forbid nothing that is allowed, but may allow a little too much.
    """
    keep = weight > 0
    literals, weight = literals[keep], weight[keep]
    lift = [] if spare is None else [spare]
    if cap < 0:
        formula.add_clause(lift)
        return True
    if int(weight.sum()) <= cap:
        return True
    for literal in literals[weight > cap].tolist():
        formula.add_clause([-literal, *lift])
    literals, weight = literals[weight <= cap], weight[weight <= cap]
    if not len(weight) or int(weight.sum()) <= cap:
        return True
    unit = math.gcd(*weight.tolist())
    weight, cap = weight // unit, cap // unit
    room = min(_FINEST, max(16, _ROOM // len(weight)))
    exact = cap <= room
    if not exact:
        if (weight == 1).all():
            return _cap_count(formula, literals, cap, lift)
        weight, cap = weight * room // cap, room
        literals, weight = literals[weight > 0], weight[weight > 0]
    if len(weight) and int(weight.sum()) > cap:
        _chain(formula, literals, weight, cap, lift)
    return exact


def _cap_count(formula: Formula, literals: Ints, cap: int, lift: list[int]) -> bool:
    from pysat.card import CardEnc, EncType

    encoded = CardEnc.atmost(
        literals.tolist(), bound=cap, top_id=formula.variables, encoding=EncType.cardnetwrk
    )
    formula.variables = max(formula.variables, encoded.nv)
    for clause in encoded.clauses:
        formula.add_clause([*clause, *lift])
    return True


def _chain(formula: Formula, literals: Ints, weight: Ints, cap: int, lift: list[int]) -> None:
    sums = _running_sums(formula, literals, weight, cap)
    for k in range(1, len(literals)):
        # With this one the sum passes the cap once the ones before weigh more than cap - weight.
        formula.add_clause([-int(literals[k]), -int(sums[k - 1, cap - weight[k]]), *lift])


def _running_sums(formula: Formula, literals: Ints, weight: Ints, most: int) -> Ints:
    """Return variables, shape (n, most): ``[k, j]`` is true when the first k + 1 weigh over j."""
    sums = formula.new_variables(len(literals), most)
    if most > 1:
        formula.add(-sums[:, 1:], sums[:, :-1])
    if len(literals) > 1:
        formula.add(-sums[:-1], sums[1:])
    for k, (literal, heavy) in enumerate(zip(literals.tolist(), weight.tolist(), strict=True)):
        formula.add_clause([-literal, int(sums[k, min(heavy, most) - 1])])
        if k and heavy < most:
            formula.add(-literal, -sums[k - 1, : most - heavy], sums[k, heavy:])
    return sums


def count_up(formula: Formula, literals: Ints, most: int) -> Ints:
    """Return variables, shape (most,): the j-th is true when more than j of the literals are."""
    if not len(literals):
        return formula.new_variables(0)
    most = min(most, len(literals))
    last: Ints = _running_sums(formula, literals, np.ones(len(literals), np.int64), most)[-1]
    return last
