"""Tasks side by side, each lane a process of its own.

A lane has one task at a time, so that a process that dies takes just that one with it, and everybody
knows which; a pool of the standard library gives up all its tasks when one process dies.

Nothing of ours is imported here: a new process loads this module first, and then says how many
threads the libraries may start, which they ask when they are loaded.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import TypeVar

__all__ = ["Died", "do_side_by_side"]

_PATIENCE_S = 5.0
"""A process told to end that has not ended by then is killed."""

_THREAD_COUNTS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "OPENCV_FOR_THREADS_NUM")

Task = TypeVar("Task")
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Died:
    """A process that ended in the midst of its task; `exit_code` is below 0 for a signal."""

    exit_code: int | None


@dataclass(slots=True, kw_only=True, eq=False)
class _Lane:
    process: BaseProcess
    line: Connection
    task: int | None = None


def do_side_by_side(
    tasks: Sequence[Task], do: Callable[[Task], Answer], *, lanes: int
) -> Generator[tuple[int, Answer | Died]]:
    """Yield the place of each task and its answer, as they come.

    Tasks, answers and `do` must be picklable. However this ends, by the last answer, an exception
    or `close`, all processes have ended then.
    """
    waiting = deque(range(len(tasks)))
    open_lanes: list[_Lane] = []
    try:
        while waiting or any(lane.task is not None for lane in open_lanes):
            _occupy(open_lanes, waiting, tasks, do, lanes)
            busy = {id(lane.line): lane for lane in open_lanes if lane.task is not None}
            for line in wait([lane.line for lane in busy.values()]):
                lane = busy[id(line)]
                assert lane.task is not None
                place, lane.task = lane.task, None
                try:
                    answer: Answer | Died = lane.line.recv()
                except (EOFError, OSError):
                    lane.process.join()
                    answer = Died(exit_code=lane.process.exitcode)
                yield place, answer
    finally:
        _close(open_lanes)


def _open_lane(do: Callable[[Task], Answer], lanes: int) -> _Lane:
    # A fresh interpreter everywhere: a forked one would share locks and threads with this one.
    context = multiprocessing.get_context("spawn")
    line, far_end = context.Pipe()
    threads = max(1, (os.cpu_count() or 1) // lanes)
    process = context.Process(target=_work, args=(far_end, threads), daemon=True)
    process.start()
    far_end.close()
    lane = _Lane(process=process, line=line)
    _send(lane, do)
    return lane


def _occupy(
    open_lanes: list[_Lane],
    waiting: deque[int],
    tasks: Sequence[Task],
    do: Callable[[Task], Answer],
    lanes: int,
) -> None:
    """Give every free lane a task; a lane whose process has died is opened anew."""
    for lane in [lane for lane in open_lanes if lane.task is None and not lane.process.is_alive()]:
        lane.line.close()
        open_lanes.remove(lane)
    while (
        waiting and len(open_lanes) < lanes and sum(lane.task is None for lane in open_lanes) < len(waiting)
    ):
        open_lanes.append(_open_lane(do, lanes))
    for lane in open_lanes:
        if lane.task is None and waiting:
            lane.task = waiting.popleft()
            _send(lane, tasks[lane.task])


def _send(lane: _Lane, thing: object) -> None:
    # Where the process has died, reading from it tells.
    with contextlib.suppress(OSError):
        lane.line.send(thing)


def _close(lanes: Sequence[_Lane]) -> None:
    for lane in lanes:
        lane.line.close()
        if lane.task is not None:
            lane.process.terminate()
    for lane in lanes:
        lane.process.join(_PATIENCE_S)
        if lane.process.is_alive():
            lane.process.kill()
            lane.process.join()


def _work(line: Connection, threads: int) -> None:
    """Do tasks until the line is cut: the first thing it brings is how."""
    # Ctrl-C in the terminal reaches every process, but is the first one's business; that one says
    # when to end, and then what was begun is cleared away on the way out.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, lambda number, _frame: sys.exit(128 + number))
    threading.Thread(target=_end_with_parent, daemon=True).start()
    # More threads than that would only fight the other lanes for the same processors.
    for name in _THREAD_COUNTS:
        os.environ[name] = str(threads)
    try:
        do = line.recv()
        while True:
            task = line.recv()
            line.send(do(task))
    except (EOFError, ConnectionError):
        return


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os.kill(os.getpid(), signal.SIGTERM)
