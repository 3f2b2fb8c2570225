"""Placing: what it promises holds when measured afresh, and fewer lamps could not give it."""

import math
from dataclasses import replace

import numpy as np
import pytest

from palette.errors import InputError
from palette.lamps import Lamp, LampWish, axis_intensity, irradiance_on_wall, place_lamps

FLOOD = Lamp(id="flood", x_mm=0, y_mm=0, out_mm=1000, aim_x_mm=0, aim_y_mm=0, beam_deg=90,
             intensity_w_sr=axis_intensity(6.0, 90))  # fmt: skip
WALL = (3600.0, 2440.0)


def measure(lamps, step=20.0):
    x, y = np.meshgrid(np.arange(0, WALL[0] + 1, step), np.arange(0, WALL[1] + 1, step))
    values = irradiance_on_wall(lamps, np.stack([x, y], axis=-1))
    return values.mean(), values.min() / values.mean()


@pytest.mark.parametrize(("mean", "even"), [(0.4, 0.4), (1.0, 0.5), (2.0, 0.6)])
def test_the_wanted_light_is_there_when_measured_on_a_finer_grid(mean, even):
    wish = LampWish(mean_w_m2=mean, evenness=even, below_mm=(0, 600))
    found = place_lamps(FLOOD, wish, *WALL)
    assert found.reached
    level, evenness = measure(found.lamps)
    assert level == pytest.approx(found.mean_w_m2, rel=0.02)
    assert level >= 0.97 * mean
    assert evenness >= 0.97 * even
    # 6 W a lamp: fewer than this could not give the level even if nothing missed the wall.
    assert len(found.lamps) >= math.ceil(mean * WALL[0] * WALL[1] / 1e6 / 6.0)


def test_one_lamp_less_was_tried_on_a_dense_grid_and_fails():
    wish = LampWish(mean_w_m2=0.5, evenness=0.5, above_mm=(0, 800))
    found = place_lamps(FLOOD, wish, *WALL)
    fewer = len(found.lamps) - 1
    assert fewer >= 1
    best = 0.0
    for pitch in np.linspace(0.5, 1.5, 5):
        for out in np.linspace(400, 2500, 8):
            for above in (0.0, 400.0, 800.0):
                for aim in np.linspace(0, WALL[1], 6):
                    row = [
                        WALL[0] / 2 + (k - (fewer - 1) / 2) * pitch * WALL[0] / fewer for k in range(fewer)
                    ]
                    hung = replace(FLOOD, y_mm=-above, out_mm=out, aim_y_mm=aim)
                    lamps = [replace(hung, x_mm=x, aim_x_mm=x) for x in row]
                    level, even = measure(lamps, step=150.0)
                    best = max(best, min(level / 0.5, even / 0.5))
    assert best < 1


def test_lamps_hang_where_they_may_and_alike_left_and_right():
    wish = LampWish(mean_w_m2=0.5, evenness=0.2, out_mm=(600, 1500), above_mm=(100, 300))
    lamps = place_lamps(FLOOD, wish, *WALL).lamps
    assert all(600 <= lamp.out_mm <= 1500 and -300 <= lamp.y_mm <= -100 for lamp in lamps)
    left_to_right = [lamp.x_mm for lamp in lamps]
    mirrored = sorted(WALL[0] - x for x in left_to_right)
    assert left_to_right == pytest.approx(mirrored)


def test_too_few_lamps_are_said_to_be_too_few():
    found = place_lamps(FLOOD, LampWish(mean_w_m2=20, evenness=0.5, most=2), *WALL)
    # Nobody walks into them: 2.3 m above the floor and higher (common practice).
    assert all(WALL[1] - lamp.y_mm >= 2300 - 1e-6 for lamp in found.lamps)
    assert not found.reached
    assert len(found.lamps) <= 2


def test_a_wish_that_cannot_be_is_refused():
    with pytest.raises(InputError, match="evenness"):
        place_lamps(FLOOD, LampWish(mean_w_m2=1, evenness=1.0), *WALL)
