"""Plans of a paint job."""

from __future__ import annotations

from itertools import groupby

from palette.notebook.shown import Shown, listing, paragraph, table
from palette.papers.marks import NO_BREAK
from palette.papers.wording import clock_words
from palette.plan import CLOSING, DayLine, Need, Plan, list_days

__all__ = ["show_plan"]


def show_plan(plan: Plan) -> Shown:
    """Show what to buy, which day brings what, what is short and what to mind."""
    litres = sum(need.short_l or 0.0 for need in plan.needs)
    words = (
        f"{plan.title}: {len(plan.used_paints)} paints in use, {litres:.2f} L to buy, "
        f"about {plan.timetable.person_hours:.0f} hours of work"
    )
    headings = ("", "m² of one coat", "coats", "needed", "in stock", "to buy", "cans")
    remarks = (*plan.left_out, *plan.remarks)
    days = [_day_row(list(lines)) for _, lines in groupby(list_days(plan.timetable), lambda line: line.day)]
    markup = [
        paragraph("", bold=f"{words}."),
        table(headings, [_need_row(plan, need) for need in plan.needs]),
        paragraph("", bold="The days:"),
        table(("day", "hours", "work"), days),
        *([paragraph("", bold="To know:"), listing(remarks)] if remarks else []),
        paragraph("", bold="To mind:"),
        listing(f"{caution.title}: {caution.short}" for caution in plan.cautions),
        paragraph(CLOSING),
    ]
    return Shown(words=words, markup=tuple(markup))


def _need_row(plan: Plan, need: Need) -> tuple[str, ...]:
    bought = next((each for each in plan.purchases if each.product == need.product), None)
    cans = [] if bought is None else [f"{count} × {can.litres:.3g} L" for can, count in bought.counts]
    return (
        need.product,
        f"{need.area_m2:.2f}",
        str(need.coats),
        _litres(need.litres),
        _litres(need.stock_l),
        _litres(need.short_l),
        " + ".join(cans),
    )


def _litres(value: float | None) -> str:
    return "" if value is None else f"{value:.2f} L"


def _day_row(lines: list[DayLine]) -> tuple[str, str, str]:
    first = lines[0]
    name = f"Day {first.day}" if first.date is None else f"{first.date:%a} {first.date.day} {first.date:%b}"
    until = clock_words(max(line.end_h for line in lines))
    steps = " · ".join(dict.fromkeys(line.step.title for line in lines))
    # Held together, or a narrow column would break them.
    hours = f"{clock_words(first.start_h)}\u2060–\u2060{until}"
    return name.replace(" ", NO_BREAK), hours, steps
