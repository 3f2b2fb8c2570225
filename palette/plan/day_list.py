"""The timetable as people read it: for every day the steps, from when to when, who and where."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

from palette.plan.order_of_work import Stretch, Timetable
from palette.plan.steps import WorkStep
from palette.plan.work_hours import WorkHours

__all__ = ["DayLine", "list_days"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """One step on one day.

    `start_h` and `end_h` count hours from midnight before the first day. `helpers` are numbers
    from 1; `fields` are (panel, section) in the order they are painted, empty for whole panels.
    """

    day: int
    date: dt.date | None
    start_h: float
    end_h: float
    step: WorkStep
    helpers: tuple[int, ...]
    fields: tuple[tuple[str, str], ...]
    panels: tuple[str, ...]

    @property
    def touch_dry_h(self) -> float:
        """When it may be touched, or 0 where nothing dries."""
        return self.end_h + self.step.touch_dry_h if self.step.touch_dry_h else 0.0

    @property
    def recoat_h(self) -> float:
        """From when the next coat may go on, or 0 where nothing dries."""
        return self.end_h + self.step.recoat_h if self.step.recoat_h else 0.0


def list_days(timetable: Timetable) -> tuple[DayLine, ...]:
    """Return the lines of all days, in the order of their start."""
    hours = WorkHours(timetable.days)
    by_line: dict[tuple[int, int], list[Stretch]] = defaultdict(list)
    for stretch in timetable.stretches:
        by_line[int(stretch.start_h // 24), stretch.piece.step].append(stretch)
    steps = {step.number: step for step in timetable.steps}
    lines = []
    for (_, number), stretches in by_line.items():
        start = min(stretch.start_h for stretch in stretches)
        lines.append(
            DayLine(
                day=hours.day_number(start),
                date=hours.date_of(start),
                start_h=start,
                end_h=max(stretch.end_h for stretch in stretches),
                step=steps[number],
                helpers=tuple(sorted({stretch.helper for stretch in stretches})),
                fields=tuple((s.piece.panel, s.piece.section) for s in stretches if s.piece.section),
                panels=tuple(dict.fromkeys(stretch.piece.panel for stretch in stretches)),
            )
        )
    return tuple(sorted(lines, key=lambda line: (line.start_h, line.step.number)))
