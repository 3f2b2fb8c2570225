"""The aim that neighbours differ as much as can be on the whole, weighted by their borders."""

from __future__ import annotations

import numpy as np

from palette.scheme import Level
from palette.solving.aims import Aim
from palette.solving.bounding import bound_by_blocks
from palette.solving.branching import best_by_regret
from palette.solving.clauses import hold_limit
from palette.solving.elimination import Gains, TooWide, best_sum
from palette.solving.formula import Ints
from palette.solving.listing import list_schemes
from palette.solving.model import Limit, Model
from palette.solving.standing import Standing
from palette.solving.windows import improve_in_windows
from palette.survey import Survey

__all__ = ["sharpen", "sweeps_of"]

_FEW = 300
"""So many schemes are simply listed: fewer usually survive the aims before."""

_BRANCHED = 60
"""Sections up to which the whole wall is branched over at once."""


def sharpen(standing: Standing, aim: Aim) -> Level | None:
    """Make the mean difference over all borders as great as can be, and return it.

    Where only pairs of sections matter, elimination gives the exact answer. Where the aims before
    leave few schemes, they are listed. Otherwise the exact answer of the pairs alone bounds the
    sum from above and leads a search whose every step the solver confirms; large walls are
    improved window by window.
    """
    model = standing.model
    if not len(model.contacts):
        return None
    start = model.contrast(standing.best)
    gains = standing.pair_gains()
    allowed = [np.flatnonzero(row) for row in model.mask]
    bound, proven = _edge_bound(gains, allowed), False
    if not (standing.whole_panel or _looks_beyond_pairs(model)):
        standing.tell("contrast, by elimination")
        try:
            answer = best_sum(allowed, gains, sweeps=sweeps_of(standing.survey))
        except TooWide:
            answer = None
        if answer is not None:
            standing.best, proven = answer[1], True
    if not proven:
        proven = _take_best_of_few(standing)
    if not proven and len(allowed) <= _BRANCHED:
        standing.tell("contrast, by branching")
        bound, proven = best_by_regret(standing, allowed, gains, bound)
    if not proven:
        # The bound first: the windows take all the time there is.
        centres = np.array([s.outline.centroid.coords[0] for s in standing.survey.panel.sections])
        bound = min(bound, bound_by_blocks(allowed, gains, centres, standing.clock))
        improve_in_windows(standing, allowed, gains)
    value = model.contrast(standing.best)
    assert value >= start - 1e-9
    length = float(model.borders.sum())
    standing.owed = lambda: _promise_contrast(standing, value - aim.within * length)
    return Level(
        aim=aim.name,
        value=value / length,
        bound=(value if proven else max(bound, value)) / length,
        unit="CIEDE2000",
        proven=proven,
    )


def _promise_contrast(standing: Standing, least: float) -> None:
    """Hold the contrast from now on, in thousandths so that it is a sum of whole numbers."""
    model = standing.model
    most = float(model.strength.max())
    loss = np.rint((most - model.strength)[None] * model.borders[:, None, None] * 1000).astype(np.int64)
    pairs = tuple((a, b, table) for (a, b), table in zip(model.contacts.tolist(), loss, strict=True))
    nothing = np.zeros(0, np.int64)
    # Every table may be half a thousandth off; so may the sum, by as many halves.
    cap = int((most * float(model.borders.sum()) - least) * 1000) + len(pairs)
    limit = Limit(sections=nothing, paints=nothing, weight=nothing, holds=True, pairs=pairs, cap=cap)
    hold_limit(standing.formula, limit, None)
    standing.whole_panel = True


def sweeps_of(survey: Survey) -> list[list[int]]:
    """Return the sections from left to right and from top to bottom."""
    centres = np.array([section.outline.centroid.coords[0] for section in survey.panel.sections])
    return [np.argsort(centres[:, axis], kind="stable").tolist() for axis in (0, 1)]


def _looks_beyond_pairs(model: Model) -> bool:
    must = model.must
    return any((must.slopes, must.alike, must.clauses, must.limits, must.varieties))


def _edge_bound(gains: dict[tuple[int, int], Gains], allowed: list[Ints]) -> float:
    return sum(float(gain[np.ix_(allowed[a], allowed[b])].max()) for (a, b), gain in gains.items())


def _take_best_of_few(standing: Standing) -> bool:
    """Take the best of all schemes there are, where they are few; return whether they were."""
    schemes, complete = list_schemes(standing, _FEW)
    best = max([standing.best, *schemes], key=standing.model.contrast)
    standing.best = best
    return complete
