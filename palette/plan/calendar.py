"""The days as an iCalendar file (RFC 5545), one event for every step of every day."""

from __future__ import annotations

import datetime as dt

from palette.plan.cautions import CLOSING
from palette.plan.day_list import DayLine, list_days
from palette.plan.making import Plan

__all__ = ["calendar_of"]


def calendar_of(plan: Plan) -> bytes:
    """Return the calendar file, in local ("floating") time, or nothing without a start date.

    The same plan gives the same bytes: event ids come from the edition and the step, and the
    time stamp is the start date, not the clock.
    """
    start = plan.settings.days.start
    if start is None:
        return b""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//palette//paint plan//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", " ".join(plan.title.split()))
    stamp = dt.datetime.combine(start, dt.time(0), tzinfo=dt.UTC)
    for line in list_days(plan.timetable):
        calendar.add_component(_event(plan, line, start, stamp))
    text: bytes = calendar.to_ical()
    return text


def _event(plan: Plan, line: DayLine, start: dt.date, stamp: dt.datetime):  # type: ignore[no-untyped-def]
    from icalendar import Event

    midnight = dt.datetime.combine(start, dt.time(0))
    step = line.step
    event = Event()
    event.add("uid", f"{plan.panels[0].edition}-{step.number}-{line.day}@palette.invalid")
    event.add("dtstamp", stamp)
    # Whole minutes: nobody sets out for 10:14:37.
    event.add("dtstart", midnight + dt.timedelta(minutes=round(line.start_h * 60)))
    event.add(
        "dtend", midnight + dt.timedelta(minutes=max(round(line.end_h * 60), round(line.start_h * 60) + 5))
    )
    coat = f", coat {step.coat} of {step.coats}" if step.coats else ""
    event.add("summary", f"{step.number}. {step.title}{coat}")
    said = [f"Helpers: {len(line.helpers)}."]
    if line.fields:
        many = len(plan.panels) > 1
        said.append("Sections: " + ", ".join(f"{p} {s}" if many else s for p, s in line.fields) + ".")
    if step.recoat_h:
        said.append(f"Touch-dry after {step.touch_dry_h:g} h, next coat after {step.recoat_h:g} h.")
    if step.weather:
        said.append(f"Weather: {step.weather}.")
    if step.caution:
        said.append(f"Mind: {step.caution}.")
    said.append(CLOSING)
    event.add("description", " ".join(said))
    event.add("categories", [step.kind])
    return event
