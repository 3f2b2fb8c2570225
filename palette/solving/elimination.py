"""Exact best sums of pairwise gains, by eliminating one section after the other.

Only for wants that look at pairs: the best gain of what is left then depends on an eliminated
section through its remaining partners alone, and a wall is a narrow graph: an order of
elimination that keeps few partners open makes the tables small (Bertele & Brioschi, Nonserial
Dynamic Programming, 1972).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Elimination", "TooWide", "best_sum", "eliminate"]

Gains = NDArray[np.float64]


class TooWide(Exception):
    """The tables would not fit."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Elimination:
    """What eliminating every section leaves behind.

    Parameters
    ----------
    best : float
        The greatest sum, -inf where nothing is allowed.
    order : tuple of int
        Sections, first eliminated first.
    partners : mapping of section to tuple of int
        Who was open when it was eliminated.
    joined : mapping of section to array
        The best sum of all that is eliminated up to it, over its partners and (last axis) itself.
    allowed : list of int arrays
        Paints of each axis.
    """

    best: float
    order: tuple[int, ...]
    partners: Mapping[int, tuple[int, ...]]
    joined: Mapping[int, NDArray[np.generic]]
    allowed: list[NDArray[np.int64]]


def best_sum(
    allowed: list[NDArray[np.int64]],
    pairs: Mapping[tuple[int, int], Gains],
    *,
    most_cells: int = 20_000_000,
    sweeps: Sequence[Sequence[int]] = (),
    alone: Mapping[int, Gains] | None = None,
) -> tuple[float, NDArray[np.int64]] | None:
    """Return the greatest sum of gains and the choice that gives it, or None when there is none.

    Parameters
    ----------
    allowed : list of int arrays
        For every section the paints it may have.
    pairs : mapping of (a, b), a < b, to float array, shape (P, P)
        What their paints gain together; -inf where they may not be together.
    most_cells : int
        Greatest table that is made.
    sweeps, alone
        As in `eliminate`.

    Raises
    ------
    TooWide
        A table would be greater.
    """
    done = eliminate(allowed, pairs, most_cells=most_cells, sweeps=sweeps, alone=alone, keep=_choice)
    if done.best == -np.inf:
        return None
    chosen: dict[int, int] = {}
    for section in reversed(done.order):
        partners = done.partners[section]
        chosen[section] = int(done.joined[section][tuple(chosen[other] for other in partners)])
    scheme = np.array([allowed[k][chosen[k]] for k in range(len(allowed))], np.int64)
    return done.best, scheme


def eliminate(
    allowed: list[NDArray[np.int64]],
    pairs: Mapping[tuple[int, int], Gains],
    *,
    most_cells: int,
    sweeps: Sequence[Sequence[int]] = (),
    alone: Mapping[int, Gains] | None = None,
    keep: Callable[[Gains], NDArray[np.generic]] = lambda joined: joined,
) -> Elimination:
    """Return the tables of an elimination; `keep` says what of each table is kept.

    `sweeps` are orders to try beside the greedy one: from one end of a wall to the other is often
    the narrowest. `alone` is what a section gains by itself, shape (P,).

    Raises
    ------
    TooWide
        A table would have more than `most_cells` cells.
    """
    order, partners_of = _narrowest(allowed, pairs, sweeps, most_cells)
    tables: dict[int, list[tuple[tuple[int, ...], Gains]]] = {section: [] for section in order}
    turn = {section: k for k, section in enumerate(order)}
    for (a, b), gain in pairs.items():
        first = a if turn[a] < turn[b] else b
        tables[first].append(((a, b), gain[np.ix_(allowed[a], allowed[b])]))
    for section, gain in (alone or {}).items():
        tables[section].append(((section,), gain[allowed[section]]))
    whole = 0.0
    partners, kept = {}, {}
    for section in order:
        axes = tuple(sorted(partners_of[section]))
        joined = _join(tables.pop(section), axes, section, allowed)
        best = joined.max(axis=-1)
        partners[section], kept[section] = axes, keep(joined)
        if axes:
            tables[min(axes, key=lambda other: turn[other])].append((axes, best))
        else:
            whole += float(best)
    return Elimination(
        best=whole, order=tuple(order), partners=partners, joined=kept, allowed=list(allowed)
    )


def _choice(joined: Gains) -> NDArray[np.generic]:
    best: NDArray[np.generic] = joined.argmax(axis=-1).astype(np.int8)
    return best


def _join(
    parts: list[tuple[tuple[int, ...], Gains]],
    partners: tuple[int, ...],
    section: int,
    allowed: list[NDArray[np.int64]],
) -> Gains:
    """Return the sum of tables over the partners, in order, and the section as the last axis."""
    axes = (*partners, section)
    joined = np.zeros([len(allowed[v]) for v in axes])
    for named, table in parts:
        spot = [axes.index(v) for v in named]
        turned = table.transpose(np.argsort(spot))
        shape = [1] * len(axes)
        for axis in spot:
            shape[axis] = len(allowed[axes[axis]])
        joined += turned.reshape(shape)
    return joined


def _narrowest(
    allowed: list[NDArray[np.int64]],
    pairs: Mapping[tuple[int, int], Gains],
    sweeps: Sequence[Sequence[int]],
    most_cells: int,
) -> tuple[list[int], dict[int, set[int]]]:
    """Return the order with the fewest cells, and who is open when each section goes."""
    sizes = [len(paints) for paints in allowed]
    found = [_greedy_order(sizes, _near(len(sizes), pairs))]
    found += [(list(sweep), _open_along(sweep, _near(len(sizes), pairs))) for sweep in sweeps]

    def cells(partners_of: dict[int, set[int]]) -> list[float]:
        return [
            float(np.prod([sizes[other] for other in (section, *partners)], dtype=float))
            for section, partners in partners_of.items()
        ]

    order, partners_of = min(found, key=lambda one: sum(cells(one[1])))
    if max(cells(partners_of), default=0) > most_cells:
        raise TooWide
    return order, partners_of


def _near(sections: int, pairs: Mapping[tuple[int, int], Gains]) -> list[set[int]]:
    near: list[set[int]] = [set() for _ in range(sections)]
    for a, b in pairs:
        near[a].add(b)
        near[b].add(a)
    return near


def _open_along(order: Sequence[int], near: list[set[int]]) -> dict[int, set[int]]:
    partners_of = {}
    for section in order:
        partners = partners_of[section] = near[section]
        for other in partners:
            near[other] |= partners
            near[other] -= {other, section}
    return partners_of


def _greedy_order(sizes: list[int], near: list[set[int]]) -> tuple[list[int], dict[int, set[int]]]:
    """Return sections in the order that opens the smallest table next, and who is open then."""
    weight = np.log(np.maximum(sizes, 1))

    def cost(section: int) -> float:
        return float(weight[section] + sum(weight[other] for other in sorted(near[section])))

    heap = [(cost(section), section) for section in range(len(sizes))]
    heapq.heapify(heap)
    order: list[int] = []
    partners_of: dict[int, set[int]] = {}
    while heap:
        stale, section = heapq.heappop(heap)
        if section in partners_of:
            continue
        now = cost(section)
        if now > stale + 1e-12:
            heapq.heappush(heap, (now, section))
            continue
        partners = near[section]
        partners_of[section] = partners
        order.append(section)
        for other in partners:
            near[other] |= partners
            near[other] -= {other, section}
        for other in sorted(partners):
            heapq.heappush(heap, (cost(other), other))
    return order, partners_of
