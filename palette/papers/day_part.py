"""The part of the work plan that says who does what when."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from palette.papers.setting import heading, subheading, table
from palette.papers.wording import clock_words
from palette.plan import DayLine, Plan, list_days

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

__all__ = ["day_part"]

MOST_NAMES = 40
"""More names than this in one line are not read; the can's own page has them."""


def day_part(plan: Plan, width_mm: float) -> list[Flowable]:
    """Return one table for every day."""
    from reportlab.platypus import CondPageBreak

    story: list[Flowable] = [heading("Day by day")]
    for _, group in groupby(list_days(plan.timetable), key=lambda line: line.day):
        lines = list(group)
        rows = [["When", "Step", "Can", "Who", "Where", "Dry", "Next coat", "Weather, caution"]]
        rows += [_row(plan, line) for line in lines]
        story += [
            CondPageBreak(100),
            subheading(f"{_day_words(lines[0])}, {_open_hours(plan)}"),
            table(rows, (27, 72, 10, 19, 0, 18, 25, 45), width_mm, bold=(0, 2)),
        ]
    return story


def _row(plan: Plan, line: DayLine) -> list[str]:
    step = line.step
    coat = f", coat {step.coat} of {step.coats}" if step.coats > 1 else ""
    can = plan.can_number.get(step.product)
    return [
        f"{clock_words(line.start_h)}–{clock_words(line.end_h)}",
        f"{step.number}. {step.title}{coat}",
        "" if can is None else str(can),
        f"{len(line.helpers)} at once" if len(line.helpers) > 1 else "1",
        _where(plan, line),
        _later(line, line.touch_dry_h) if step.touch_dry_h else "",
        _later(line, line.recoat_h) if step.recoat_h and step.coat < step.coats else "",
        "; ".join(words for words in (step.weather, step.caution) if words),
    ]


def _where(plan: Plan, line: DayLine) -> str:
    many = len(plan.panels) > 1
    if not line.fields:
        whole = "trim boards" if line.step.kind == "trim" else "whole panel"
        return ", ".join(_ranges(plan, line.panels)) if many else whole
    shown = line.fields[:MOST_NAMES]
    on_panel: dict[str, list[str]] = {}
    for panel, section in shown:
        on_panel.setdefault(panel, []).append(section)
    named = "; ".join((f"{panel}: " if many else "") + ", ".join(on_panel[panel]) for panel in on_panel)
    rest = len(line.fields) - len(shown)
    return f"{named} and {rest} more" if rest else named


def _ranges(plan: Plan, panels: Sequence[str]) -> list[str]:
    """Return panels by name, those that follow one another in the run as "first to last"."""
    place = {each.panel.name: number for number, each in enumerate(plan.panels)}
    runs: list[list[str]] = []
    for name in sorted(panels, key=place.__getitem__):
        if runs and place[name] == place[runs[-1][-1]] + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]


def _later(line: DayLine, hour: float) -> str:
    days = int(hour // 24) - int(line.start_h // 24)
    return clock_words(hour) + (f" +{days} d" if days else "")


def _day_words(line: DayLine) -> str:
    if line.date is None:
        return f"Day {line.day}"
    return f"Day {line.day}: {line.date:%A} {line.date.day} {line.date:%B %Y}"


def _open_hours(plan: Plan) -> str:
    days = plan.settings.days
    opens = days.opens.hour + days.opens.minute / 60
    return f"set up from {clock_words(opens)}, clean up until {clock_words(opens + days.hours)}"
