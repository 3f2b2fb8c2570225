"""How long the coat table takes, beside plain matrix products of the same size in the same run.

Run: ``pytest -o addopts= tests/bench/bench_coats.py -s``.
"""

import time

import numpy as np

from palette.coat_table import tabulate_coats
from palette.coating import film_of_paint
from palette.light_words import parse_light
from palette.paint import Paint
from palette.supplies import generic_paints

LIGHTS = ("D65", "D50", "A", "led-white", "led-365", "led-385", "led-395", "tube-368")


def best(run, rounds=5):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def test_twelve_paints_eight_lights_four_coats_four_grounds(record):
    paints = list(generic_paints())
    paints = [*paints, Paint(id="twelfth", parameters=paints[2].parameters)][:12]
    for paint in paints:
        film_of_paint(paint)
    lights = [parse_light(name, where="bench") for name in LIGHTS]
    table = best(lambda: tabulate_coats(paints, lights))
    stack = np.random.default_rng(0).uniform(size=(12 * 16, 49, 49))
    peer = best(lambda: np.linalg.solve(np.eye(49) * 50 + stack, stack))
    record(
        part="colour", work="coat table, 12 paints, 8 lights, 4 coats, 4 grounds", value=table / peer,
        ours=f"{table:.3f} s", theirs=f"{peer:.3f} s", peer="192 numpy solves of 49 × 49", wanted=12,
    )  # fmt: skip
    assert table < 0.2 or table < 12 * peer
