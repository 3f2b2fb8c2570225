"""Run every benchmark and print their figures as one table.

``python tests/bench/table.py [--out FILE] [--only WORD]`` takes about a quarter of an hour on two quiet
cores. Ratios are of peers in the same run; plain figures are of the machine at hand.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent)]

from ratios import Ratio, as_markdown, read_rows

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
# The most a ratio of seconds should be, by work and number of sections; by work alone where that is enough.
WANTED_RATIO = {
    "L1+L2, all rules": 0.2,
    "L1-L4, all rules": 0.5,
    "L1, no stock": 0.1,
    "L1+L2, no stock": 0.15,
}
# The most seconds, where that was the aim or where no peer does the work.
WANTED_SECONDS = {
    ("L1, stock", 300): 5,
    ("L1, stock", 1000): 5,
    ("contrast, pairs only", 30): 0.1,
    ("contrast, pairs only", 60): 5,
    ("demo, four levels", 18): 0.5,
    ("demo, five alternatives", 18): 1,
    ("reasons, smallest collision", 30): 1,
    ("200 panels, shared stock, seams", 6000): 60,
}
# The least our value over the peer's should be.
WANTED_GAIN = {"contrast, pairs only": 1.0, "contrast, all rules, equal time": 1.0, "weakest pair": 1.3}


def of_pytest(folder: Path) -> list[Ratio]:
    """Return the rows of the benchmarks that run under pytest."""
    rows = folder / "pytest.json"
    files = sorted(
        str(path)
        for path in HERE.glob("bench_*.py")
        if path.name not in ("bench_photo.py", "bench_batch.py")
    )
    command = [sys.executable, "-m", "pytest", "-q", "-o", "addopts=", *files, "--rows", str(rows)]
    subprocess.run(command, cwd=ROOT, check=True, stdout=sys.stderr)
    return read_rows(rows)


def of_script(name: str, folder: Path) -> list[Ratio]:
    """Return the rows of a script that takes ``--rows``."""
    rows = folder / f"{name}.json"
    command = [sys.executable, str(HERE / f"{name}.py"), "--rows", str(rows)]
    subprocess.run(command, cwd=ROOT, check=True, stdout=sys.stderr)
    return read_rows(rows)


def of_engine() -> list[Ratio]:
    """Return the engine's rows, the walls of one work and size taken together."""
    command = [sys.executable, str(HERE / "solving.py"), "--json"]
    said = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    return rows_of_engine(json.loads(said.stdout))


def rows_of_engine(measured: list[dict]) -> list[Ratio]:
    """Return one row for each work and size: seconds beside the peer's, or values beside the peer's."""
    rows = []
    for work, sections in dict.fromkeys((one["work"], one["sections"]) for one in measured):
        group = [one for one in measured if (one["work"], one["sections"]) == (work, sections)]
        seconds = max(one["ours_s"] for one in group)
        proven = sum(one["proven"] for one in group)
        label = f"{work}, {sections:,} sections ({proven} of {len(group)} proven)"
        peer = group[0]["peer"] or ""
        ours = f"{seconds:.2f} s at worst"
        ratios = [one["ratio"] for one in group if one["ratio"]]
        most = WANTED_SECONDS.get((work, sections))
        if work in WANTED_RATIO:
            theirs = f"{max(one['peer_s'] for one in group):.2f} s at worst"
            rows.append(
                Ratio(
                    part="engine",
                    work=f"{label}, median",
                    value=statistics.median(ratios),
                    ours=ours,
                    theirs=theirs,
                    peer=peer,
                    wanted=WANTED_RATIO[work],
                )
            )
        else:
            rows.append(Ratio(part="engine", work=label, value=seconds, unit="s", wanted=most))
        if work in WANTED_GAIN:
            gains = [one["ours_value"] / one["peer_value"] for one in group if one["peer_value"]]
            if gains:
                rows.append(
                    Ratio(
                        part="engine",
                        work=f"{label}, value reached, worst",
                        value=min(gains),
                        peer=peer,
                        ours=", ".join(f"{one['ours_value']:.1f}" for one in group),
                        theirs=", ".join(f"{one['peer_value']:.1f}" for one in group),
                        wanted=WANTED_GAIN[work],
                        more_is_better=True,
                    )
                )
        loose = [one for one in group if not one["proven"] and one["bound"]]
        for one in loose:
            away = max(one["bound"], one["ours_value"]) / min(one["bound"], one["ours_value"])
            rows.append(
                Ratio(
                    part="engine",
                    work=f"{work}, {sections:,} {one['wall']}: bound over value",
                    value=away,
                    ours=f"{one['ours_value']:.1f}",
                    peer="what no scheme can beat",
                    theirs=f"{one['bound']:.1f}",
                    wanted=1.8,
                )
            )
    return rows


def main() -> None:
    """Run all, print the table, and write it where asked."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", type=Path, help="write the table here as well, as Markdown")
    parser.add_argument(
        "--only", default="", help="pytest, bench_photo, bench_batch, page_latency or solving"
    )
    given = parser.parse_args()
    rows: list[Ratio] = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        parts = {
            "pytest": lambda: of_pytest(folder),
            "bench_photo": lambda: of_script("bench_photo", folder),
            "bench_batch": lambda: of_script("bench_batch", folder),
            "page_latency": lambda: of_script("page_latency", folder),
            "solving": of_engine,
        }
        for name, part in parts.items():
            if given.only in name:
                rows += part()
    table = as_markdown(rows)
    print(table)
    if given.out:
        given.out.write_text(table, encoding="utf-8")


if __name__ == "__main__":
    main()
