"""Kill a process with SIGKILL before each call a write makes; print what each left, one JSON row a kill.

A program of its own, so that it can fork in peace: ``python -m filing.kill_at_each_call FOLDER``.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from pathlib import Path

from filing.recording import watch_calls
from filing.test_faults import OLD, SET_OF, hidden, lay, seen

from palette.filing import finish_interrupted


def killed_at(folder: Path, write, at: int) -> bool:
    """Return whether a process that writes there was killed at that call, or had ended before it."""
    child = os.fork()
    if child == 0:
        count = 0

        def met(name: str, args: tuple) -> None:
            nonlocal count
            count += 1
            if count == at:
                os.kill(os.getpid(), signal.SIGKILL)

        with watch_calls(met):
            write(folder)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return os.WTERMSIG(status) == signal.SIGKILL
    assert os.WEXITSTATUS(status) == 0
    return False


def main() -> None:
    """Kill everywhere."""
    place = Path(sys.argv[1])
    for what, (write, new) in SET_OF.items():
        at, alive = 0, False
        while not alive:
            at += 1
            folder = lay(place / f"{what}-{at}", OLD)
            alive = not killed_at(folder, write, at)
            found, waiting = seen(folder), hidden(folder)
            finish_interrupted(folder)
            after = seen(folder)
            write(folder)
            print(json.dumps({
                "what": what, "at": at, "killed": not alive, "mixed": found not in (OLD, new),
                "left": waiting, "old": after == OLD, "new": after == new,
                "goes_on": seen(folder) == new, "left_over": hidden(folder),
            }))  # fmt: skip


if __name__ == "__main__":
    main()
