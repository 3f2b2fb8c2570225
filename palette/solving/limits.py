"""How long the engine may think."""

from __future__ import annotations

import time
from dataclasses import dataclass

__all__ = ["Clock", "Limits"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """When to stop looking for something better.

    `seconds` None means: until it is proven.
    """

    seconds: float | None = None


class Clock:
    """The time spent on one question, held against its limits."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._start = time.monotonic()

    @property
    def seconds(self) -> float:
        """Seconds since the question was asked."""
        return time.monotonic() - self._start

    @property
    def expired(self) -> bool:
        """True when the limit has passed."""
        return self._limits.seconds is not None and self.seconds >= self._limits.seconds
