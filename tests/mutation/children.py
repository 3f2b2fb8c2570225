"""Forked children in which tests meet a fault, so that neither the disk nor this process sees it."""

from __future__ import annotations

import os
import pickle
import resource
import signal
import sys
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["Ended", "run_in_child"]

_MEMORY = 6 * 2**30
"""Bytes. A fault may ask for far too many points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a child ended: what it returned (None where it died), whether its time ran out, CPU seconds."""

    answer: object
    timeout: bool
    seconds: float


def run_in_child(work: Callable[[], object], *, seconds: float, silent: bool = True) -> Ended:
    """Return what a function returns in a forked child that may use so many CPU seconds."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _work(work, writing, seconds, silent)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        told = pipe.read()
    _, status, used = os.wait4(child, 0)
    died_of = os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0
    return Ended(
        answer=pickle.loads(told) if told else None,
        timeout=died_of in (signal.SIGXCPU, signal.SIGALRM, signal.SIGKILL),
        seconds=used.ru_utime + used.ru_stime,
    )


def _work(work: Callable[[], object], writing: int, seconds: float, silent: bool) -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (int(seconds) + 1, int(seconds) + 2))
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    # A child that waits for ever uses no processor; and a busy machine makes an honest one slow.
    signal.alarm(int(seconds * 10) + 20)
    if silent:
        silence = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silence, 1)
        os.dup2(silence, 2)
    try:
        os.write(writing, pickle.dumps(work()))
    except SystemExit as end:
        print(end, file=sys.stderr)
    finally:
        os._exit(0)
