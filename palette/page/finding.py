"""Looking for schemes beside the page, in a process of its own.

The engine holds its interpreter while it thinks; in the page's own process every tab would
freeze. A process can also be stopped at once, at any moment.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Mapping
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import palette
from palette.errors import NoScheme, PaletteError

__all__ = ["Found", "Search"]


@dataclass(slots=True, kw_only=True)
class Found:
    """What a search has brought so far.

    `note` says what is being done; `scheme` is the best so far; `done` ends it, with `sentence`
    and `rules` where there is none.
    """

    note: str = ""
    share: float | None = None
    scheme: dict[str, Any] | None = None
    done: bool = False
    sentence: str = ""
    rules: tuple[str, ...] = ()
    alternatives: list[dict[str, Any]] = field(default_factory=list)


class Search:
    """A worker that waits for questions; it is started when it is first needed."""

    def __init__(self) -> None:
        self._worker: multiprocessing.process.BaseProcess | None = None
        self._line: Connection | None = None
        self.found = Found(done=True)

    @property
    def running(self) -> bool:
        """True while a question is open."""
        return not self.found.done

    def warm_up(self) -> None:
        """Start the worker, so that the first question does not wait for it."""
        if self._worker is None or not self._worker.is_alive():
            context = multiprocessing.get_context("spawn")
            self._line, far_end = context.Pipe()
            self._worker = context.Process(target=_work, args=(far_end,), daemon=True)
            self._worker.start()
            far_end.close()

    def ask(self, brief: Path) -> None:
        """Ask for the best scheme of a brief."""
        self.stop()
        self.warm_up()
        assert self._line is not None
        self.found = Found(note="starting")
        self._line.send(str(brief))

    def listen(self) -> bool:
        """Take in what the worker said since the last call; return whether there was anything."""
        heard = False
        try:
            while self.running and self._line is not None and self._line.poll():
                self._take(self._line.recv())
                heard = True
        except (EOFError, OSError):
            self.found.done, heard = True, True
            self.found.sentence = "The search ended by itself; start it again."
            self._worker = None
        return heard

    def _take(self, said: Mapping[str, Any]) -> None:
        for key, value in said.items():
            setattr(self.found, key, value)

    def stop(self) -> None:
        """End an open question; the best so far stays in `found`."""
        if self.running and self._worker is not None:
            self.listen()
            self._worker.terminate()
            self._worker = None
            self.found.done = True
            self.found.note = "stopped"

    def close(self) -> None:
        """End the worker."""
        if self._worker is not None:
            self._worker.terminate()
            self._worker = None


def _work(line: Connection) -> None:
    """Answer questions until the line is cut."""
    import signal

    # Ctrl-C in the terminal is the page's business; it ends this process by cutting the line.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    while True:
        try:
            question = line.recv()
        except (EOFError, OSError):
            return
        try:
            line.send(_answer(Path(question), line))
        except PaletteError as fault:
            rules = fault.rules if isinstance(fault, NoScheme) else ()
            line.send({"done": True, "sentence": str(fault), "rules": rules})
        except (BrokenPipeError, OSError):
            return


def _answer(brief: Path, line: Connection) -> dict[str, Any]:
    def tell(step: palette.Step) -> None:
        share = step.done / step.total if step.total else None
        line.send({"note": step.note, "share": share})

    outcome = palette.run(palette.read_brief(brief), on_progress=tell)
    return {"done": True, "scheme": outcome.scheme.to_dict()}
