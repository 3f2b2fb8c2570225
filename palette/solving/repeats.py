"""The aim that sections of one paint stand as far apart as can be."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from palette.scheme import Level
from palette.solving.aims import Aim
from palette.solving.formula import Ints
from palette.solving.halving import climb
from palette.solving.standing import Standing

__all__ = ["spread_repeats"]


def spread_repeats(standing: Standing, aim: Aim) -> Level | None:
    """Move repeats as far apart as can be, and return how far the nearest two are.

    Among any sections one more than there are paints two share a paint; the tightest such group
    bounds the distance from above, so only pairs nearer than that are ever written down.
    """
    sections, paints = standing.model.shape
    if sections < 2:
        return None
    outlines = np.array([section.outline for section in standing.survey.panel.sections])
    ceiling = _pigeonhole_mm(outlines, paints)
    pairs, apart = _near_pairs(outlines, ceiling)
    # Distances that differ by rounding only are one rung; past the last one nothing repeats.
    steps, rank = np.unique(np.round(apart, 6), return_inverse=True)
    formula = standing.formula
    switches = formula.new_variables(len(steps))
    if len(steps) > 1:
        formula.add(-switches[1:], switches[:-1])
    written = 0

    def write_up_to(rung: int) -> None:
        """Write the pairs below a rung, once: most of them lie beyond what is ever asked."""
        nonlocal written
        if rung > written:
            chosen = np.flatnonzero((rank >= written) & (rank < rung))
            a, b = pairs[chosen, 0], pairs[chosen, 1]
            paint = formula.paint
            formula.add(-paint[a], -paint[b], -switches[rank[chosen]][:, None])
            written = rung

    def rung_of(scheme: Ints) -> int:
        alike = scheme[pairs[:, 0]] == scheme[pairs[:, 1]]
        return int(rank[alike].min()) if alike.any() else len(steps)

    def ask(rung: int) -> int | None:
        write_up_to(rung)
        standing.tell(f"repeats at least {steps[rung] if rung < len(steps) else ceiling:.0f} mm apart")
        answer = standing.ask(switches[rung - 1 : rung], apart=pairs[rank < rung])
        return rung_of(standing.best) if answer else (-1 if answer is False else None)

    reached, beyond = climb(rung_of(standing.best), len(steps) + 1, ask, gallop=sections > 100)
    if reached == len(steps):
        # Nothing repeats, and nothing may from now on; there is no distance to tell.
        write_up_to(reached)
        standing.promise(switches[reached - 1 :])
        standing.apart = pairs
        return None
    value = float(steps[reached])
    kept = int(np.searchsorted(steps, value - aim.within))
    if kept:
        write_up_to(kept)
        standing.promise(switches[kept - 1 : kept])
    standing.apart = pairs[rank < kept]
    bound = float(steps[beyond - 1]) if beyond <= len(steps) else ceiling
    return Level(aim=aim.name, value=value, bound=bound, unit="mm", proven=beyond - reached == 1)


def _pigeonhole_mm(outlines: NDArray[np.object_], paints: int) -> float:
    """Return the least diameter of a section with as many of its nearest as there are paints."""
    if len(outlines) <= paints:
        return float(np.max(shapely.distance(outlines[:, None], outlines[None, :])))
    centres = shapely.get_coordinates(shapely.centroid(outlines))
    from scipy.spatial import KDTree

    _, groups = KDTree(centres).query(centres, k=paints + 1)
    first, second = np.triu_indices(paints + 1, 1)
    groups = np.atleast_2d(groups)
    # The rough diameter picks the few groups worth measuring outline by outline.
    rough = np.hypot(*(centres[groups[:, first]] - centres[groups[:, second]]).transpose(2, 0, 1)).max(
        axis=1
    )
    best = np.inf
    for group in groups[np.argsort(rough, kind="stable")[:200]]:
        best = min(best, float(shapely.distance(outlines[group[first]], outlines[group[second]]).max()))
    return best


def _near_pairs(outlines: NDArray[np.object_], reach: float) -> tuple[Ints, NDArray[np.float64]]:
    """Return pairs of sections no farther apart than a reach, sorted, and their distances."""
    a, b = shapely.STRtree(outlines).query(outlines, predicate="dwithin", distance=reach + 1e-6)
    keep = a < b
    pairs = np.stack([a[keep], b[keep]], axis=1).astype(np.int64)
    pairs = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
    apart = shapely.distance(outlines[pairs[:, 0]], outlines[pairs[:, 1]])
    return pairs, np.asarray(apart, float)
