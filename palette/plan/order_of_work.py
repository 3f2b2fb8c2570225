"""Who does what when: the steps cut into pieces and dealt out to helpers over the working days.

A list schedule: whoever is free takes the first piece in the steps' order that may start. A
piece waits for its own earlier coat to be ready for another, and for touching neighbours to be
touch-dry, so that nobody cuts in against a wet edge.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from palette.paint import Paint
from palette.panel import Panel
from palette.plan.areas import Areas, sections_that_touch
from palette.plan.settings import Days, Rates, Settings
from palette.plan.steps import WorkStep, list_steps
from palette.plan.work_hours import WorkHours
from palette.scheme import Scheme

__all__ = ["Piece", "Stretch", "Timetable", "make_timetable"]

MIN_PIECE_H = 1 / 12
"""Nobody opens a can for less than five minutes (common practice)."""

CHANGE_H = 0.1
"""Washing out a brush and stirring the next can (common practice)."""

# Hours a panel takes one person to check, fill or set up for drawing; to draw one section; to look
# over in the dark (common practice).
PREPARE_H = 0.25
DRAW_SECTION_H = 0.1
LOOK_H = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A share of a step that one person does in one go.

    `waits` are earlier pieces, by their place in the list, each with the hours after its end
    before this one may start.
    """

    step: int
    panel: str
    section: str
    hours: float
    waits: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A piece with its helper (from 1) and its times, hours from midnight before the first day."""

    piece: Piece
    helper: int
    start_h: float
    end_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Timetable:
    """The whole job: its steps, and every stretch of work in the order of its start."""

    steps: tuple[WorkStep, ...]
    stretches: tuple[Stretch, ...]
    days: Days

    @property
    def end_h(self) -> float:
        """When the last piece is done."""
        return max((stretch.end_h for stretch in self.stretches), default=0.0)

    @property
    def person_hours(self) -> float:
        """Hours of work of all helpers together."""
        return sum(stretch.piece.hours for stretch in self.stretches)


def make_timetable(
    panels: Sequence[tuple[Panel, Areas, Scheme]], paints: Sequence[Paint], settings: Settings
) -> Timetable:
    """Return who does what when, for all panels as one job, every colour across all of them.

    `paints` are all on the shelf; steps are made for those that are used.
    """
    used = {paint for _, _, scheme in panels for paint in scheme.paint_of.values()}
    steps = list_steps(
        [paint for paint in paints if paint.id in used],
        settings,
        trim_paint=_trim_paint(panels, paints, settings),
    )
    pieces = list(_cut(steps, panels, settings))
    pieces = _add_waits(pieces, steps, panels)
    stretches = _deal(pieces, steps, settings.days)
    return Timetable(steps=steps, stretches=tuple(stretches), days=settings.days)


def _trim_paint(
    panels: Sequence[tuple[Panel, Areas, Scheme]], paints: Sequence[Paint], settings: Settings
) -> Paint | Literal["black", "white"] | None:
    if not any(areas.trim_face > 0 for _, areas, _ in panels):
        return None
    name = settings.surface.trim_paint
    if name == "black":
        return "black"
    if name == "white":
        return "white"
    return next(paint for paint in paints if paint.id == name)


def _cut(
    steps: Sequence[WorkStep], panels: Sequence[tuple[Panel, Areas, Scheme]], settings: Settings
) -> Iterator[Piece]:
    rates = settings.rates
    for step in steps:
        for panel, areas, scheme in panels:
            if step.kind == "colour":
                for section in panel.ids:
                    if scheme.paint_of[section] == step.product:
                        hours = max(MIN_PIECE_H, areas.sections[section] / rates.section_m2_h)
                        yield Piece(step=step.number, panel=panel.name, section=section, hours=hours)
                continue
            hours = _hours_on_panel(step, panel, areas, rates)
            shares = min(settings.days.helpers, step.most_people, max(1, round(hours / 0.5)))
            for _ in range(shares):
                yield Piece(step=step.number, panel=panel.name, section="", hours=hours / shares)


def _hours_on_panel(step: WorkStep, panel: Panel, areas: Areas, rates: Rates) -> float:
    if step.kind == "draw":
        return PREPARE_H + DRAW_SECTION_H * len(panel.sections)
    if step.kind == "look":
        return LOOK_H
    if step.kind == "black":
        return max(MIN_PIECE_H, areas.gaps / rates.section_m2_h + areas.line_m / rates.line_m_h)
    surface = {
        "edges and back": areas.panel_edges + areas.back,
        "face": areas.painted_face,
        "trim": areas.trim_face + areas.trim_edges,
    }.get(step.surface)
    if surface is None:
        return PREPARE_H
    rate = rates.section_m2_h if step.kind == "trim" else rates.ground_m2_h
    return max(MIN_PIECE_H, surface / rate)


def _add_waits(
    pieces: Sequence[Piece], steps: Sequence[WorkStep], panels: Sequence[tuple[Panel, Areas, Scheme]]
) -> list[Piece]:
    step_of = {step.number: step for step in steps}
    of_panel: dict[tuple[int, str], list[int]] = defaultdict(list)
    last_on: dict[tuple[str, str], int] = {}
    beside = _neighbours(panels)
    found = []
    for place, piece in enumerate(pieces):
        step = step_of[piece.step]
        waits: dict[int, float] = {}
        for earlier in (step_of[number] for number in step.after):
            lag = earlier.recoat_h if _goes_on(step, earlier) else earlier.touch_dry_h
            waits |= dict.fromkeys(of_panel[earlier.number, piece.panel], lag)
        if piece.section:
            own = last_on.get((piece.panel, piece.section))
            if own is not None:
                waits[own] = step_of[pieces[own].step].recoat_h
            for neighbour in beside.get((piece.panel, piece.section), ()):
                wet = last_on.get((piece.panel, neighbour))
                # One can, one coat: two neighbours of one step may run into each other.
                if wet is not None and pieces[wet].step != piece.step:
                    waits[wet] = step_of[pieces[wet].step].touch_dry_h
            last_on[piece.panel, piece.section] = place
        of_panel[piece.step, piece.panel].append(place)
        found.append(replace(piece, waits=tuple(sorted(waits.items()))))
    return found


def _goes_on(step: WorkStep, earlier: WorkStep) -> bool:
    """Return whether a step puts paint on what an earlier one painted."""
    if step.kind in ("colour", "black"):
        return True
    return step.surface != "" and step.surface == earlier.surface


def _neighbours(
    panels: Sequence[tuple[Panel, Areas, Scheme]],
) -> Mapping[tuple[str, str], list[str]]:
    beside: dict[tuple[str, str], list[str]] = defaultdict(list)
    for panel, _, _ in panels:
        for a, b in sections_that_touch(panel):
            beside[panel.name, a].append(b)
            beside[panel.name, b].append(a)
    return beside


def _deal(pieces: Sequence[Piece], steps: Sequence[WorkStep], days: Days) -> list[Stretch]:
    """Return the stretches of a list schedule over the working hours."""
    hours = WorkHours(days)
    product = {step.number: step.product for step in steps}
    limit = {step.number: step.most_people for step in steps}
    open_waits = [len(piece.waits) for piece in pieces]
    ready_at = [hours.open_at(0.0)] * len(pieces)
    followers: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for place, piece in enumerate(pieces):
        for other, lag in piece.waits:
            followers[other].append((place, lag))
    ready: list[tuple[float, int]] = []  # (when, place): released, not yet startable
    startable: list[int] = []  # places, the first in order first
    for place, count in enumerate(open_waits):
        if count == 0:
            heapq.heappush(ready, (ready_at[place], place))
    free = [(hours.open_at(0.0), helper) for helper in range(1, days.helpers + 1)]
    heapq.heapify(free)
    holds: dict[int, str] = {}
    running: dict[int, list[float]] = defaultdict(list)
    done: list[Stretch] = []
    while len(done) < len(pieces):
        now, helper = heapq.heappop(free)
        while ready and ready[0][0] <= now + 1e-9:
            heapq.heappush(startable, heapq.heappop(ready)[1])
        chosen = _first_allowed(startable, pieces, limit, running, now)
        if chosen is None:
            # Nothing may start yet: come back when the next piece is ready or a crowded step thins out.
            later = [when for when, _ in ready[:1]]
            later += [min(t for t in running[pieces[p].step] if t > now) for p in startable]
            heapq.heappush(free, (max(min(later), now + 1e-6), helper))
            continue
        piece = pieces[chosen]
        change = CHANGE_H if holds.get(helper, "") not in ("", product[piece.step]) else 0.0
        start, end = hours.fit(now, piece.hours + change)
        holds[helper] = product[piece.step]
        running[piece.step].append(end)
        done.append(Stretch(piece=piece, helper=helper, start_h=start, end_h=end))
        heapq.heappush(free, (end, helper))
        for other, lag in followers[chosen]:
            ready_at[other] = max(ready_at[other], end + lag)
            open_waits[other] -= 1
            if open_waits[other] == 0:
                heapq.heappush(ready, (ready_at[other], other))
    return sorted(done, key=lambda stretch: (stretch.start_h, stretch.helper))


def _first_allowed(
    startable: list[int],
    pieces: Sequence[Piece],
    limit: Mapping[int, int],
    running: Mapping[int, list[float]],
    now: float,
) -> int | None:
    """Take the first startable piece whose step has room for one more person."""
    held = []
    found = None
    while startable:
        place = heapq.heappop(startable)
        step = pieces[place].step
        if sum(end > now + 1e-9 for end in running[step]) < limit[step]:
            found = place
            break
        held.append(place)
    for place in held:
        heapq.heappush(startable, place)
    return found
