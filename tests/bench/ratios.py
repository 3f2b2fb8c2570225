"""One row of a benchmark: what was done, how long, beside which peer, and what was wanted."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

__all__ = ["Ratio", "as_markdown", "read_rows", "write_rows"]


@dataclass(frozen=True, kw_only=True)
class Ratio:
    """A measured ratio, or a plain figure where there is no peer.

    `value` is ours over the peer's unless `unit` says otherwise; `wanted` is the most (or, with
    `more_is_better`, the least) it should be, None where a figure is only told.
    """

    part: str
    work: str
    value: float
    peer: str = ""
    ours: str = ""
    theirs: str = ""
    unit: str = "×"
    wanted: float | None = None
    more_is_better: bool = False

    @property
    def met(self) -> bool | None:
        """Whether the wanted figure was reached; None where there is none."""
        if self.wanted is None:
            return None
        return self.value >= self.wanted if self.more_is_better else self.value <= self.wanted


def write_rows(path: Path, rows: Iterable[Ratio]) -> None:
    """Write rows as JSON."""
    path.write_text(json.dumps([asdict(row) for row in rows], indent=1), encoding="utf-8")


def read_rows(path: Path) -> list[Ratio]:
    """Return the rows of a file of `write_rows`."""
    return [Ratio(**row) for row in json.loads(path.read_text(encoding="utf-8"))]


def _figure(value: float) -> str:
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:,.0f}"


def as_markdown(rows: Iterable[Ratio]) -> str:
    """Return the rows as one table, in their order."""
    lines = [
        "| part | work | ours | peer | its figure | ratio or figure | wanted | |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for row in rows:
        sign = "≥" if row.more_is_better else "≤"
        wanted = "" if row.wanted is None else f"{sign} {_figure(row.wanted)} {row.unit}"
        verdict = {True: "met", False: "MISSED", None: ""}[row.met]
        lines.append(
            f"| {row.part} | {row.work} | {row.ours} | {row.peer} | {row.theirs} "
            f"| {_figure(row.value)} {row.unit} | {wanted} | {verdict} |"
        )
    return "\n".join(lines) + "\n"
