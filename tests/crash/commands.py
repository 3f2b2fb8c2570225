"""Commands killed on their way into a folder that holds an earlier result."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from crash.aiming import Aim, end_group, time_of_write, waiting_files, where_it_fell
from crash.wholeness import check_files, contents
from PIL import Image

import palette
from palette.filing import finish_interrupted

__all__ = ["CANYON", "COMMANDS", "CommandKind", "Walls", "copy_wall", "run"]

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"


def copy_wall(folder: Path) -> None:
    """Copy the demo's brief and what it names."""
    folder.mkdir(parents=True)
    for name in ("brief.toml", "paints.toml", "plan.toml", "wall.svg"):
        shutil.copy(CANYON / name, folder)


def start(*args: object) -> subprocess.Popen:
    """Start the real program in a process group of its own."""
    command = [sys.executable, "-m", "palette", *map(str, args)]
    return subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, start_new_session=True
    )


def run(*args: object, codes: tuple[int, ...] = (0,)) -> None:
    """Let the program run to its end."""
    process = start(*args)
    _, errors = process.communicate()
    assert process.returncode in codes, errors.decode()


@dataclass
class Walls:
    """Two briefs of the demo with different best schemes, and those schemes."""

    place: Path
    briefs: list[Path] = field(default_factory=list)
    schemes: list[Path] = field(default_factory=list)

    def __post_init__(self) -> None:
        text = (CANYON / "brief.toml").read_text()
        for name in ("one", "two"):
            folder = self.place / name
            shutil.copytree(
                CANYON, folder, ignore=shutil.ignore_patterns("pictures", "*.py", "*.jpg", "*.png")
            )
            if self.schemes:
                paint_of = palette.read_scheme(self.schemes[0]).paint_of
                section, paint = next(iter(paint_of.items()))
                text += f'\n[[rule]]\nkind = "never"\nsections = ["{section}"]\npaints = ["{paint}"]\n'
            (folder / "brief.toml").write_text(text)
            run("assign", folder / "brief.toml", "--out", folder / "out", "--width", 300)
            self.briefs.append(folder / "brief.toml")
            self.schemes.append(folder / "out" / "scheme.json")


def board(path: Path, shift: float) -> Path:
    """Draw a board of four swatches, one of them a gray card, and return it."""
    pixels = np.full((350, 1200, 3), 30, np.uint8)
    colours = [(200, 210, 40), (30, 150, 140), (118, 118, 118), (190, 60, 90)]
    for k, colour in enumerate(colours):
        shade = np.array(colour) * (1 if k == 2 else shift)
        pixels[60:290, 60 + k * 280 : 300 + k * 280] = np.clip(shade, 0, 255).astype(np.uint8)
    Image.fromarray(pixels).save(path)
    return path


def arguments(name: str, walls: Walls, which: int) -> tuple[object, ...]:
    """Return the arguments of a command, without its --out, for the earlier or the later result."""
    photo = ("photo", CANYON / "painted.jpg", "--paints", CANYON / "paints.toml", "--corners",
             (CANYON / "corners.txt").read_text().strip())  # fmt: skip
    return {
        "assign": ("assign", walls.briefs[which], "--width", (300, 700)[which], "--alternatives", 2),
        "plan": ("plan", walls.schemes[which], "--paper", ("A4", "A3")[which]),
        "photo": (*photo, "--size", ("8 ft x 6 ft", "4 ft x 3 ft")[which]),
        "swatches": (
            "swatches", board(walls.place / f"board-{which}.png", (1.0, 0.8)[which]),
            "--corners", "10,10 1190,10 1190,340 10,340", "--names", "lemon, teal, gray card, rose",
        ),
    }[name]  # fmt: skip


COMMANDS = ("assign", "plan", "photo", "swatches")


class CommandKind:
    """Kill one command at one moment after another."""

    def __init__(self, name: str, walls: Walls) -> None:
        self._name, self._walls = name, walls
        self._place = walls.place / name
        self._old, self._new = (self._finished(which) for which in (0, 1))
        same = [file for file in self._old if self._old[file] == self._new.get(file)]
        assert 2 * len(same) < len(self._old), f"{same} are the same in both results: no mixture would show"
        began = time.monotonic()
        process = self._start(self._fresh("timed"))
        self._write_s = time_of_write(process, self._place / "timed")
        self._whole_s = time.monotonic() - began
        assert process.returncode in (0, 1)

    def _start(self, out: Path) -> subprocess.Popen:
        return start(*arguments(self._name, self._walls, 1), "--out", self._aim_at(out))

    def _aim_at(self, out: Path) -> Path:
        return out / "paints.toml" if self._name == "swatches" else out

    def _finished(self, which: int) -> dict[str, bytes]:
        out = self._place / f"result-{which}"
        out.mkdir(parents=True)
        run(*arguments(self._name, self._walls, which), "--out", self._aim_at(out), codes=(0, 1))
        return contents(out)

    def _fresh(self, name: str) -> Path:
        return Path(shutil.copytree(self._place / "result-0", self._place / name))

    def kill_once(self, number: int, rng: random.Random) -> str:
        """Kill a run; return where that fell. Raises AssertionError if the folder is not as it must be."""
        out = self._fresh(f"out-{number}")
        aim = Aim(rng, out, self._whole_s, self._write_s)
        wait = aim.at_any_time() if number % 4 == 0 else aim.within_a_write()
        process = self._start(out)
        wait(process)
        alive = end_group(process)
        where = where_it_fell(out) if alive else "ended before"
        # Papers and paint files are no project: the next run there finishes what waits.
        finish_interrupted(out)
        if (out / "scheme.json").exists():
            palette.read_scheme(out / "scheme.json")
        check_files(out)
        found = contents(out)
        later = [name for name in self._new if found.get(name) == self._new[name]]
        assert found in (self._old, self._new), f"only {later} are of the later result"
        if process.returncode in (0, 1):
            assert found == self._new, "it had said that it was done"
        if number % 5 == 0:
            run(*arguments(self._name, self._walls, 1), "--out", self._aim_at(out), codes=(0, 1))
            assert contents(out) == self._new
            assert not waiting_files(out), "what the killed program left is gone"
        shutil.rmtree(out)
        return where
