"""The engine, the checker and a third judge on a hundred thousand cases, half of them spoiled on purpose.

    python tests/judgement/run_cases.py               all blocks; goes on where it was stopped
    python tests/judgement/run_cases.py 40 60         blocks 40 to 59

A block is 200 walls (`cases.py`), known by its number, which seeds it. What each gave is kept in
`.judgement/blocks.jsonl` at the top of the checkout; delete the file to begin anew.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from cases import CASES, Wrong, try_wall  # noqa: E402

KEPT = ROOT / ".judgement" / "blocks.jsonl"
BLOCKS = 80
WALLS = 200


def run_block(block: int) -> Counter[str]:
    """Return what the walls of a block gave; a wall on which the judges disagree is told and counted."""
    seen: Counter[str] = Counter()
    for seed in range(block * WALLS, (block + 1) * WALLS):
        try:
            seen += try_wall(seed)
        except Wrong as wrong:
            seen["WRONG"] += 1
            print(wrong, flush=True)
    return seen


def main() -> None:
    """Run the blocks that are not known yet, tell the sums, and exit with 1 after any disagreement."""
    first, last = map(int, sys.argv[1:3]) if len(sys.argv) > 2 else (0, BLOCKS)
    KEPT.parent.mkdir(exist_ok=True)
    known: dict[int, Counter[str]] = {}
    if KEPT.exists():
        rows = map(json.loads, KEPT.read_text(encoding="utf-8").splitlines())
        known = {row["block"]: Counter(row["seen"]) for row in rows}
    for block in range(first, last):
        if block not in known:
            known[block] = run_block(block)
            with KEPT.open("a", encoding="utf-8") as file:
                file.write(json.dumps({"block": block, "seen": known[block]}) + "\n")
    total = sum((known[block] for block in range(first, last)), Counter())
    print(f"{sum(total[sort] for sort in CASES)} cases in {(last - first) * WALLS} walls")
    for sort, many in sorted(total.items()):
        print(f"{many:8} {sort}")
    raise SystemExit(1 if total["WRONG"] else 0)


if __name__ == "__main__":
    main()
