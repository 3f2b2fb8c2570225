"""What is known of every mutant, kept as soon as it is known; and the list of those that live."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from judging import Judged
from mutants import Mutant, make_mutants
from subject import ROOT

__all__ = ["Results", "place_of", "tell_figures"]

_KEPT = ROOT / ".mutation" / "results.jsonl"
_SURVIVORS = Path(__file__).with_name("survivors.txt")
_UNJUDGED = "  ? not judged yet"


class Results:
    """Outcomes by module and faulty source, so that they hold until either changes."""

    def __init__(self) -> None:
        self._known: dict[str, str] = {}
        _KEPT.parent.mkdir(exist_ok=True)
        if _KEPT.exists():
            for line in _KEPT.read_text(encoding="utf-8").splitlines():
                row = json.loads(line)
                self._known[row["key"]] = row["outcome"]

    def outcome(self, path: str, mutant: Mutant) -> str | None:
        """Return "killed", "timeout", "survived", or None where it was not tried."""
        return self._known.get(_key(path, mutant))

    def add(self, path: str, mutant: Mutant, judged: Judged) -> None:
        """Keep one outcome."""
        row = {
            "key": _key(path, mutant),
            "place": f"{path}:{mutant.line} {mutant.function}",
            "before": mutant.before,
            "after": mutant.after,
            "outcome": judged.outcome,
            "by": judged.by,
            "seconds": round(judged.seconds, 2),
        }
        self._known[row["key"]] = judged.outcome
        with _KEPT.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")


def _key(path: str, mutant: Mutant) -> str:
    return hashlib.sha256(f"{path}\0{mutant.source}".encode()).hexdigest()[:24]


def place_of(path: str, mutant: Mutant) -> float:
    """Return a number from 0 to 1 that is a mutant's own and spread evenly over all of them."""
    return int(_key(path, mutant), 16) / 16.0**24


def tell_figures(paths: Sequence[str], results: Results) -> float:
    """Print the figures of each module and of all, write the survivors, return their share of the tried."""
    total: Counter[str] = Counter()
    living = []
    for path in paths:
        counted: Counter[str] = Counter()
        for mutant in make_mutants((ROOT / path).read_text(encoding="utf-8")):
            outcome = results.outcome(path, mutant) or "not tried"
            counted[outcome] += 1
            if outcome == "survived":
                living.append((path, mutant))
        total += counted
        print(f"{path:34} {_figures(counted)}")
    print(f"{'all':34} {_figures(total)}")
    _write_survivors(paths, living)
    return _share(total)


def _share(counted: Counter[str]) -> float:
    tried = counted.total() - counted["not tried"]
    return counted["survived"] / tried if tried else 0.0


def _figures(counted: Counter[str]) -> str:
    told = ", ".join(f"{counted[name]} {name}" for name in ("killed", "timeout", "survived", "not tried"))
    return f"{counted.total():5} mutants: {told}; {_share(counted):.1%} survive"


def _write_survivors(paths: Sequence[str], living: Sequence[tuple[str, Mutant]]) -> None:
    """Write the list anew, with the reasons that stood in it; other modules' entries stay."""
    old = _SURVIVORS.read_text(encoding="utf-8").split("\n\n") if _SURVIVORS.exists() else []
    entries = [entry.strip("\n").splitlines() for entry in old]
    entries = [lines for lines in entries if len(lines) == 4]
    reason_of = {(_name(lines[0]), lines[1], lines[2]): lines[3] for lines in entries}
    told = [lines for lines in entries if lines[0].partition(":")[0] not in paths]
    for path, mutant in living:
        head = f"{path}:{mutant.line} {mutant.function}"
        change = (f"  - {mutant.before}", f"  + {mutant.after}")
        told.append([head, *change, reason_of.get((_name(head), *change), _UNJUDGED)])
    told.sort(key=lambda lines: lines[0].partition(":")[0])
    _SURVIVORS.write_text("\n\n".join("\n".join(lines) for lines in told) + "\n", encoding="utf-8")


def _name(head: str) -> str:
    """Return an entry's head without its line number, which moves."""
    place, _, function = head.partition(" ")
    return f"{place.partition(':')[0]} {function}"
