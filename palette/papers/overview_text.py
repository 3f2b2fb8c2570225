"""What the overview says beside its pictures: the days, what to buy, the lamps, what to mind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from palette.papers.marks import NO_BREAK, Box, Mark, Words, wrap_words
from palette.papers.sheet import MM_PER_PT
from palette.papers.wording import clock_words, duration_words
from palette.plan import CLOSING, DayLine, Plan, WorkStep, list_days

__all__ = ["Told", "column_height", "column_marks", "tell_days", "tell_minding", "tell_shopping"]

LINE_MM = 4.3
_BIG_PT = 10.0


@dataclass(frozen=True, slots=True)
class Told:
    """A part of a text column, in its type."""

    text: str
    size_pt: float = 9.5
    bold: bool = False

    @property
    def height(self) -> float:
        """The room of one line of it, mm."""
        return self.size_pt * MM_PER_PT * (1.5 if self.size_pt > _BIG_PT else 1.28)


def _head(text: str) -> Told:
    return Told(text, 12.0, bold=True)


def _strong(text: str) -> Told:
    return Told(text, bold=True)


def tell_days(plan: Plan) -> Iterator[Told]:
    """Yield each day with its hours, then its work with the time each begins."""
    yield _head("Days")
    for day, group in groupby(list_days(plan.timetable), key=lambda line: line.day):
        lines = list(group)
        first = lines[0]
        name = f"Day {day}" if first.date is None else f"{first.date:%a} {first.date.day} {first.date:%b}"
        until = clock_words(max(line.end_h for line in lines))
        yield _strong(f"{name}, {clock_words(first.start_h)}–{until}")
        # A time stays with its work, a dot with what it ends.
        pieces = (piece.replace(" ", NO_BREAK) for piece in _pieces(plan, lines))
        yield Told(f"{NO_BREAK}· ".join(pieces))


def _pieces(plan: Plan, lines: Sequence[DayLine]) -> Iterator[str]:
    """Yield what follows what: cans of one coat together, in the order they are opened."""
    for name, group in groupby(lines, key=lambda line: _short(line.step)):
        run = list(group)
        cans = dict.fromkeys(
            plan.can_number[line.step.product] for line in run if line.step.kind == "colour"
        )
        told = f"{clock_words(run[0].start_h)} {name}"
        yield f"{told}: {'can' if len(cans) == 1 else 'cans'} {', '.join(map(str, cans))}" if cans else told


def _short(step: WorkStep) -> str:
    if step.kind == "colour":
        return f"coat {step.coat}"
    if step.kind == "ground":
        side = "face" if step.surface == "face" else "back"
        names = {"back": "paint the back", "primer": f"prime the {side}"}
        name = names.get(step.product, step.product or step.title)
        return f"{name} {step.coat}" if step.coats > 1 else name
    return {"look": "look in the dark", "trim": "trim", "black": "black joints"}.get(step.kind, step.kind)


def tell_shopping(plan: Plan) -> Iterator[Told]:
    """Yield what to buy and, where there are lamps, what they give and how long eyes may stay."""
    yield _head("To buy")
    currency = plan.settings.buying.currency
    bought = {purchase.product: purchase for purchase in plan.purchases}
    short = [need for need in plan.needs if need.short_l]
    for need in short:
        purchase = bought.get(need.product)
        if purchase is None:
            yield Told(f"{need.product}: {need.short_l:.2f} L")
        else:
            cans = " + ".join(f"{count} × {can.litres:.3g} L" for can, count in purchase.counts)
            yield Told(f"{need.product}: {cans}, {purchase.price / 100:.2f} {currency}".rstrip())
    if plan.purchases:
        yield _strong(f"in all {sum(p.price for p in plan.purchases) / 100:.2f} {currency}".rstrip())
    if not short:
        yield Told("nothing, the stock is enough")
    if plan.lamps is not None:
        light = plan.lamps.light
        yield _head("Lamps")
        count = len(plan.lamps.lamps)
        lamps = "1 lamp" if count == 1 else f"{count} lamps"
        yield Told(f"{lamps}, mean {light.mean * 100:.0f} µW/cm², evenness {light.evenness:.2f}")
        for exposure in plan.lamps.exposures:
            if not exposure.within_day:
                told = duration_words(exposure.eye_s)
                yield Told(f"eyes at the {exposure.place}'s place: {told} a day at most (estimate)")


def tell_minding(plan: Plan) -> Iterator[Told]:
    """Yield the short form of each caution; the work plan has them whole."""
    yield _head("Mind")
    for caution in plan.cautions:
        yield Told(f"{caution.title}: {caution.short}")
    yield _strong(CLOSING.split(". ")[1])


def _lines(told: Sequence[Told], width: float) -> list[Told]:
    return [
        Told(line, part.size_pt, part.bold)
        for part in told
        for line in wrap_words(part.text, width, part.size_pt, bold=part.bold)
    ]


def column_height(told: Sequence[Told], width: float) -> float:
    """Return how high a column is, mm, if nothing is left out."""
    return sum(line.height for line in _lines(told, width)) + 1.0


def column_marks(told: Sequence[Told], box: Box) -> list[Mark]:
    """Return lines down a column; what does not fit is said to be in the work plan."""
    lines = _lines(told, box.width)
    marks: list[Mark] = []
    y = box.top
    for place, line in enumerate(lines):
        last = y + line.height + LINE_MM > box.bottom and place + 1 < len(lines)
        shown = Told("… more in the work plan") if last else line
        y += line.height
        marks.append(Words(x=box.left, y=y - 1.0, text=shown.text, size_pt=shown.size_pt, bold=shown.bold))
        if last:
            break
    return marks
