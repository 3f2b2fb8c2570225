"""How much contrast any scheme can have at most: blocks solved exactly, and the seams between them."""

from __future__ import annotations

import numpy as np

from palette.solving.elimination import Gains, TooWide, best_sum
from palette.solving.formula import Ints
from palette.solving.limits import Clock

__all__ = ["bound_by_blocks"]

_CELLS = 3_000_000  # of a table: 24 MB
_BLOCK = 40  # sections solved at once


def bound_by_blocks(
    allowed: list[Ints], gains: dict[tuple[int, int], Gains], centres: np.ndarray, clock: Clock
) -> float:
    """Return an upper bound of the sum of gains.

    Every pair counts in one group: the pairs inside a block of sections that stand together, or
    those between two blocks. Each group is given its own best choice, so the sum can only be
    greater than what one choice for all gives.
    """
    block_of = np.zeros(len(allowed), np.int64)
    for number, block in enumerate(_blocks(np.arange(len(allowed)), centres)):
        block_of[block] = number
    groups: dict[tuple[int, int], dict[tuple[int, int], Gains]] = {}
    for (a, b), gain in gains.items():
        ends = sorted((int(block_of[a]), int(block_of[b])))
        groups.setdefault((ends[0], ends[1]), {})[a, b] = gain
    return sum(_group_bound(allowed, groups[ends], centres, clock) for ends in sorted(groups))


def _blocks(sections: Ints, centres: np.ndarray) -> list[Ints]:
    if len(sections) <= _BLOCK:
        return [sections]
    spread = np.ptp(centres[sections], axis=0)
    ordered = sections[np.argsort(centres[sections, int(np.argmax(spread))], kind="stable")]
    half = len(ordered) // 2
    return _blocks(ordered[:half], centres) + _blocks(ordered[half:], centres)


def _group_bound(
    allowed: list[Ints], pairs: dict[tuple[int, int], Gains], centres: np.ndarray, clock: Clock
) -> float:
    sections = sorted({section for pair in pairs for section in pair})
    place = {section: k for k, section in enumerate(sections)}
    within = {(place[a], place[b]): gain for (a, b), gain in pairs.items()}
    paints = [allowed[section] for section in sections]
    if not clock.expired:
        try:
            sweeps = [np.argsort(centres[sections, axis], kind="stable").tolist() for axis in (0, 1)]
            answer = best_sum(paints, within, most_cells=_CELLS, sweeps=sweeps)
            return answer[0] if answer is not None else -np.inf
        except TooWide:
            pass
    return sum(float(gain[np.ix_(allowed[a], allowed[b])].max()) for (a, b), gain in pairs.items())
