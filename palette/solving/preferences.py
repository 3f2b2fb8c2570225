"""The aim that preferred rules are broken in as few places as can be."""

from __future__ import annotations

from palette.scheme import Level
from palette.solving.aims import Aim
from palette.solving.counting import count_up
from palette.solving.halving import climb
from palette.solving.standing import Standing

__all__ = ["meet_preferences"]


def meet_preferences(standing: Standing, aim: Aim) -> Level | None:
    """Break preferred rules as seldom as can be, and return in how many places they are broken."""
    formula, misses = standing.formula, standing.formula.misses
    if not len(misses):
        return None
    standing.whole_panel = True
    most = sum(standing.engine.is_true(int(literal)) for literal in misses)
    counter = count_up(formula, misses, most + int(aim.within) + 1)

    def ask(rung: int) -> int | None:
        """Ask for `rung` breaches fewer than at the start."""
        standing.tell(f"at most {most - rung} breaches of preferred rules")
        answer = standing.ask([-int(counter[most - rung])])
        if answer is None:
            return None
        if not answer:
            return -1
        return most - sum(standing.engine.is_true(int(literal)) for literal in misses)

    reached, beyond = climb(0, most + 1, ask)
    value = most - reached
    kept = value + int(aim.within)
    if kept < len(counter):
        standing.promise([-int(counter[kept])])
    return Level(
        aim=aim.name,
        value=float(value),
        bound=float(most - beyond + 1),
        unit="breaches",
        proven=beyond - reached == 1,
    )
