"""What the benchmarks share: a place to leave their rows for the one table (`table.py`)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path[:0] = [str(Path(__file__).resolve().parent), str(Path(__file__).resolve().parents[1])]

from ratios import Ratio, write_rows

_ROWS: list[Ratio] = []


def pytest_addoption(parser):
    parser.addoption("--rows", default=None, help="write the rows of all benchmarks to this JSON file")


@pytest.fixture
def record():
    """Return a function that notes one row, given as `Ratio`'s own words."""

    def note(**words) -> Ratio:
        row = Ratio(**words)
        _ROWS.append(row)
        print(f"\n{row.work}: {row.value:.3g} {row.unit}")
        return row

    return note


def pytest_sessionfinish(session):
    path = session.config.getoption("--rows")
    if path:
        write_rows(Path(path), _ROWS)
