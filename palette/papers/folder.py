"""All papers of a plan, one after the other, each with the name of its file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from palette.papers.can_pages import can_page
from palette.papers.looks import CanLook, look_of_cans
from palette.papers.overview import overview_page
from palette.papers.paint_map import map_pages
from palette.papers.pdf import pdf_of
from palette.papers.stickers import sticker_pages
from palette.papers.svg import svg_of
from palette.papers.tick_list import tick_pages
from palette.papers.tracing import tracing_pages
from palette.papers.work_plan import work_plan_pdf
from palette.plan import PaintedPanel, Plan, areas_csv, calendar_of, quantities_csv, shopping_csv
from palette.plan.steps import light_to_dark

__all__ = ["Paper", "count_papers", "draw_papers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A file to write: its name inside the folder, and what is in it."""

    name: str
    data: bytes


def count_papers(plan: Plan) -> int:
    """Return how many papers `draw_papers` yields."""
    traced = plan.settings.paper.tracing == "tiled"
    each = 3 if traced else 2
    return 6 + bool(plan.purchases) + (plan.settings.days.start is not None) + each * len(plan.panels)


def draw_papers(plan: Plan) -> Iterator[Paper]:
    """Yield the papers, drawn one at a time so that a long run of panels fits in memory."""
    looks = look_of_cans(plan.can_number, plan.paints)
    yield Paper(
        name="overview.pdf", data=pdf_of([overview_page(plan, looks)], title=f"{plan.title}: overview")
    )
    yield Paper(name="work-plan.pdf", data=work_plan_pdf(plan, looks))
    yield Paper(name="quantities.csv", data=quantities_csv(plan).encode())
    yield Paper(name="sections.csv", data=areas_csv(plan).encode())
    if plan.purchases:
        yield Paper(name="shopping.csv", data=shopping_csv(plan).encode())
    calendar = calendar_of(plan)
    if calendar:
        yield Paper(name="days.ics", data=calendar)
    yield Paper(name="labels.pdf", data=pdf_of(sticker_pages(plan, looks), title=f"{plan.title}: labels"))
    for each, name in zip(plan.panels, _file_names(plan), strict=True):
        yield from _of_panel(plan, each, looks, name)
    cans = (
        page
        for paint in light_to_dark(plan.used_paints)
        for each in plan.panels
        if plan.uses(each, paint.id)
        for page in can_page(plan, each, looks, paint.id)
    )
    yield Paper(name="by-can.pdf", data=pdf_of(cans, title=f"{plan.title}: can by can"))


def _of_panel(plan: Plan, each: PaintedPanel, looks: Mapping[str, CanLook], name: str) -> Iterator[Paper]:
    pages = map_pages(plan, each, looks)
    title = f"{each.panel.name}: paint map"
    yield Paper(name=f"paint-map{name}.svg", data=svg_of(pages[0], title=title).encode())
    pages += tick_pages(plan, each, looks)
    yield Paper(name=f"paint-map{name}.pdf", data=pdf_of(pages, title=title))
    if plan.settings.paper.tracing == "tiled":
        data = pdf_of(tracing_pages(plan, each, looks), title=f"{each.panel.name}: full-size tracing")
        yield Paper(name=f"tracing{name}.pdf", data=data)


def _file_names(plan: Plan) -> list[str]:
    """Return what is added to each panel's file names: nothing for one panel, number and name for a run."""
    if len(plan.panels) == 1:
        return [""]
    digits = len(str(len(plan.panels)))
    words = (re.sub(r"[^a-z0-9]+", "-", each.panel.name.lower()).strip("-") for each in plan.panels)
    return [f"-{number:0{digits}d}-{word[:40]}".rstrip("-") for number, word in enumerate(words, 1)]
