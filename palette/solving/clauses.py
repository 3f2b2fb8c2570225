"""Each word of the vocabulary written as clauses."""

from __future__ import annotations

import numpy as np

from palette.solving.counting import cap_sum
from palette.solving.formula import Formula, Ints, Watched
from palette.solving.model import Limit, Model, Slope, Wants

__all__ = ["hold_limit", "write_formula"]

_WIDE = 80
"""Sections above which unequal weights are not added up by clauses."""


def write_formula(model: Model, *, seed: int = 0) -> Formula:
    """Return the clauses every scheme must satisfy: one paint a section, and the demands.

    Each preferred demand gets a literal in `Formula.misses` that lifts it.
    """
    formula = Formula(model, seed=seed)
    _one_paint_each(formula)
    _write(formula, model.must)
    formula.misses = _write_preferred(formula, model.prefer)
    return formula


def _one_paint_each(formula: Formula) -> None:
    paint = formula.paint
    formula.add_clauses(paint)
    for p in range(paint.shape[1]):
        for q in range(p):
            formula.add(-paint[:, p], -paint[:, q])
    sections, paints = np.nonzero(~formula.model.mask)
    if sections.size:
        formula.add(-paint[sections, paints])


def _write(formula: Formula, wants: Wants) -> None:
    _pair_tables(formula, wants, None)
    for slope in wants.slopes:
        _slope(formula, slope, None)
    _alike(formula, wants, None)
    for have, lack in wants.clauses:
        _clause(formula, have, lack, [])
    for ends in wants.limits:
        for limit in ends:
            hold_limit(formula, limit, None)
    for at_least, at_most in wants.varieties:
        _variety(formula, at_least, at_most, None)


def _write_preferred(formula: Formula, wants: Wants) -> Ints:
    only = formula.new_variables(len(wants.only))
    for (section, allowed), lift in zip(wants.only, only.tolist(), strict=True):
        formula.add(-formula.paint[section, ~allowed], lift)
    tables = formula.new_variables(len(wants.tables.pairs))
    _pair_tables(formula, wants, tables)
    slopes = [formula.new_variables(len(slope.sections)) for slope in wants.slopes]
    for slope, lifts in zip(wants.slopes, slopes, strict=True):
        _slope(formula, slope, lifts)
    alike = formula.new_variables(len(wants.alike))
    _alike(formula, wants, alike)
    clauses = formula.new_variables(len(wants.clauses))
    for (have, lack), lift in zip(wants.clauses, clauses.tolist(), strict=True):
        _clause(formula, have, lack, [lift])
    limits = formula.new_variables(len(wants.limits))
    for ends, lift in zip(wants.limits, limits.tolist(), strict=True):
        for limit in ends:
            hold_limit(formula, limit, lift)
    varieties = formula.new_variables(len(wants.varieties))
    for (at_least, at_most), lift in zip(wants.varieties, varieties.tolist(), strict=True):
        _variety(formula, at_least, at_most, lift)
    return np.concatenate([only, tables, *slopes, alike, clauses, limits, varieties])


def _pair_tables(formula: Formula, wants: Wants, lifts: Ints | None) -> None:
    paint, tables = formula.paint, wants.tables
    for table in range(len(tables.tables)):
        chosen = tables.table_of == table
        pairs = tables.pairs[chosen]
        rows, columns = np.nonzero(~tables.tables[table])
        if len(pairs) and rows.size:
            literals = [-paint[pairs[:, :1], rows[None, :]], -paint[pairs[:, 1:], columns[None, :]]]
            if lifts is not None:
                literals.append(lifts[chosen][:, None])
            formula.add(*literals)


def _slope(formula: Formula, slope: Slope, lifts: Ints | None) -> None:
    """Bound every section by the least value of the sections far enough before it.

    ``low[g, k]`` says that a section in the first g + 1 places has a value of at most the k-th.
    """
    values, rank = np.unique(slope.value, return_inverse=True)
    places, place = np.unique(slope.position, return_inverse=True)
    if len(values) < 2 or len(places) < 2:
        return
    low = formula.new_variables(len(places), len(values))
    paint = formula.paint[slope.sections]
    formula.add(-low[:-1], low[1:])
    formula.add(-low[:, :-1], low[:, 1:])
    formula.add(-paint, low[place[:, None], rank[None, :]])
    # The last place that lies far enough before each place, or -1. The comparison is the very
    # one the demand is defined by, so that rounding cannot part them.
    far = (places[:, None] - places[None, :] >= slope.apart) & (places[:, None] > places[None, :])
    before = far.sum(axis=1) - 1
    # The greatest value that is too low for each paint; a lower one is covered by the chain.
    above = (slope.value[:, None] - values[None, :] > slope.tolerance).sum(axis=1) - 1
    bounded = np.flatnonzero(before[place] >= 0)
    bright = np.flatnonzero(above >= 0)
    if bounded.size and bright.size:
        caps = low[before[place[bounded]][:, None], above[bright][None, :]]
        literals = [-caps, -paint[np.ix_(bounded, bright)]]
        if lifts is not None:
            literals.append(lifts[bounded][:, None])
        formula.add(*literals)


def _alike(formula: Formula, wants: Wants, lifts: Ints | None) -> None:
    for size in sorted({len(sections) for sections in wants.alike}):
        chosen = [k for k, sections in enumerate(wants.alike) if len(sections) == size]
        sections = np.array([wants.alike[k] for k in chosen], np.int64)
        literals = [-formula.paint[sections[:, k]] for k in range(size)]
        if lifts is not None:
            literals.append(lifts[chosen][:, None])
        formula.add(*literals)


def _clause(
    formula: Formula,
    have: tuple[tuple[int, int], ...],
    lack: tuple[tuple[int, int], ...],
    lift: list[int],
) -> None:
    paint = formula.paint
    formula.add_clause([*(paint[s, p] for s, p in have), *(-paint[s, p] for s, p in lack), *lift])


def hold_limit(formula: Formula, limit: Limit, lift: int | None) -> None:
    """Hold a limit; `lift` is a literal that lifts it, or None."""
    literals = formula.paint[limit.sections, limit.paints]
    columns = [literals if limit.holds else -literals]
    weights = [limit.weight]
    cap, steps = limit.cap, []
    for a, b, table in limit.pairs:
        step, grow = _pair_steps(formula, a, b, table)
        steps.append((step, grow))
        columns.append(step)
        weights.append(grow)
        cap -= int(table.min())
    literals, weight = np.concatenate(columns), np.concatenate(weights)
    if lift is None and len(np.unique(weight)) > 1 and not limit.pairs:
        # Asked without it first: most answers can be mended by hand, and a "no" is a "no".
        lift = formula.loosened()
    wide = len(literals) > _WIDE and len(np.unique(weight)) > 1 and not limit.pairs
    if wide or not cap_sum(formula, literals, weight, cap, lift):
        formula.watched.append(Watched(limit, lift, steps, wide and int(weight.sum()) > cap))


def _pair_steps(formula: Formula, a: int, b: int, table: Ints) -> tuple[Ints, Ints]:
    """Return literals true when a pair weighs at least each value, and the growth with each."""
    values = np.unique(table)
    steps = formula.new_variables(len(values) - 1)
    if len(steps) > 1:
        formula.add(-steps[1:], steps[:-1])
    rank = np.searchsorted(values, table)
    rows, columns = np.nonzero(rank > 0)
    if rows.size:
        reached = steps[rank[rows, columns] - 1]
        formula.add(-formula.paint[a, rows], -formula.paint[b, columns], reached)
    return steps, np.diff(values)


def _variety(formula: Formula, at_least: int, at_most: int | None, lift: int | None) -> None:
    used = formula.used_paints()
    ones = np.ones(len(used), np.int64)
    if at_most is not None:
        cap_sum(formula, used, ones, at_most, lift)
    if at_least:
        cap_sum(formula, -used, ones, len(used) - at_least, lift)
