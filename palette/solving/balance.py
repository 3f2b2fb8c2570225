"""The aims that the paints share the wall evenly: by number of sections, or by area."""

from __future__ import annotations

import math

import numpy as np

from palette.scheme import Level
from palette.solving.aims import Aim
from palette.solving.clauses import hold_limit
from palette.solving.formula import Formula, Ints
from palette.solving.halving import climb
from palette.solving.model import Limit
from palette.solving.standing import Standing

__all__ = ["even_areas", "even_counts"]

_COUNTED = 60
_SHORT = 2_000
"""Sections above which counts are hard for the solver, and conflicts over one question then."""


def even_counts(standing: Standing, aim: Aim) -> Level | None:
    """Bring the most and the least used paint as close as can be, in sections.

    A range r is held by a window: for some least count, every paint is on at least so many
    sections and at most r more. All windows of one range are asked before it is given up.
    """
    sections, paints = standing.model.shape
    standing.whole_panel = True
    start = _range(standing.best, paints)
    counts = np.bincount(standing.best, minlength=paints)
    over = _count_both_ways(standing.formula, standing.formula.paint, int(counts.max()) + 1)
    lowest = 1 if sections % paints else 0

    def ask(rung: int) -> int | None:
        """Ask for a range `rung` smaller than at the start."""
        spread = start - rung
        standing.tell(f"paints within {spread} sections of each other")
        unknown = False
        for least in range(sections // paints, max(-1, -(-sections // paints) - spread - 1), -1):
            most = least + spread
            window = [int(v) for v in over[:, least - 1]] if least else []
            window += [-int(v) for v in over[:, most]] if most < over.shape[1] else []
            answer = standing.ask(window, patience=None if sections <= _COUNTED else _SHORT)
            if answer:
                return start - _range(standing.best, paints)
            unknown = unknown or answer is None
        return None if unknown else -1

    reached, beyond = climb(0, start - lowest + 1, ask, gallop=sections > _COUNTED)
    value = start - reached
    counts = np.bincount(standing.best, minlength=paints)
    _promise_window(standing, over, int(counts.min()), int(counts.max()), int(aim.within))
    return Level(
        aim=aim.name,
        value=float(value),
        bound=float(start - beyond + 1),
        unit="sections",
        proven=beyond - reached == 1,
    )


def _range(scheme: Ints, paints: int) -> int:
    counts = np.bincount(scheme, minlength=paints)
    return int(counts.max() - counts.min())


def _count_both_ways(formula: Formula, paint: Ints, most: int) -> Ints:
    """Return variables, shape (P, most): true exactly when a paint is on more than j sections."""
    sections, paints = paint.shape
    over = formula.new_variables(sections, paints, most)
    for k in range(sections):
        has, now = paint[k], over[k]
        if k == 0:
            formula.add(-has, now[:, 0])
            formula.add(has, -now[:, 0])
            formula.add(-now[:, 1:])
            continue
        before = over[k - 1]
        formula.add(-before, now)
        formula.add(-has, now[:, 0])
        formula.add(-has[:, None], -before[:, :-1], now[:, 1:])
        formula.add(has[:, None], before, -now)
        formula.add(before[:, :-1], -now[:, 1:])
    last: Ints = over[-1]
    return last


def _promise_window(standing: Standing, over: Ints, least: int, most: int, within: int) -> None:
    """Keep the range from now on, whichever window gives it."""
    sections, paints = standing.model.shape
    spread = most - least + within
    formula = standing.formula
    bottoms = [
        low
        for low in range(sections // paints, -1, -1)
        if low * paints <= sections <= (low + spread) * paints
    ]
    chosen = formula.new_variables(len(bottoms))
    formula.add_clause(chosen.tolist())
    for switch, low in zip(chosen.tolist(), bottoms, strict=True):
        if low:
            formula.add(-switch, over[:, low - 1])
        if low + spread < over.shape[1]:
            formula.add(-switch, -over[:, low + spread])


def even_areas(standing: Standing, aim: Aim) -> Level | None:
    """Make the paint that covers most cover as little as can be, in whole square millimetres."""
    sections, paints = standing.model.shape
    standing.whole_panel = True
    outlines = [section.outline for section in standing.survey.panel.sections]
    areas = np.array([math.ceil(outline.area) for outline in outlines], np.int64)
    everywhere = np.arange(sections)

    def largest(scheme: Ints) -> int:
        return int(np.bincount(scheme, weights=areas, minlength=paints).max())

    def cap(most: int, switch: int) -> None:
        for p in range(paints):
            limit = Limit(
                sections=everywhere,
                paints=np.full(sections, p),
                weight=areas,
                holds=True,
                pairs=(),
                cap=most,
            )
            hold_limit(formula, limit, switch)

    formula = standing.formula
    floor = max(-(-int(areas.sum()) // paints), int(areas.max()))
    value, proven = largest(standing.best), False
    low = floor
    while not proven and low < value:
        # Halving alone would ask many hard questions just below the optimum; stepping from above
        # too keeps every answer an improvement.
        middle = (low + value) // 2
        switch = int(formula.new_variables(1)[0])
        cap(middle, switch)
        standing.tell(f"no paint covers more than {middle / 1e6:.3f} m²")
        answer = standing.ask([-switch])
        if answer is None:
            break
        if answer:
            value = largest(standing.best)
        else:
            low = middle + 1
    proven = low >= value
    switch = int(formula.new_variables(1)[0])
    cap(value + int(aim.within), switch)
    standing.promise([-switch])
    return Level(aim=aim.name, value=float(value), bound=float(low), unit="mm2", proven=proven)
