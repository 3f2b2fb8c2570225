"""When to kill, and where a kill fell."""

from __future__ import annotations

import contextlib
import os
import random
import signal
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Aim", "end_group", "waiting_files", "where_it_fell"]


def waiting_files(folder: Path) -> list[str]:
    """Return the names of what a write keeps in a folder while it is under way."""
    with contextlib.suppress(FileNotFoundError):
        return sorted(entry.name for entry in os.scandir(folder) if entry.name.startswith(".palette."))
    return []


def where_it_fell(folder: Path) -> str:
    """Return what a killed program was at: "preparing", "naming" (between the names), or "elsewhere"."""
    waiting = waiting_files(folder)
    if any(name.endswith(".pending") for name in waiting):
        return "naming"
    return "preparing" if waiting else "elsewhere"


def end_group(process: subprocess.Popen) -> bool:
    """Kill a process with its whole group, at once; return whether it was still alive."""
    alive = process.poll() is None
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return alive


@dataclass
class Aim:
    """One random moment: any of a run, or one within a write.

    Parameters
    ----------
    folder : Path
        Where the write is awaited.
    whole_s, write_s : float
        How long an undisturbed run takes, and a write of it.
    """

    rng: random.Random
    folder: Path
    whole_s: float
    write_s: float

    def at_any_time(self) -> Callable[[subprocess.Popen], None]:
        """Return a wait that ends at some moment of a run."""
        delay = self.rng.uniform(0, self.whole_s * 1.05)
        return lambda process: _sleep(delay, process)

    def within_a_write(self) -> Callable[[subprocess.Popen], None]:
        """Return a wait that ends some moment after a write has begun."""
        delay = self.rng.uniform(0, self.write_s * 1.1)

        def wait(process: subprocess.Popen) -> None:
            while process.poll() is None and not waiting_files(self.folder):
                time.sleep(0.0003)
            _sleep(delay, process)

        return wait


def _sleep(seconds: float, process: subprocess.Popen) -> None:
    until = time.monotonic() + seconds
    while process.poll() is None and (left := until - time.monotonic()) > 0:
        time.sleep(min(left, 0.02))


def time_of_write(process: subprocess.Popen, folder: Path) -> float:
    """Let a process run undisturbed; return how long its write takes, seconds."""
    began, last = 0.0, 0.0
    while process.poll() is None:
        if waiting_files(folder):
            last = time.monotonic()
            began = began or last
        time.sleep(0.0003)
    return max(last - began, 0.002)
