"""How much faster two workers answer many walls, or photos, than one does.

Run: ``python tests/bench/bench_batch.py [--walls 12] [--rounds 2]``. The peer is what the machine has
to give at that moment: a plain counting loop in two processes beside the same in one, each round. On
a busy machine neither reaches 2, and only their ratio is worth comparing; so the load is printed with
them. CPU seconds do not hang on the load: two workers should need hardly more of them than one.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [
    str(Path(__file__).resolve().parent),
    str(Path(__file__).resolve().parents[2] / "examples/canyon"),
]

from make_hall import WALLS, wall_svg
from ratios import Ratio, write_rows

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"
PALETTE = [sys.executable, "-m", "palette", "batch"]
LOOP = [sys.executable, "-c", "k = 0\nfor _ in range(40_000_000): k += 1"]


def timed(*commands: list[str]) -> tuple[float, float]:
    """Return wall and CPU seconds of commands run side by side, their children among them."""
    before, start = os.times(), time.perf_counter()
    running = [
        subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for command in commands
    ]
    for process in running:
        process.wait()
    after = os.times()
    cpu = after.children_user + after.children_system - before.children_user - before.children_system
    return time.perf_counter() - start, cpu


def work(given: list[str], folder: Path, workers: int) -> tuple[float, float]:
    """Return wall and CPU seconds of one batch, all its jobs done anew."""
    out = folder / f"out-{workers}"
    return timed([*PALETTE, *given, "--out", str(out), "--workers", str(workers), "--again", "--json"])


def compare(name: str, given: list[str], folder: Path, rounds: int) -> Ratio:
    """Print and return one worker's time over two workers', and what the machine gave meanwhile."""
    ours, peers, cpus = [], [], []
    for _ in range(rounds):
        one, cpu_one = work(given, folder, 1)
        two, cpu_two = work(given, folder, 2)
        # Two loops one after the other, beside two at once.
        alone = timed(LOOP)[0] + timed(LOOP)[0]
        together = timed(LOOP, LOOP)[0]
        ours.append(one / two)
        peers.append(alone / together)
        cpus.append(cpu_two / cpu_one)
    middle = [statistics.median(each) for each in (ours, peers, cpus)]
    print(
        f"{name}: 2 workers against 1: {middle[0]:.2f} x; two loops against one: {middle[1]:.2f} x; "
        f"CPU {middle[2]:.2f} x; load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors"
    )
    return Ratio(
        part="batch",
        work=f"{name}: how much faster two workers are than one",
        value=middle[0],
        ours=f"{middle[2]:.2f} × the CPU seconds",
        peer="two plain loops beside one",
        theirs=f"{middle[1]:.2f} ×",
        wanted=1.8,
        more_is_better=True,
    )


def main() -> None:
    """Measure walls, then photos."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--walls", type=int, default=12)
    parser.add_argument("--rounds", type=int, default=2)
    parser.add_argument("--rows", type=Path, help="write the rows to this JSON file")
    asked = parser.parse_args()
    many, rounds = asked.walls, asked.rounds
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        walls, photos = folder / "walls", folder / "photos"
        walls.mkdir()
        photos.mkdir()
        for k in range(many):
            name, *rest = WALLS[k % len(WALLS)]
            (walls / f"wall-{k:02d}.svg").write_text(wall_svg(f"{name} {k}", *rest), encoding="utf-8")
            (photos / f"photo-{k:02d}.jpg").write_bytes((CANYON / "painted.jpg").read_bytes())
        told = [
            compare("walls", ["assign", str(walls), "--brief", str(CANYON / "brief.toml")], folder, rounds)
        ]
        known = ["--paints", str(CANYON / "paints.toml"), "--size", "8 ft x 6 ft"]
        told.append(compare("photos", ["photo", str(photos), *known], folder, rounds))
    if asked.rows:
        write_rows(asked.rows, told)


if __name__ == "__main__":
    main()
