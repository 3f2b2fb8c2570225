"""The long run: many hostile inputs for one reader, or for all of them one after another.

``python tests/fuzz/run.py --reader svg --inputs 100000 --seed 1`` goes on where an earlier run with
the same seed stopped. It needs ``pip install -e '.[fuzz]'`` and Linux, whose limits it sets.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from fuzz.readers import READERS
from fuzz.worker import Counts, keep_fault

_BLOCK = 20_000
"""Inputs to one process: a fresh one now and then keeps its own memory out of the account."""

_MOST_DEATHS = 50


def fuzz_reader(name: str, *, inputs: int, seed: int, out: Path, minutes: float) -> bool:
    """Run one reader for so long at most, print its summary line, and return whether all went well."""
    stop = time.monotonic() + 60 * minutes
    folder = out / f"{name}-{seed}"
    folder.mkdir(parents=True, exist_ok=True)
    counts = Counts(folder / "counts")
    deaths = barren = 0
    heavy_left = True
    while deaths < _MOST_DEATHS and barren < 3:
        done = int(counts.read()["inputs"])
        command = [sys.executable, str(Path(__file__).with_name("worker.py")), name, "--out", str(folder)]
        if heavy_left:
            command.append("--heavy")
        elif done < inputs:
            command += ["--inputs", str(min(_BLOCK, inputs - done)), "--seed", str(seed + done)]
        else:
            break
        try:
            with (folder / "log").open("ab") as log:
                left = max(stop - time.monotonic(), 1)
                ended = subprocess.run(command, stdout=log, stderr=log, check=False, timeout=left)
        except subprocess.TimeoutExpired:
            break
        if ended.returncode != 0:
            deaths += 1
            _keep_death(folder, ended.returncode)
        elif heavy_left:
            heavy_left = False
            continue
        barren = barren + 1 if counts.read()["inputs"] == done else 0
    features = _features(folder)
    found = counts.read()
    faults = sorted((folder / "faults").iterdir()) if (folder / "faults").exists() else []
    faults = [path for path in faults if path.suffix != ".txt"]
    print(
        f"{name}: {found['inputs']:,.0f} inputs, {features:,} features, {found['results']:,.0f} results, "
        f"{found['refusals']:,.0f} refusals, slowest {found['slowest']:.2f} s, "
        f"peak {found['peak'] / 2**20:.0f} MiB, {found['faults']:,.0f} failures of {len(faults)} kinds, "
        f"{deaths} deaths",
        flush=True,
    )
    for path in faults:
        print(f"  {path}", flush=True)
    return not faults and found["inputs"] >= inputs


def _features(folder: Path) -> int:
    """Return the most coverage features that the log tells of."""
    log = folder / "log"
    if not log.exists():
        return 0
    return max((int(each) for each in re.findall(rb" ft: (\d+)", log.read_bytes())), default=0)


def _keep_death(folder: Path, code: int) -> None:
    """Keep the input a process died of, which no exception told: a crash, a hang, memory."""
    log = (folder / "log").read_bytes()[-6000:].decode("utf-8", errors="replace")
    died = sorted(folder.glob("died-*"), key=lambda path: path.stat().st_mtime)
    source = died[-1] if died else folder / "now"
    if source.exists():
        kind = source.name.split("-")[1] if died else f"code {code}"
        keep_fault(folder / "faults", source.read_bytes(), f"death {kind} {source.name[-8:]}", log)
        source.unlink()


def main() -> int:
    """Return 0 if no reader failed, else 1."""
    options = argparse.ArgumentParser(description=__doc__)
    which = options.add_mutually_exclusive_group(required=True)
    which.add_argument("--reader", choices=READERS, action="append")
    which.add_argument("--all", action="store_true", help="one reader after another")
    options.add_argument("--inputs", type=int, default=100_000)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--minutes", type=float, default=24 * 60, help="at most so long for each reader")
    options.add_argument("--out", type=Path, default=Path("fuzz-out"))
    asked = options.parse_args()
    sound = [
        fuzz_reader(name, inputs=asked.inputs, seed=asked.seed, out=asked.out, minutes=asked.minutes)
        for name in (READERS if asked.all else asked.reader)
    ]
    return 0 if all(sound) else 1


if __name__ == "__main__":
    sys.exit(main())
