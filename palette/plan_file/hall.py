"""The tables about days, people, the site and paper."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from palette.errors import InputError
from palette.plan.settings import Days, LabelSheet, Paper, People, Rates, Site
from palette.plan_file.values import parse_hours, take_choice, take_point, take_whole
from palette.reading import nearest, refuse_unknown_keys, take_number
from palette.units import parse_length, parse_size

_MOST_REDUCED = 1000
"""1:1000 makes a wall of ten metres as wide as a thumb nail."""

_FIRST_YEAR, _LAST_YEAR = 2000, 2200

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

__all__ = ["read_days", "read_labels", "read_paper", "read_people", "read_rates", "read_site"]


def read_days(table: Mapping[str, Any], usual: Days, where: str) -> Days:
    keys = (
        "start",
        "opens",
        "hours",
        "weekdays",
        "helpers",
        "setup",
        "drying_factor",
        "touch_dry",
        "recoat",
    )
    refuse_unknown_keys(table, keys, where=where)
    stated: dict[str, Any] = {}
    for key, kind, mend in (
        ("start", dt.date, "start = 2026-10-03"),
        ("opens", dt.time, "opens = 18:00:00"),
    ):
        if key in table:
            if type(table[key]) is not kind:
                raise InputError(
                    where, f'"{key}" is {table[key]!r}', f"write {mend}, without quotation marks"
                )
            stated[key] = table[key]
    if "start" in stated and not _FIRST_YEAR <= stated["start"].year <= _LAST_YEAR:
        mend = f"write a day from {_FIRST_YEAR} to {_LAST_YEAR}"
        raise InputError(where, f'"start" is {stated["start"]}', mend)
    if "hours" in table:
        stated["hours"] = take_number(table, "hours", where=where, least=1, most=24)
    if "helpers" in table:
        stated["helpers"] = take_whole(table, "helpers", where=where, least=1, most=200)
    if "drying_factor" in table:
        stated["drying_factor"] = take_number(table, "drying_factor", where=where, least=0.1, most=20)
    for key, name in (
        ("setup", "setup_h"),
        ("touch_dry", "colour_touch_dry_h"),
        ("recoat", "colour_recoat_h"),
    ):
        if key in table:
            stated[name] = parse_hours(table[key], where=f"{where}, {key}")
    if "weekdays" in table:
        stated["weekdays"] = _weekdays(table["weekdays"], where=f"{where}, weekdays")
    return replace(usual, **stated)


def _weekdays(value: Any, *, where: str) -> tuple[int, ...]:
    if not isinstance(value, list) or not value:
        raise InputError(where, "this is not a list of days", 'write weekdays = ["fri", "sat"]')
    for day in value:
        if day not in WEEKDAYS:
            raise InputError(where, f"{day!r} is not a day", nearest(str(day), WEEKDAYS))
    return tuple(sorted({WEEKDAYS.index(day) for day in value}))


def read_rates(table: Mapping[str, Any], usual: Rates, where: str) -> Rates:
    names = {
        "ground_m2_an_hour": "ground_m2_h",
        "section_m2_an_hour": "section_m2_h",
        "line_m_an_hour": "line_m_h",
    }
    refuse_unknown_keys(table, names, where=where)
    stated = {
        name: take_number(table, key, where=where, least=0.1, most=1000)
        for key, name in names.items()
        if key in table
    }
    return replace(usual, **stated)


def read_site(table: Mapping[str, Any], usual: Site, where: str) -> Site:
    refuse_unknown_keys(table, ("old_paint", "method", "lamps_outdoors"), where=where)
    stated: dict[str, Any] = {}
    for key, choices in (("old_paint", ("none", "known", "unknown")), ("method", ("brush", "spray"))):
        if key in table:
            stated[key] = take_choice(table, key, choices, where=where)
    if "lamps_outdoors" in table:
        if not isinstance(table["lamps_outdoors"], bool):
            raise InputError(
                where, f'"lamps_outdoors" is {table["lamps_outdoors"]!r}', "write true or false"
            )
        stated["lamps_outdoors"] = table["lamps_outdoors"]
    return replace(usual, **stated)


def read_people(table: Mapping[str, Any], usual: People, where: str) -> People:
    refuse_unknown_keys(table, ("visitor", "painter"), where=where)
    return replace(usual, **{f"{who}_mm": take_point(table, who, 3, where=where) for who in table})


def read_paper(table: Mapping[str, Any], usual: Paper, where: str) -> Paper:
    refuse_unknown_keys(table, ("size", "grid", "tracing", "scale"), where=where)
    stated: dict[str, Any] = {}
    choices = {
        "size": ("A4", "A3", "Letter", "Tabloid"),
        "grid": ("25 cm", "1 ft"),
        "tracing": ("tiled", "none"),
    }
    for key, known in choices.items():
        if key in table:
            stated[key] = take_choice(table, key, known, where=where)
    if "scale" in table:
        found = re.fullmatch(r"\s*1\s*:\s*(\d+(?:\.\d+)?)\s*", str(table["scale"]))
        if not found or not 1 <= float(found.group(1)) <= _MOST_REDUCED:
            raise InputError(where, f'"scale" is {table["scale"]!r}', 'write it like scale = "1:20"')
        stated["scale"] = float(found.group(1))
    return replace(usual, **stated)


def read_labels(table: Mapping[str, Any], usual: LabelSheet, where: str) -> LabelSheet:
    lengths = ("left", "top", "width", "height", "step_x", "step_y")
    refuse_unknown_keys(table, (*lengths, "page", "columns", "rows", "first"), where=where)
    stated: dict[str, Any] = {
        f"{key}_mm": parse_length(table[key], where=f"{where}, {key}") for key in lengths if key in table
    }
    for key in ("columns", "rows", "first"):
        if key in table:
            stated[key] = take_whole(table, key, where=where, least=1, most=500)
    if "page" in table:
        stated["page_mm"] = parse_size(table["page"], where=f"{where}, page")
    return replace(usual, **stated)
