"""Saves without pause, killed: each folder is one generation, and no older than the last one told."""

from __future__ import annotations

import json
import random
import subprocess
import sys
import time
import tomllib
from pathlib import Path

from crash.aiming import end_group, waiting_files, where_it_fell
from crash.commands import copy_wall
from crash.wholeness import check_files, contents, open_project
from crash.working import scheme_of, set_of

from palette.filing import finish_interrupted, write_atomically

__all__ = ["SavesKind", "SittingKind"]

TESTS = Path(__file__).resolve().parents[1]


class _Working:
    """A folder in which a child works, is killed, and the next child goes on."""

    what = ""

    def __init__(self, place: Path) -> None:
        self.folder = place / self.what
        self.folder.mkdir(parents=True)
        self.last = 0

    def kill_once(self, number: int, rng: random.Random) -> str:
        """Kill a child at a random moment after its first action; return where that fell."""
        command = [sys.executable, "-m", "crash.working", self.what, str(self.folder), str(number)]
        child = subprocess.Popen(command, cwd=TESTS, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                 start_new_session=True, text=True)  # fmt: skip
        first = child.stdout.readline()
        assert first, child.stderr.read()
        time.sleep(rng.uniform(0, 0.6))
        if number % 4:
            until = time.monotonic() + 3
            while not waiting_files(self.folder) and time.monotonic() < until:
                time.sleep(0.0003)
            time.sleep(rng.uniform(0, 0.03))
        assert end_group(child), child.stderr.read()
        told = [int(line) for line in [first, *child.stdout.read().splitlines()] if line.strip()]
        where = where_it_fell(self.folder)
        self.judge(told[-1])
        return where

    def judge(self, told: int) -> None:
        raise NotImplementedError


class SavesKind(_Working):
    """Sets of files by `write_together`."""

    what = "saves"

    def judge(self, told: int) -> None:
        finish_interrupted(self.folder)
        found = contents(self.folder)
        generation = int(found["scheme.json"].split()[0])
        assert found == set_of(generation), "one generation"
        assert generation in (told, told + 1), (generation, told)
        write_atomically(self.folder / "scheme.json", found["scheme.json"])
        assert not waiting_files(self.folder)


class SittingKind(_Working):
    """Actions of the page's sitting, saved by its own thread."""

    what = "sitting"

    def __init__(self, place: Path) -> None:
        super().__init__(place)
        self.folder.rmdir()
        copy_wall(self.folder)

    def judge(self, told: int) -> None:
        files = open_project(self.folder)
        check_files(self.folder)
        number = int(json.loads(files["page.json"])["photo_notes"][0])
        seed = tomllib.loads(files["brief.toml"].decode()).get("seed", 0)
        assert seed == number - number % 8, "brief and notes are of one action"
        paint_of = json.loads(files["scheme.json"])["paint_of"]
        paints = [paint["name"] for paint in tomllib.loads(files["paints.toml"].decode())["paint"]]
        assert paint_of == scheme_of(number, tuple(paint_of), paints), "scheme and notes are of one action"
        assert told <= number <= told + 4, (number, told)
