"""Working hours as a line of time: which hours are open, and where a piece of work fits."""

from __future__ import annotations

import datetime as dt

from palette.plan.settings import Days

__all__ = ["WorkHours"]

_SLACK = 1e-9  # hours; less is rounding


class WorkHours:
    """The open hours of a job, counted in hours from midnight before its first day.

    Without a start date the first day is the first of the weekdays.
    """

    def __init__(self, days: Days) -> None:
        opens = days.opens.hour + days.opens.minute / 60
        setup = min(days.setup_h, days.hours / 4)
        self._opens = opens + setup
        self._hours = min(days.hours, 24.0 - opens) - 2 * setup
        self._weekdays = frozenset(days.weekdays)
        self._first = days.start.weekday() if days.start else min(days.weekdays)
        self._start = days.start

    def open_at(self, hour: float) -> float:
        """Return the first open hour at or after this one."""
        day = int(hour // 24)
        while True:
            if (self._first + day) % 7 in self._weekdays:
                opening = 24.0 * day + self._opens
                if hour < opening + self._hours - _SLACK:
                    return max(hour, opening)
            day += 1

    def fit(self, hour: float, length: float) -> tuple[float, float]:
        """Return start and end of work of this length, begun at or after an hour.

        Work that fits in one day is not cut by a night: a field left half done shows. Longer
        work goes on the next day.
        """
        start = self.open_at(hour)
        if start + length > self._closing(start) + _SLACK and length <= self._hours:
            start = self.open_at(self._closing(start))
        end, rest = start, length
        while rest > _SLACK:
            end = self.open_at(end)
            today = min(rest, self._closing(end) - end)
            end, rest = end + today, rest - today
        return start, end

    def _closing(self, hour: float) -> float:
        return 24.0 * (hour // 24) + self._opens + self._hours

    def day_number(self, hour: float) -> int:
        """Return which working day an hour lies on, from 1, nights and days off not counted."""
        return sum((self._first + day) % 7 in self._weekdays for day in range(int(hour // 24) + 1))

    def date_of(self, hour: float) -> dt.date | None:
        """Return the date of an hour, None without a start date."""
        return None if self._start is None else self._start + dt.timedelta(days=int(hour // 24))
