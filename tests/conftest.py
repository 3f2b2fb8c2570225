"""What many tests share: the demo, and the command line run in this process."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import pytest

CANYON = Path(__file__).resolve().parents[1] / "examples" / "canyon"


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config):
    """Return one worker more than there are processors: the page's tests often wait for a browser."""
    return (os.cpu_count() or 1) + 1


@dataclass(frozen=True)
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str


@pytest.fixture
def palette_command(monkeypatch, capsys):
    """Return a function that runs ``palette ARGS`` and tells how it ended."""

    def run(*args: object) -> Ran:
        from palette.cli import main

        monkeypatch.setattr("sys.argv", ["palette", *(str(arg) for arg in args)])
        capsys.readouterr()
        try:
            main()
            code = 0
        except SystemExit as end:
            code = int(end.code or 0)
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    return run


@pytest.fixture(scope="session")
def canyon_outcome():
    """Return the demo, assigned once for the whole run."""
    import palette

    return palette.run(palette.read_brief(CANYON / "brief.toml"))
