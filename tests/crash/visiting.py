"""The page, served by the real program and worked at over its own connection, killed."""

from __future__ import annotations

import contextlib
import json
import random
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from crash.aiming import end_group, waiting_files, where_it_fell
from crash.commands import CANYON, copy_wall, run
from crash.wholeness import check_files, open_project
from page.conftest import Server, free_port
from page.wire import Visitor

__all__ = ["PageKind"]

_PATIENCE_S = 60.0


def start_page(folder: Path) -> Server:
    """Start the real page in a process group of its own."""
    command = [sys.executable, "-m", "palette", "page", str(folder), "--no-browser", "--json",
               "--port", str(free_port())]  # fmt: skip
    errors = tempfile.TemporaryFile("w+")  # noqa: SIM115
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=errors, text=True, start_new_session=True
    )
    server = Server("", folder, process, time.monotonic(), (folder / "brief.toml").exists(), errors)
    said = ""
    while "}" not in said:
        line = process.stdout.readline()
        assert line, server.said()
        said += line
    server.address = json.loads(said)["address"]
    return server


def children_of(pid: int) -> list[int]:
    """Return the processes a process has started."""
    with contextlib.suppress(OSError):
        return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    return []


def has(style: str, text: str | None = None):
    """Return a question whether an element is of a style, and says a text."""
    return lambda each: style in each.get("class", []) and text in (None, each.get("text"))


class Work(threading.Thread):
    """One visitor at work until the line is cut.

    Attributes
    ----------
    states : list of dict
        The scheme before the first action, and after each one asked for.
    told : int
        How many of them the page has called saved.
    begun : Event
        Set once the page is at work.
    """

    def __init__(self, server: Server, rng: random.Random, deed: str) -> None:
        super().__init__(daemon=True)
        self._server, self._rng, self._deed = server, rng, deed
        self.states: list[dict[str, str]] = []
        self.told = 0
        self.begun = threading.Event()
        self.fault: BaseException | None = None

    def run(self) -> None:
        try:
            visitor = Visitor(self._server)
            {"open": self._open, "paint": self._paint, "undo": self._undo}[self._deed](visitor)
        except Exception as fault:  # noqa: BLE001  # cutting the line is what ends this work
            self.fault = fault
        finally:
            self.begun.set()

    def _saved(self, visitor: Visitor) -> bool:
        return visitor.text_of("saved") == "Saved"

    def _open(self, visitor: Visitor) -> None:
        self.states = [{}]
        demo = visitor.wait_for(lambda each: each.get("text") == "Open the demo wall", _PATIENCE_S)
        visitor.press(demo)
        self.states.append({})
        self.begun.set()
        visitor.wait_for(has("section"), _PATIENCE_S)
        while not self._saved(visitor):
            visitor.listen(0.01)
        self.told = 1
        while True:
            visitor.listen(0.2)

    def _choose(self, visitor: Visitor) -> str:
        sections = [each for each in visitor.elements.items()
                    if has("section")(each[1]) and each[1].get("events")]  # fmt: skip
        chosen = sections[self._rng.randrange(len(sections))]
        visitor.press(chosen)
        visitor.wait_for(has("offer"), _PATIENCE_S)
        visitor.listen(0.1)
        return chosen[1]["props"]["aria-label"].split(", ", 1)[1].split(":")[0]

    def _paint(self, visitor: Visitor) -> None:
        visitor.wait_for(has("section"), _PATIENCE_S)
        visitor.listen(0.3)
        self.states = [self._on_disk()]
        section = self._choose(visitor)
        self.begun.set()
        while True:
            offers = [(key, each) for key, each in sorted(visitor.elements.items())
                      if has("offer")(each) and each["props"].get("aria-pressed") != "true"]  # fmt: skip
            key, offer = offers[self._rng.randrange(len(offers))]
            name = next(each["text"] for each in self._under(visitor, key) if has("offer-name")(each))
            self.states.append({**self.states[-1], section: name})
            visitor.press((key, offer))
            while visitor.elements[key]["props"].get("aria-pressed") != "true" or not self._saved(visitor):
                visitor.listen(0.01)
            self.told = len(self.states) - 1

    def _under(self, visitor: Visitor, key: int):
        for child in visitor.elements[key].get("children", []):
            if child in visitor.elements:
                yield visitor.elements[child]
                yield from self._under(visitor, child)

    def _undo(self, visitor: Visitor) -> None:
        """Find a scheme, then undo and redo it: scheme and notes change together, the notes come and go."""
        visitor.wait_for(has("section"), _PATIENCE_S)
        visitor.listen(0.3)
        before = self._on_disk()
        visitor.press(visitor.button("Find the best scheme"))
        visitor.wait_for(has("proof"), _PATIENCE_S)
        while not self._saved(visitor):
            visitor.listen(0.01)
        visitor.listen(0.3)
        found = self._on_disk()
        self.states = [before, found]
        self.told = 1
        self.begun.set()
        while True:
            done = len(self.states) % 2 == 0
            verb, wanted = ("Undo", before) if done else ("Redo", found)
            other = "Redo" if done else "Undo"
            button = visitor.find(has("quiet", verb))
            self.states.append(wanted)
            visitor.press(button)
            while not self._undoable(visitor, other) or not self._saved(visitor):
                visitor.listen(0.01)
            self.told = len(self.states) - 1

    def _undoable(self, visitor: Visitor, verb: str) -> bool:
        _, each = visitor.find(has("quiet", verb))
        return "nothing" not in each["props"].get("aria-label", "nothing")

    def _on_disk(self) -> dict[str, str]:
        path = self._server.folder / "scheme.json"
        return json.loads(path.read_text())["paint_of"] if path.exists() else {}


class PageKind:
    """Kill the page at one moment after another."""

    def __init__(self, place: Path) -> None:
        self._place = place
        self._painted = place / "painted"
        copy_wall(self._painted)
        run("assign", CANYON / "brief.toml", "--out", place / "out", "--width", 300)
        paint_of = json.loads((place / "out" / "scheme.json").read_text())["paint_of"]
        plain = dict.fromkeys(paint_of, "moss green")
        text = json.dumps({"version": 1, "brief": "brief.toml", "paint_of": plain})
        (self._painted / "scheme.json").write_text(text)

    def kill_once(self, number: int, rng: random.Random) -> str:
        """Serve, work, kill; return where that fell."""
        deed = ("paint", "open", "undo", "open", "paint", "paint")[number % 6]
        folder = self._place / f"wall-{number}"
        if deed != "open":
            shutil.copytree(self._painted, folder)
        server = start_page(folder)
        try:
            work = self._kill_at_work(number, rng, server, deed)
        finally:
            end_group(server.process)
        where = where_it_fell(folder)
        self._judge(folder, work, deed)
        if number % 6 == 0 and deed != "open":
            self._serve_again(folder)
        assert where_it_fell(folder) != "naming", "opening it has finished what had begun"
        shutil.rmtree(folder, ignore_errors=True)
        return where

    def _kill_at_work(self, number: int, rng: random.Random, server: Server, deed: str) -> Work:
        """Let a visitor work, and kill the page; what it has started must end by itself."""
        work = Work(server, rng, deed)
        work.start()
        assert work.begun.wait(3 * _PATIENCE_S), "the page never got to work"
        assert work.fault is None, (work.fault, server.said())
        time.sleep(rng.uniform(0, 0.9))
        if number % 4 != 3:
            # Three of four fall within a write, unless none comes.
            until = time.monotonic() + 2.0
            while not waiting_files(server.folder) and time.monotonic() < until:
                time.sleep(0.0003)
            time.sleep(rng.choice((0.0, 0.0, rng.uniform(0, 0.012))))
        helpers = children_of(server.process.pid)
        assert end_group(server.process), server.said()
        work.join(20)
        self._see_them_end(helpers)
        return work

    def _judge(self, folder: Path, work: Work, deed: str) -> None:
        files = open_project(folder)
        if deed == "open":
            assert files or not work.told, "it was saved and is gone"
            # The demo is opened whole or not at all.
            assert not files or {"brief.toml", "wall.svg", "paints.toml"} <= set(files), sorted(files)
            assert files or not [path for path in folder.glob("*") if not path.name.startswith(".palette.")]
            return
        check_files(folder)
        paint_of = json.loads(files["scheme.json"])["paint_of"]
        possible = work.states[work.told :]
        assert paint_of in possible, f"{work.told} of {len(work.states) - 1} were told as saved"
        if deed == "undo":
            proven = "proof" in json.loads(files.get("page.json", b"{}"))
            assert proven == (paint_of == work.states[1]), "scheme and notes are of one action"

    def _see_them_end(self, helpers: list[int]) -> None:
        until = time.monotonic() + 20
        while any(Path(f"/proc/{pid}").exists() for pid in helpers):
            assert time.monotonic() < until, "the page's helper outlives it"
            time.sleep(0.1)

    def _serve_again(self, folder: Path) -> None:
        """Start the real page on what was left, and see the same scheme on it."""
        wanted = json.loads((folder / "scheme.json").read_text())["paint_of"]
        server = start_page(folder)
        try:
            visitor = Visitor(server)
            visitor.wait_for(has("section"), _PATIENCE_S)
            labels = [each["props"]["aria-label"].split(", ", 1)[1] for each in visitor.elements.values()
                      if each.get("props", {}).get("data-section")]  # fmt: skip
            shown = dict(label.split(": ", 1) for label in labels)
            assert {section: wanted[section] for section in shown} == shown
            visitor.close()
        finally:
            end_group(server.process)
