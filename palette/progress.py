"""How a long verb tells its caller where it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["OnProgress", "Step", "silent"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One moment of a long verb.

    Parameters
    ----------
    room : str
        The part of palette at work.
    done, total : int
        So much is done, of so much; `total` is 0 where it cannot be known.
    note : str
        A few words for a person.
    """

    room: str
    done: int
    total: int
    note: str = ""


OnProgress = Callable[[Step], None]
"""Called now and then with a `Step`; raising `Stopped` in it ends the verb."""


def silent(step: Step) -> None:
    """Ignore the step: the default for callers who do not watch.

    Parameters
    ----------
    step : Step
    """
