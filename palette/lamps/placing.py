"""How many lamps of one kind, and where: a small search for a wanted level and evenness."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.lamps.irradiance import irradiance_on_wall
from palette.lamps.lamp import Lamp, lobe_exponent

__all__ = ["LampWish", "Placing", "place_lamps"]

REACH_MM = 2300.0
"""Above the floor: higher than hands reach and eyes come near (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LampWish:
    """What the light on the wall should be, and where lamps may hang.

    Parameters
    ----------
    mean_w_m2 : float
        Wanted mean irradiance, W/m². 0.2 to 2 (20 to 200 µW/cm²) is a working range on scenery.
    evenness : float
        Wanted least over mean, 0 to 1.
    out_mm : (float, float)
        Nearest and farthest a lamp may hang before the wall.
    above_mm : (float, float) or None
        Lowest and highest a row may hang, measured up from the panel's top edge; None: out of the
        reach of people on the floor the panel stands on, and up to 0.8 m more.
    below_mm : (float, float) or None
        The same for a second row, measured down from the bottom edge; None for no second row.
    most : int
        Lamps at most.
    """

    mean_w_m2: float
    evenness: float
    out_mm: tuple[float, float] = (400.0, 2500.0)
    above_mm: tuple[float, float] | None = None
    below_mm: tuple[float, float] | None = None
    most: int = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Lamps that were placed, what they give, and whether that is what was wanted."""

    lamps: tuple[Lamp, ...]
    mean_w_m2: float
    evenness: float
    reached: bool


def place_lamps(kind: Lamp, wish: LampWish, width_mm: float, height_mm: float) -> Placing:
    """Return the fewest lamps of a kind that reach the wish, or the best `wish.most` can do.

    Lamps hang in one row above, or in two rows alike above and below, evenly spaced about the
    panel's middle. For each number the spacing, distance, height and aim are searched on a grid
    and then refined (Nelder-Mead); the first number that reaches both wants is kept.

    Parameters
    ----------
    kind : Lamp
        A lamp like those to hang; its place does not matter.
    wish : LampWish
    width_mm, height_mm : float
        Of the face, mm.

    Returns
    -------
    Placing
        The lamps, the mean irradiance in W/m² and the evenness they give, and whether that is
        enough.

    Raises
    ------
    InputError
        A wanted value is out of range.
    """
    if not wish.mean_w_m2 > 0 or not 0 <= wish.evenness < 1 or wish.most < 1:
        what = f"a mean of {wish.mean_w_m2:g} W/m² and an evenness of {wish.evenness:g} cannot be had"
        raise InputError("wanted light", what, "ask for a mean above 0 and an evenness from 0 to below 1")
    # No arrangement can put more on the wall than the lamps give.
    whole_w = kind.intensity_w_sr * 2 * math.pi / (lobe_exponent(kind.beam_deg) + 1)
    fewest = max(1, math.ceil(wish.mean_w_m2 * width_mm * height_mm / 1e6 / whole_w))
    best: Placing | None = None
    for number in range(min(fewest, wish.most), wish.most + 1):
        for rows in (1, 2) if wish.below_mm and number % 2 == 0 else (1,):
            found = _best_of_number(kind, wish, width_mm, height_mm, number // rows, rows)
            if best is None or _worth(found, wish) > _worth(best, wish) + 1e-9:
                best = found
        if best is not None and best.reached:
            return best
    assert best is not None
    return best


def _best_of_number(
    kind: Lamp, wish: LampWish, width_mm: float, height_mm: float, in_row: int, rows: int
) -> Placing:
    from scipy.optimize import minimize

    points, share = _points(width_mm, height_mm)

    def place(unit: Array) -> tuple[Lamp, ...]:
        return tuple(_rows_of(kind, wish, width_mm, height_mm, in_row, rows, np.clip(unit, 0.0, 1.0)))

    def loss(unit: Array) -> float:
        values = irradiance_on_wall(place(unit), points)
        mean = float((values * share).sum())
        level, even = mean / wish.mean_w_m2, float(values.min()) / mean / max(wish.evenness, 1e-9)
        # The lesser of the two decides; the other breaks ties, so that the search never stands still.
        return -min(level, even, 1.05) - 0.01 * min(level, 2) - 0.01 * min(even, 2)

    steps = (0.0, 0.35, 0.7, 1.0)
    pitches = steps if in_row > 1 else (0.5,)
    grid = [np.array([p, d, h, a]) for p in pitches for d in steps for h in (0.0, 0.5, 1.0) for a in steps]
    start = min(grid, key=loss)
    refined = minimize(loss, start, method="Nelder-Mead", options={"maxiter": 120, "xatol": 1e-3})
    lamps = place(refined.x if refined.fun < loss(start) else start)
    values = irradiance_on_wall(lamps, points)
    mean = float((values * share).sum())
    even = float(values.min()) / mean
    reached = mean >= wish.mean_w_m2 and even >= wish.evenness
    return Placing(lamps=lamps, mean_w_m2=mean, evenness=even, reached=reached)


def _rows_of(
    kind: Lamp, wish: LampWish, width_mm: float, height_mm: float, in_row: int, rows: int, unit: Array
) -> Iterator[Lamp]:
    """Yield the lamps that four numbers from 0 to 1 stand for: spacing, distance, height, aim."""
    pitch = width_mm / in_row * (0.7 + 0.6 * unit[0])
    out = wish.out_mm[0] + unit[1] * (wish.out_mm[1] - wish.out_mm[0])
    reach = max(0.0, REACH_MM - height_mm)
    low, high = wish.above_mm or (reach, reach + 800.0)
    above = low + unit[2] * (high - low)
    heights = [(0.0 - above, height_mm * unit[3])]
    if rows == 2 and wish.below_mm is not None:
        below = wish.below_mm[0] + unit[2] * (wish.below_mm[1] - wish.below_mm[0])
        heights.append((height_mm + below, height_mm * (1 - unit[3])))
    for row, (y, aim_y) in enumerate(heights):
        for column in range(in_row):
            x = width_mm / 2 + (column - (in_row - 1) / 2) * pitch
            name = f"{'above' if row == 0 else 'below'} {column + 1}"
            yield replace(kind, id=name, x_mm=x, y_mm=y, out_mm=out, aim_x_mm=x, aim_y_mm=aim_y)


def _points(width_mm: float, height_mm: float) -> tuple[Array, Array]:
    """Return points (R, C, 2) over the face and the share (R, C) of it each stands for."""
    longer = max(width_mm, height_mm)
    columns, rows = (max(4, round(24 * side / longer)) for side in (width_mm, height_mm))
    # From edge to edge: the corners are where a wash fails.
    x, y = np.meshgrid(np.linspace(0, width_mm, columns), np.linspace(0, height_mm, rows))
    # Points on an edge stand for half a cell, those in a corner for a quarter (trapezium rule).
    share = np.ones((rows, columns))
    share[[0, -1], :] /= 2
    share[:, [0, -1]] /= 2
    return np.stack([x, y], axis=-1), share / share.sum()


def _worth(placing: Placing, wish: LampWish) -> float:
    level, even = placing.mean_w_m2 / wish.mean_w_m2, placing.evenness / max(wish.evenness, 1e-9)
    return min(level, even, 1.0)
