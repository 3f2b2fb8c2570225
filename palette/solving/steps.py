"""Steps of a slope chosen so that the limits leave room: which paints may stand how high."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import numpy as np

from palette.solving.formula import Ints
from palette.solving.model import Limit, Model, Slope

__all__ = ["forbidden_literals", "promising_masks", "roomy_masks"]

_MOST_PLACES = 5
_MOST_CHOICES = 800


def roomy_masks(model: Model, limits: Sequence[Limit], many: int) -> list[np.ndarray]:
    """Return masks of paints, shape (S, P), each of which keeps the slopes whatever is chosen in it.

    Every way to set the steps of a slope with few places (bands) is tried; those come first under
    which the areas, poured freely, fill the fullest limit least. Empty when there is no such slope.
    """
    slopes = [s for s in model.must.slopes if len(np.unique(s.position)) <= _MOST_PLACES]
    if len(slopes) != 1 or len(model.must.slopes) != 1:
        return []
    choices = list(itertools.islice(_step_masks(model, slopes[0]), _MOST_CHOICES))
    filled = [_fullest(mask, limits) for mask in choices]
    order = sorted(range(len(choices)), key=lambda k: (filled[k], k))
    return [choices[k] for k in order[:many] if filled[k] <= 1.0]


def promising_masks(model: Model, limits: Sequence[Limit], many: int) -> list[np.ndarray]:
    """Return masks as `roomy_masks` does, but those first that leave the borders most contrast."""
    slopes = model.must.slopes
    if len(slopes) != 1 or len(np.unique(slopes[0].position)) > _MOST_PLACES:
        return []
    choices = list(itertools.islice(_step_masks(model, slopes[0]), _MOST_CHOICES))
    hopes = [_hoped_contrast(model, mask) for mask in choices]
    found: list[np.ndarray] = []
    for k in sorted(range(len(choices)), key=lambda k: (-hopes[k], k)):
        if len(found) == many:
            break
        if _fullest(choices[k], limits) <= 1.0:
            found.append(choices[k])
    return found


def _hoped_contrast(model: Model, mask: np.ndarray) -> float:
    """Return the contrast if every border had the best pair its two sections' paints allow."""
    kinds, kind = np.unique(mask, axis=0, return_inverse=True)
    either = kinds[:, None, :, None] & kinds[None, :, None, :]
    best = np.where(either, model.strength, 0.0).max(axis=(2, 3))
    first, second = kind[model.contacts[:, 0]], kind[model.contacts[:, 1]]
    return float((model.borders * best[first, second]).sum())


def _step_masks(model: Model, slope: Slope) -> Iterator[np.ndarray]:
    places, place = np.unique(slope.position, return_inverse=True)
    values = np.unique(slope.value)
    far = (places[:, None] - places[None, :] >= slope.apart) & (places[:, None] > places[None, :])
    before = far.sum(axis=1) - 1
    for down in itertools.combinations_with_replacement(range(len(values) - 1, -1, -1), len(places)):
        floor = values[list(down)]
        ceiling = np.where(before >= 0, floor[np.maximum(before, 0)], np.inf)
        allowed = (slope.value[None, :] >= floor[:, None]) & ~(
            slope.value[None, :] - ceiling[:, None] > slope.tolerance
        )
        mask = model.mask.copy()
        mask[slope.sections] &= allowed[place]
        if mask.any(axis=1).all():
            yield mask


def _fullest(mask: np.ndarray, limits: Sequence[Limit]) -> float:
    """Return the least share to which the fullest limit is filled, all else ignored; inf if never."""
    from scipy.optimize import linprog

    kinds, kind = np.unique(mask, axis=0, return_inverse=True)
    rows, columns = np.nonzero(kinds)
    number = {(r, c): k for k, (r, c) in enumerate(zip(rows.tolist(), columns.tolist(), strict=True))}
    usable = [limit for limit in limits if limit.holds and limit.cap > 0]
    if not usable:
        return 0.0
    upper = np.zeros((len(usable), len(number) + 1))
    for row, limit in enumerate(usable):
        upper[row, -1] = -1.0
        weight = np.zeros((len(kinds), mask.shape[1]))
        np.add.at(weight, (kind[limit.sections], limit.paints), limit.weight / limit.cap)
        for (r, c), k in number.items():
            upper[row, k] = weight[r, c]
    # Each kind of section is shared out among its paints as one heap.
    equal = np.zeros((len(kinds), len(number) + 1))
    for (r, _), k in number.items():
        equal[r, k] = 1.0
    goal = np.zeros(len(number) + 1)
    goal[-1] = 1.0
    found = linprog(goal, A_ub=upper, b_ub=np.zeros(len(usable)), A_eq=equal, b_eq=np.ones(len(kinds)))
    return float(found.fun) if found.success else np.inf


def forbidden_literals(paint: Ints, mask: np.ndarray) -> list[int]:
    """Return assumptions that hold every section to a mask."""
    sections, paints = np.nonzero(~mask)
    literals: list[int] = (-paint[sections, paints]).tolist()
    return literals
