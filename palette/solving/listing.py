"""All schemes there are, one after the other."""

from __future__ import annotations

from palette.solving.formula import Ints
from palette.solving.limits import Undecided
from palette.solving.standing import Standing

__all__ = ["list_schemes"]


def list_schemes(standing: Standing, most: int) -> tuple[list[Ints], bool]:
    """Return up to so many schemes that keep all rules and promises, and whether that is all.

    Schemes already listed are ruled out under a switch, so that nothing stays behind.
    """
    formula = standing.formula
    found: list[Ints] = []
    switch = int(formula.new_variables(1)[0])
    rows = range(formula.paint.shape[0])
    try:
        while len(found) < most:
            scheme = standing.engine.find([-switch])
            if scheme is None:
                return found, True
            found.append(scheme)
            formula.add_clause([switch, *(-formula.paint[rows, scheme]).tolist()])
    except Undecided:
        return found, False
    finally:
        formula.add_clause([switch])
    return found, False
