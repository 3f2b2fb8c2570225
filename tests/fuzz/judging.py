"""Whether an outcome is a result, a refusal in one sentence, or a fault of ours."""

from __future__ import annotations

import signal
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Literal

from palette.errors import InputError

SECONDS = 10.0
"""What one input may take, as processor time, which a busy machine does not stretch."""

_LONGEST_SENTENCE = 1500
_TELLTALES = ("Traceback", "Error(", "Exception", " object at 0x", "<class '", "NoneType", "Errno", "__")
_PACKAGE = str(Path(__file__).resolve().parents[2] / "palette")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """How one input ended; a fault has a signature, the same for inputs that fail alike."""

    kind: Literal["result", "refusal", "fault"]
    seconds: float
    signature: str = ""
    told: str = ""


class TooSlow(BaseException):
    """The alarm; not an Exception, so that no reader takes it for a slip of the file."""


def judge(target: Callable[[bytes], object], data: bytes, *, seconds: float = SECONDS) -> Ruling:
    """Return how a reader takes an input; `seconds` is what it may take."""
    begun = time.process_time()

    def ruling(kind: Literal["result", "refusal", "fault"], signature: str = "", told: str = "") -> Ruling:
        return Ruling(kind=kind, seconds=time.process_time() - begun, signature=signature, told=told)

    before = signal.signal(signal.SIGPROF, _ring)
    try:
        signal.setitimer(signal.ITIMER_PROF, seconds)
        try:
            target(data)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
    except InputError as refusal:
        wrong = faults_of_refusal(refusal, data)
        if wrong:
            return ruling(
                "fault", f"sentence {wrong[0][0]}", "\n".join(f"{k}: {t!r}" for k, t in wrong[:20])
            )
        return ruling("refusal")
    except TooSlow as fault:
        return ruling("fault", f"slow {_place(fault, frame_of_ours=True)}", _story(fault))
    except Exception as fault:  # noqa: BLE001 - whatever else comes out is what this looks for
        return ruling("fault", f"{type(fault).__name__} {_place(fault)}", _story(fault))
    finally:
        signal.signal(signal.SIGPROF, before)
    return ruling("result")


def faults_of_refusal(refusal: InputError, data: bytes = b"") -> list[tuple[str, str]]:
    """Return what keeps a refusal from being clear sentences, as pairs of kind and text."""
    found = []
    for each in refusal.each():
        text = str(each)
        if len(text.splitlines()) != 1:
            found.append(("on several lines", text))
        if not text.isprintable():
            found.append(("with marks that cannot be printed", text))
        if len(text) > _LONGEST_SENTENCE:
            found.append(("too long to read", f"{len(text)} letters: {text[:200]}"))
        if not (each.where.strip() and each.what.strip() and each.mend.strip()):
            found.append(("without a place, a fault or a remedy", text))
        if not text.endswith(".") or text.endswith(".."):
            found.append(("without its full stop", text))
        found += [
            (f"with {word}", text) for word in _TELLTALES if word in text and word.encode() not in data
        ]
    return found


def _ring(number: int, frame: FrameType | None) -> None:
    raise TooSlow("it rang")


def _place(fault: BaseException, *, frame_of_ours: bool = False) -> str:
    frames = traceback.extract_tb(fault.__traceback__)
    ours = [frame for frame in frames if frame.filename.startswith(_PACKAGE)]
    last = (ours or frames)[-1] if not frame_of_ours or ours else frames[-1]
    return f"{Path(last.filename).name} {last.name}"


def _story(fault: BaseException) -> str:
    return "".join(traceback.format_exception(fault))[-6000:]
