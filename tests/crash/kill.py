"""Kill the program with SIGKILL at random moments while it saves, assigns and serves the page.

``python tests/crash/kill.py --moments 200 --seed 1`` starts the real program again and again, ends its
whole process group, and looks at what it left: the folder opens, every file is whole and true to its
schema, files that belong together are of one action, and the last action told as done is there. One
row a kind is printed, with where the kills fell; any fault ends the run with its seed and moment.
``--kinds assign,page`` does some kinds alone; Ctrl-C goes on to the next kind.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1])]

from crash.commands import COMMANDS, CommandKind, Walls
from crash.saves import SavesKind, SittingKind
from crash.visiting import PageKind

SHARES = {"page": 30, "saves": 20, "sitting": 12, "swatches": 5, "photo": 5, "plan": 5, "assign": 23}
"""How many of a hundred moments each kind gets."""

PLACES = ("preparing", "naming", "elsewhere", "ended before")


def main() -> int:
    """Kill, look, and print what was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--moments", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", default=",".join(SHARES))
    given = parser.parse_args()
    kinds = [kind for kind in SHARES if kind in given.kinds.split(",")]
    whole = sum(SHARES[kind] for kind in kinds)
    print(f"{'kind':<10}{'moments':>9}" + "".join(f"{place:>14}" for place in PLACES) + f"{'seconds':>10}")
    total: Counter[str] = Counter()
    with tempfile.TemporaryDirectory(prefix="palette-crash-") as place:
        walls = Walls(Path(place) / "walls") if set(kinds) & set(COMMANDS) else None
        for kind in kinds:
            moments = max(1, round(given.moments * SHARES[kind] / whole))
            fell = kill_kind(kind, moments, given.seed, Path(place), walls)
            total += fell
    inside = total["preparing"] + total["naming"]
    print(f"{total.total()} moments, {inside} of them within a write, {total['naming']} between two names")
    return 0


def kill_kind(kind: str, moments: int, seed: int, place: Path, walls: Walls | None) -> Counter[str]:
    """Kill one kind at its moments; print its row and return where they fell."""
    began = time.monotonic()
    if kind in COMMANDS:
        assert walls is not None
        killed = CommandKind(kind, walls)
    else:
        made = {"saves": SavesKind, "sitting": SittingKind, "page": PageKind}[kind]
        killed = made(place / f"{kind}-kills")
    fell: Counter[str] = Counter()
    for number in range(moments):
        try:
            fell[killed.kill_once(number, random.Random(f"{kind} {seed} {number}"))] += 1
        except KeyboardInterrupt:
            break
        except Exception:
            print(f"{kind}, seed {seed}, moment {number}:", file=sys.stderr)
            raise
    print(f"{kind:<10}{fell.total():>9}" + "".join(f"{fell[place]:>14}" for place in PLACES)
          + f"{time.monotonic() - began:>10.0f}", flush=True)  # fmt: skip
    return fell


if __name__ == "__main__":
    sys.exit(main())
