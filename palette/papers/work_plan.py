"""The work plan: quantities, what to buy, cautions, the days, the lamps."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from palette.papers.charts import days_charts
from palette.papers.day_part import day_part
from palette.papers.furniture import frame_page, room_of
from palette.papers.lamp_part import lamp_part
from palette.papers.looks import CanLook
from palette.papers.pdf import counting_canvas, draw_marks
from palette.papers.quantity_part import quantity_part, shopping_part
from palette.papers.setting import heading, picture, text
from palette.papers.sheet import FONT, MM_PER_PT, Sheet, load_fonts, sheet_of
from palette.plan import CLOSING, Plan

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

__all__ = ["work_plan_pdf"]


def work_plan_pdf(plan: Plan, looks: Mapping[str, CanLook]) -> bytes:
    """Return the work plan as PDF on the plan's paper, sideways."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    load_fonts()
    sheet = sheet_of(plan.settings.paper.size).sideways
    room = room_of(sheet)
    corner = (room.left / MM_PER_PT, (sheet.height_mm - room.bottom) / MM_PER_PT)
    frame = Frame(*corner, room.width / MM_PER_PT, room.height / MM_PER_PT, leftPadding=0, rightPadding=0,
                  topPadding=4, bottomPadding=0)  # fmt: skip
    edition = plan.panels[0].edition if len(plan.panels) == 1 else ""
    furniture = frame_page(sheet, title=plan.title, detail="work plan", edition=edition, marks=[])

    def furnish(canvas: Any, _document: Any) -> None:
        draw_marks(canvas, furniture.marks, height_mm=sheet.height_mm)

    file = io.BytesIO()
    document = BaseDocTemplate(
        file, pagesize=(sheet.width_mm / MM_PER_PT, sheet.height_mm / MM_PER_PT), invariant=1,
        title=f"{plan.title}: work plan", author="", creator="palette", initialFontName=FONT,
    )  # fmt: skip
    document.addPageTemplates([PageTemplate(id="page", frames=[frame], onPage=furnish)])
    document.build(_story(plan, looks, sheet), canvasmaker=counting_canvas(sheet))
    return file.getvalue()


def _story(plan: Plan, looks: Mapping[str, CanLook], sheet: Sheet) -> list[Flowable]:
    from reportlab.platypus import PageBreak

    room = room_of(sheet)
    story = [*quantity_part(plan, room.width), *shopping_part(plan), *_minding(plan), PageBreak()]
    story += day_part(plan, room.width)
    height = room.height - 12
    for chart in days_charts(plan, looks, width_mm=room.width, height_mm=height):
        told = "The days as a chart: thick grey until dry, thin until the next coat"
        story += [PageBreak(), heading(told), picture(chart, room.width, height)]
    lamps = lamp_part(plan, room.width)
    return [*story, PageBreak(), *lamps] if lamps else story


def _minding(plan: Plan) -> list[Flowable]:
    from reportlab.platypus import KeepTogether

    found: list[Flowable] = []
    remarks = [text(f"• {escape(remark)}") for remark in (*plan.left_out, *plan.remarks)]
    if remarks:
        found.append(KeepTogether([heading("Mind first"), *remarks]))
    cautions = [text(f"<b>{escape(c.title)}.</b> {escape(c.text)}") for c in plan.cautions]
    return [*found, KeepTogether([heading("Cautions"), *cautions, text(f"<b>{escape(CLOSING)}</b>")])]
