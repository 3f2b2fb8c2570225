"""The one search all aims with a ladder of values share."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["climb"]


def climb(
    reached: int, beyond: int, ask: Callable[[int], int | None], *, gallop: bool = False
) -> tuple[int, int]:
    """Return the highest rung reached and the lowest rung known to be out of reach.

    Parameters
    ----------
    reached, beyond : int
        A rung that is reached and one that is not, or lies past the top.
    ask : callable
        Given a rung, returns the rung actually reached (at least the one asked for), -1 where
        none can, or None where it is not known.
    gallop : bool
        Start with small steps from below, doubling, where high rungs are costly to ask about.

    Notes
    -----
    They differ by one when the search ended in a proof. After a question without an answer the
    rungs above it are left open, and the search goes on below it.
    """
    ceiling, step = beyond, 1
    while ceiling - reached > 1:
        rung = min(reached + step, (reached + ceiling + 1) // 2) if gallop else (reached + ceiling) // 2
        answer = ask(rung)
        if answer is None:
            ceiling = rung
            step = 1
        elif answer < 0:
            beyond = ceiling = rung
            step = 1
        else:
            reached = answer
            step *= 2
    return reached, beyond
