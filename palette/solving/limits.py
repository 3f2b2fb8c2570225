"""How long the engine may think."""

from __future__ import annotations

import time
from dataclasses import dataclass

__all__ = ["DEFAULT_PATIENCE", "Clock", "Limits", "Undecided"]

DEFAULT_PATIENCE = 100_000
"""Conflicts the solver may run into over one question; some seconds on a hard one."""


class Undecided(Exception):
    """A question was not answered within the limits: not a fault, just no news."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """When to stop looking for something better, or for the proof that there is nothing better.

    Parameters
    ----------
    seconds : float or None
        For everything together; None for no limit. A scheme is returned all the same.
    patience : int
        Conflicts the solver may run into over one question. Unlike seconds it gives the same
        answer on every machine.
    """

    seconds: float | None = None
    patience: int = DEFAULT_PATIENCE


class Clock:
    """The time spent on one verb, held against its limits."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self._start = time.monotonic()

    @property
    def seconds(self) -> float:
        """Seconds since the clock started."""
        return time.monotonic() - self._start

    @property
    def left(self) -> float:
        """Seconds left, or infinity."""
        return float("inf") if self.limits.seconds is None else self.limits.seconds - self.seconds

    @property
    def expired(self) -> bool:
        """True when the limit has passed."""
        return self.left <= 0
