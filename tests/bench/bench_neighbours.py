"""How long it takes to find neighbours, beside peers in the same run.

Run: ``pytest -o addopts= tests/bench/bench_neighbours.py``. Ratios, not seconds, are worth comparing
between machines. The peer by outline is libpysal's rook contiguity of touching polygons: a smaller job
(no gaps, no lengths, no mid-lines), so a ratio above 1 is expected there.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "adjacency"))

from stonework import brick_wall, draw_labels, stone_wall

from palette.adjacency import find_neighbours

WALLS = {
    "20 stones": lambda: stone_wall(20, 1, gap_mm=6.35),
    "300 stones": lambda: stone_wall(300, 1, gap_mm=6.35, width_mm=6000, height_mm=3600),
    "1,000 stones": lambda: stone_wall(1000, 1, gap_mm=6.35, width_mm=10_000, height_mm=6000),
    "1,000 slabs": lambda: brick_wall(31, 32, gap_mm=6.35),
}


@pytest.mark.parametrize("wall", WALLS)
def test_by_outline(benchmark, wall):
    panel = WALLS[wall]()
    adjacency = benchmark.pedantic(find_neighbours, args=(panel,), rounds=3, warmup_rounds=1)
    assert adjacency.neighbours


@pytest.mark.parametrize("side_px", [1200, 4000])
def test_by_pixels(benchmark, side_px):
    panel = draw_labels(stone_wall(300, 1, gap_mm=6.35, width_mm=4000, height_mm=4000), 4000 / side_px)
    adjacency = benchmark.pedantic(find_neighbours, args=(panel,), rounds=2, warmup_rounds=1)
    assert adjacency.neighbours


def test_beside_rook_contiguity_of_touching_stones(benchmark, record):
    geopandas = pytest.importorskip("geopandas")
    weights = pytest.importorskip("libpysal.weights")
    panel = stone_wall(1000, 1, gap_mm=0.0, width_mm=10_000, height_mm=6000)
    frame = geopandas.GeoDataFrame(geometry=[section.outline for section in panel.sections])

    started = time.perf_counter()
    rook = weights.Rook.from_dataframe(frame, use_index=False)
    peer = time.perf_counter() - started
    adjacency = benchmark.pedantic(
        find_neighbours, args=(panel,), kwargs={"reach_mm": 0, "min_border_mm": 0}, rounds=3
    )
    ours = benchmark.stats.stats.median
    record(
        part="neighbours", work="1,000 touching stones, mid-lines and lengths too", value=ours / peer,
        ours=f"{ours:.2f} s", theirs=f"{peer:.3f} s", peer="libpysal's rook contiguity (touching only)",
    )  # fmt: skip
    # Both must have done the same job, but for borders of a hair.
    assert len(adjacency.neighbours) == pytest.approx(rook.nonzero / 2, abs=3)


def test_beside_pixels_of_the_same_wall(benchmark, record):
    panel = stone_wall(300, 1, gap_mm=6.35, width_mm=6000, height_mm=3600)
    drawn = draw_labels(panel, 2.0)
    started = time.perf_counter()
    find_neighbours(drawn)
    peer = time.perf_counter() - started
    benchmark.pedantic(find_neighbours, args=(panel,), rounds=3)
    ours = benchmark.stats.stats.median
    record(
        part="neighbours", work="300 stones by outline", value=ours / peer,
        ours=f"{ours:.2f} s", theirs=f"{peer:.2f} s", peer="the same wall by pixels of 2 mm",
    )  # fmt: skip
