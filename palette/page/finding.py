"""Questions to the engine, answered beside the page in a process of their own.

The engine holds its interpreter while it thinks; in the page's own process every tab would
freeze. A process can also be told to stop at any moment, and answers with its best so far.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Literal

from palette.page.answering import answer

__all__ = ["Found", "Question", "Search"]

Question = Literal["best", "alternatives", "purchase"]

_PATIENCE_S = 6.0
"""A worker told to stop that has not answered by then is ended."""


@dataclass(slots=True, kw_only=True)
class Found:
    """What a question has brought so far.

    Parameters
    ----------
    question : Question
    key : str
        The ground it was asked about; on another ground the answer means nothing.
    note : str
        What is being done.
    scheme : dict or None
        A scheme as in ``scheme.json``.
    done : bool
    sentence : str
        Why there is no answer.
    rules : list of int
        Numbers of the rules that collide, where there is no scheme.
    places : list of list of str
        Sections at which the rules collide.
    ways : list of dict
        Ways out: ``changes`` in words, ``edits`` of rules by their number, rules to leave ``out``.
    alternatives : list of dict
        ``paint_of`` and ``best_at`` of each.
    purchases : list of str
        Sentences.
    """

    question: Question = "best"
    key: str = ""
    note: str = ""
    scheme: dict[str, Any] | None = None
    done: bool = False
    sentence: str = ""
    rules: list[int] = field(default_factory=list)
    places: list[list[str]] = field(default_factory=list)
    ways: list[dict[str, Any]] = field(default_factory=list)
    alternatives: list[dict[str, Any]] = field(default_factory=list)
    purchases: list[str] = field(default_factory=list)


class Search:
    """A worker that waits for questions; it is started when it is first needed."""

    def __init__(self) -> None:
        self._worker: multiprocessing.process.BaseProcess | None = None
        self._line: Connection | None = None
        self._stop_by = 0.0
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

    def ask(self, question: Question, brief: Path, key: str) -> None:
        """Ask about a brief; a question still open is dropped."""
        if self.running:
            self.close()
        self.warm_up()
        assert self._line is not None
        before, self.found = self.found, Found(question=question, key=key, note="Starting")
        if before.key == key:
            self.found.alternatives, self.found.purchases = before.alternatives, before.purchases
        self._stop_by = 0.0
        self._line.send((question, str(brief)))

    def listen(self) -> bool:
        """Take in what the worker said since the last call; return whether there was anything."""
        heard = False
        try:
            while self.running and self._line is not None and self._line.poll():
                for name, value in self._line.recv().items():
                    setattr(self.found, name, value)
                heard = True
        except (EOFError, OSError):
            self._give_up("The search ended by itself; start it again.")
            heard = True
        if self.running and self._stop_by and time.monotonic() > self._stop_by:
            self._give_up("Stopped; nothing had been found yet, the wall is as it was.")
            heard = True
        return heard

    def stop(self) -> None:
        """Ask for the best so far, now."""
        if not self.running or self._worker is None or self._worker.pid is None:
            return
        self.found.note = "Stopping"
        self._stop_by = time.monotonic() + _PATIENCE_S
        if os.name == "posix":
            os.kill(self._worker.pid, signal.SIGINT)
        else:
            self._give_up("Stopped; the wall is as it was.")

    def _give_up(self, sentence: str) -> None:
        self.close()
        self.found.done, self.found.sentence = True, sentence

    def close(self) -> None:
        """End the worker."""
        if self._worker is not None:
            self._worker.terminate()
            self._worker = None


def _end_with_the_page() -> None:
    # A page that was killed cuts the line, but who thinks does not listen to it, perhaps for an hour.
    page = multiprocessing.parent_process()
    if page is not None:
        page.join()
        os._exit(1)


def _work(line: Connection) -> None:
    """Answer questions until the line is cut."""
    # Ctrl-C in the terminal is the page's business: it ends this process by cutting the line. So the
    # worker leaves the terminal's group, and hears the signal only from the page, while it thinks.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if os.name == "posix":
        os.setsid()
    threading.Thread(target=_end_with_the_page, daemon=True).start()
    while True:
        try:
            question, brief = line.recv()
        except (EOFError, OSError):
            return
        said: Mapping[str, Any]
        try:
            signal.signal(signal.SIGINT, signal.default_int_handler)
            said = answer(question, Path(brief), lambda note: line.send({"note": note}))
        except KeyboardInterrupt:
            said = {"sentence": "Stopped; nothing had been found yet, the wall is as it was."}
        finally:
            signal.signal(signal.SIGINT, signal.SIG_IGN)
        try:
            line.send({**said, "done": True})
        except (BrokenPipeError, OSError):
            return
