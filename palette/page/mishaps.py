"""What nobody foresaw: one sentence at the page and in the terminal, not a page that falls silent."""

from __future__ import annotations

import logging
import traceback
from collections.abc import Callable
from pathlib import Path

from palette.errors import PaletteError

__all__ = ["in_words", "is_ours", "tell_in_words"]

Tell = Callable[[str], object]

_LIBRARIES = ("nicegui", "uvicorn", "uvicorn.error", "socketio", "socketio.server", "engineio",
              "engineio.server")  # fmt: skip
"""Those that write to the terminal by themselves."""

_DOORS = ("guarding.py", "conduct.py", "hearing.py", "connections.py")
"""Everything passes through these."""


def in_words(fault: BaseException) -> str:
    """Return one sentence about a fault, with the place in our own code for whoever is to mend it."""
    if isinstance(fault, PaletteError):
        return str(fault)
    steps = traceback.extract_tb(fault.__traceback__)
    ours = _our_steps(fault)
    step = (ours or steps)[-1] if steps else None
    place = f" in {Path(step.filename).name}, line {step.lineno}" if step else ""
    what = " ".join(f"{type(fault).__name__}: {fault}".split())[:200]
    return f"That did not work: palette itself has a fault here ({what}{place}). The wall is as it was."


def is_ours(fault: BaseException) -> bool:
    """Return whether it came about in our own code, not in a library at a visitor's garbled request."""
    return bool(_our_steps(fault))


def _our_steps(fault: BaseException) -> list[traceback.FrameSummary]:
    steps = traceback.extract_tb(fault.__traceback__)
    ours = Path(__file__).parents[1]
    return [step for step in steps if Path(step.filename).is_relative_to(ours)
            and Path(step.filename).name not in _DOORS]  # fmt: skip


def tell_in_words(tell: Tell) -> None:
    """Let `tell` hear, as sentences, of what the libraries of the page have to complain about."""
    logging.getLogger().handlers[:] = [_Ear(tell)]
    for name in _LIBRARIES:
        logger = logging.getLogger(name)
        logger.handlers[:] = []
        logger.propagate = True


class _Ear(logging.Handler):
    """Pass on faults, and nothing of what visitors that are refused have sent."""

    def __init__(self, tell: Tell) -> None:
        super().__init__(logging.ERROR)
        self._tell = tell
        self._last = ""

    def emit(self, record: logging.LogRecord) -> None:
        """Tell of one fault; the same one again and again is told once."""
        fault = record.exc_info[1] if record.exc_info else None
        if fault is not None and _is_garbled_message(fault):
            return
        # Without an exception it is the server that cannot start, or a visitor's strange words.
        plain = _plain(record) if record.name.startswith("uvicorn") else ""
        sentence = in_words(fault) if fault is not None else plain
        if sentence and sentence != self._last:
            self._last = sentence
            self._tell(sentence)


def _is_garbled_message(fault: BaseException) -> bool:
    """Return whether the libraries of the live connection stumbled over what a visitor sent.

    What their own listeners do wrong never comes up to them: `hearing` lets nothing through.
    """
    steps = traceback.extract_tb(fault.__traceback__)
    return any({"socketio", "engineio"} & set(Path(step.filename).parts) for step in steps)


def _plain(record: logging.LogRecord) -> str:
    text = " ".join(record.getMessage().split())
    return "".join(sign if sign.isprintable() else "?" for sign in text)[:300]
