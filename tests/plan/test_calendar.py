"""The calendar file read back by a library that implements RFC 5545, and by its line rules."""

import datetime as dt

import icalendar
import pytest

from palette.plan import calendar_of, list_days, make_plan
from palette.plan.settings import Days, Settings

START = dt.date(2026, 10, 2)


@pytest.fixture
def plan(two_slabs, two_slab_scheme, shelf):
    return make_plan(
        [(two_slabs, two_slab_scheme)], shelf, Settings(days=Days(start=START, weekdays=(4, 5)))
    )


def test_every_line_of_the_days_is_an_event(plan):
    events = icalendar.Calendar.from_ical(calendar_of(plan)).walk("VEVENT")
    lines = list_days(plan.timetable)
    assert len(events) == len(lines)
    for event, line in zip(events, lines, strict=True):
        begins, ends = event.decoded("DTSTART"), event.decoded("DTEND")
        assert begins.date() == line.date
        assert begins.weekday() in (4, 5)
        assert begins < ends
        assert begins.tzinfo is None  # local time of the hall, wherever that is
        assert "licensed practice decide" in str(event["DESCRIPTION"])
    summaries = [str(event["SUMMARY"]) for event in events]
    assert any("yellow, coat 1 of 2" in summary for summary in summaries)


def test_it_follows_the_standard_s_form(plan):
    text = calendar_of(plan)
    lines = text.split(b"\r\n")
    # RFC 5545, 3.1: CRLF, at most 75 octets a line; 3.6: VERSION and PRODID; 3.6.1: UID, DTSTAMP.
    assert b"\n" not in b"".join(lines)
    assert max(len(line) for line in lines) <= 75
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert b"VERSION:2.0" in lines
    uids = [line for line in lines if line.startswith(b"UID:")]
    stamps = [line for line in lines if line.startswith(b"DTSTAMP:")]
    assert len(uids) == len(set(uids)) == len(stamps) == text.count(b"BEGIN:VEVENT")
    assert set(stamps) == {b"DTSTAMP:20261002T000000Z"}


def test_the_same_plan_gives_the_same_bytes(plan):
    assert calendar_of(plan) == calendar_of(plan)


def test_no_date_no_calendar(two_slabs, two_slab_scheme, shelf):
    plan = make_plan([(two_slabs, two_slab_scheme)], shelf)
    assert calendar_of(plan) == b""
    assert any("No start date" in remark for remark in plan.remarks)
