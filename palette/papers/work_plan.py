"""The work plan: quantities, what to buy, the days, the lamps, the cautions."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from itertools import groupby
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from palette.papers.charts import days_charts, light_picture
from palette.papers.furniture import frame_page, room_of
from palette.papers.looks import CanLook
from palette.papers.pdf import counting_canvas, draw_marks
from palette.papers.sheet import FONT, FONT_BOLD, MM_PER_PT, Sheet, load_fonts, sheet_of
from palette.plan import CLOSING, DayLine, Need, Plan, list_days
from palette.units import SQUARE_FOOT_M2, US_GALLON_L

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

__all__ = ["clock_words", "duration_words", "work_plan_pdf"]

_FT2_GAL = US_GALLON_L / SQUARE_FOOT_M2


def work_plan_pdf(plan: Plan, looks: Mapping[str, CanLook]) -> bytes:
    """Return the work plan as PDF on the plan's paper, sideways."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    load_fonts()
    sheet = sheet_of(plan.settings.paper.size).sideways
    room = room_of(sheet)
    file = io.BytesIO()
    page_size = (sheet.width_mm / MM_PER_PT, sheet.height_mm / MM_PER_PT)
    frame = Frame(room.left / MM_PER_PT, (sheet.height_mm - room.bottom) / MM_PER_PT, room.width / MM_PER_PT,
                  room.height / MM_PER_PT, leftPadding=0, rightPadding=0, topPadding=4, bottomPadding=0)  # fmt: skip
    edition = plan.panels[0].edition if len(plan.panels) == 1 else ""

    def furnish(canvas: Any, _document: Any) -> None:
        page = frame_page(sheet, title=plan.title, detail="work plan", edition=edition, marks=[])
        draw_marks(canvas, page.marks, height_mm=sheet.height_mm)

    document = BaseDocTemplate(
        file, pagesize=page_size, invariant=1, title=f"{plan.title}: work plan", author="", creator="palette",
        initialFontName=FONT,
    )  # fmt: skip
    document.addPageTemplates([PageTemplate(id="page", frames=[frame], onPage=furnish)])
    document.build(_story(plan, looks, sheet), canvasmaker=counting_canvas(sheet))
    return file.getvalue()


def _story(plan: Plan, looks: Mapping[str, CanLook], sheet: Sheet) -> list[Flowable]:
    from reportlab.platypus import Image, KeepTogether, PageBreak

    room = room_of(sheet)
    story: list[Flowable] = [_heading("How much"), _quantities(plan, room.width)]
    story.append(_small(_quantity_note(plan)))
    story.append(KeepTogether([_heading("To buy"), *_shopping(plan)]))
    if plan.remarks or plan.left_out:
        told = [_text(f"• {escape(remark)}") for remark in (*plan.left_out, *plan.remarks)]
        story.append(KeepTogether([_heading("Mind first"), *told]))
    cautions = [_text(f"<b>{escape(c.title)}.</b> {escape(c.text)}") for c in plan.cautions]
    story.append(KeepTogether([_heading("Cautions"), *cautions, _text(f"<b>{escape(CLOSING)}</b>")]))
    story += [PageBreak(), _heading("Day by day"), *_days(plan, room.width)]
    height = room.height - 12
    for chart in days_charts(plan, looks, width_mm=room.width, height_mm=height):
        picture = Image(io.BytesIO(chart), width=room.width / MM_PER_PT, height=height / MM_PER_PT)
        story += [
            PageBreak(),
            _heading("The days as a chart: thick grey until dry, thin until the next coat"),
            picture,
        ]
    if plan.lamps is not None:
        story += [PageBreak(), *_lamps(plan, room.width)]
    return story


def _quantities(plan: Plan, width_mm: float) -> Flowable:
    numbers = plan.can_number
    rows = [["Can", "Product", "Where, m²", "m²", "Coats", "Covers a coat", "Waste", "Reserve", "Needed",
             "In stock", "Buy"]]  # fmt: skip
    for need in plan.needs:
        spread = "not known"
        if need.spread_m2_per_l is not None:
            mark = " *" if "coverage" in need.assumed else ""
            spread = f"{need.spread_m2_per_l:.3g} m²/L{mark}\n{need.spread_m2_per_l * _FT2_GAL:.0f} ft²/gal"
        where = ", ".join(f"{surface} {area:.2f}" for surface, area in need.areas.items())
        rows.append([
            str(numbers.get(need.product, "")), need.product, where, f"{need.area_m2:.2f}", str(need.coats), spread,
            f"{need.waste:.0%}", f"{need.reserve_l:.2f} L" if need.reserve_l else "", _volume(need.litres),
            "?" if need.stock_l is None else f"{need.stock_l:.2f} L", _buy(need),
        ])  # fmt: skip
    widths = (11, 32, 0, 15, 13, 27, 14, 17, 24, 18, 24)
    return _table(rows, widths, width_mm, bold_columns=(0, 10))


def _quantity_note(plan: Plan) -> str:
    waste = plan.settings.waste
    return (
        f"litres = area × coats ÷ coverage × (1 + waste) + reserve. Waste {waste.grounds:.0%} for grounds, "
        f"{waste.colours:.0%} for colours; {waste.reserve_l:g} L of each colour kept for touching up. "
        "* assumed, common practice: the can's own sheet wins. gal: US gallons. Pour all cans of one colour "
        "together before starting."
    )


def _shopping(plan: Plan) -> list[Flowable]:
    currency = plan.settings.buying.currency
    if not plan.purchases:
        short = [need for need in plan.needs if need.short_l]
        if not short:
            return [_text("Nothing: the stock is enough.")]
        told = "No containers are listed, so cans cannot be chosen. List sizes and prices in the plan file."
        return [_text(told)]
    rows = [["Product", "Cans", "Price", "Left over"]]
    for purchase in plan.purchases:
        need = plan.need_of(purchase.product)
        cans = " + ".join(f"{count} × {can.litres:.4g} L" for can, count in purchase.counts)
        over = purchase.litres - (need.short_l or 0.0) if need else 0.0
        missing = f", {purchase.missing_l:.2f} L missing" if purchase.missing_l else ""
        rows.append(
            [
                purchase.product,
                cans + missing,
                f"{purchase.price / 100:.2f} {currency}",
                f"{max(over, 0):.2f} L",
            ]
        )
    total = sum(purchase.price for purchase in plan.purchases)
    rows.append(["Total, the cheapest there is", "", f"{total / 100:.2f} {currency}", ""])
    return [_table(rows, (60, 90, 35, 30), 215, bold_columns=(2,))]


def _days(plan: Plan, width_mm: float) -> list[Flowable]:
    from reportlab.platypus import CondPageBreak

    story: list[Flowable] = []
    lines = list_days(plan.timetable)
    for _, group in groupby(lines, key=lambda line: line.day):
        of_day = list(group)
        rows = [["When", "Step", "Can", "Who", "Where", "Dry, next coat", "Weather, caution"]]
        rows += [_day_row(plan, line) for line in of_day]
        story.append(CondPageBreak(70))
        story.append(_subheading(f"{_day_title(of_day[0])}, {_open_hours(plan)}"))
        story.append(_table(rows, (24, 66, 11, 15, 0, 38, 46), width_mm, bold_columns=(0, 2)))
    return story


def _day_row(plan: Plan, line: DayLine) -> list[str]:
    step = line.step
    many = len(plan.panels) > 1
    fields = ", ".join(f"{panel} {field}" if many else field for panel, field in line.fields[:40])
    fields += f" and {len(line.fields) - 40} more" if len(line.fields) > 40 else ""
    whole = "trim boards" if step.kind == "trim" else "whole panel"
    where = fields or (", ".join(line.panels[:12]) if many else whole)
    coat = f", coat {step.coat} of {step.coats}" if step.coats > 1 else ""
    number = plan.can_number.get(step.product, "")
    dry = ""
    if step.touch_dry_h:
        dry = f"dry {_later(plan, line, line.touch_dry_h)}\nnext {_later(plan, line, line.recoat_h)}"
    who = f"{len(line.helpers)} at once" if len(line.helpers) > 1 else "1"
    return [
        f"{clock_words(line.start_h)}–{clock_words(line.end_h)}", f"{step.number}. {step.title}{coat}", str(number),
        who, where, dry, "; ".join(text for text in (step.weather, step.caution) if text),
    ]  # fmt: skip


def _later(plan: Plan, line: DayLine, hour: float) -> str:
    days = int(hour // 24) - int(line.start_h // 24)
    return clock_words(hour) + (f" +{days} d" if days else "")


def _lamps(plan: Plan, width_mm: float) -> list[Flowable]:
    from reportlab.platypus import Image, Table

    from palette.lamps import DAY_S, risk_group_of

    lamps = plan.lamps
    assert lamps is not None
    found = lamps.light
    panel = plan.panels[0].panel
    light = light_picture(plan, plan.panels[0], width_mm=150, height_mm=105)
    rows = [["No.", "Lamp", "Hangs", "Before the wall", "Aims at", "Beam", "Peak", "Group"]]
    for number, lamp in enumerate(lamps.lamps, 1):
        rows.append([
            str(number), lamp.id, _place(lamp.x_mm, lamp.y_mm, panel.height_mm), f"{lamp.out_mm / 10:.0f} cm",
            _place(lamp.aim_x_mm, lamp.aim_y_mm, panel.height_mm), f"{lamp.beam_deg:.0f}°",
            f"{lamp.peak_nm:.0f} nm", risk_group_of(lamp),
        ])  # fmt: skip
    figures = [
        _text(f"least <b>{found.least * 100:.0f}</b>, mean <b>{found.mean * 100:.0f}</b>, "
              f"most {found.most * 100:.0f} µW/cm²; evenness (least ÷ mean) <b>{found.evenness:.2f}</b>."),
        _text("Computed from beam and distance (inverse square, cosine), without light thrown back by the room. "
              "20 to 200 µW/cm² is a usual working range on scenery."),
        _subheading("Eyes and skin, an estimate"),
    ]  # fmt: skip
    for exposure in lamps.exposures:
        skin = (
            "skin: no limit within 8 h"
            if exposure.skin_s >= DAY_S
            else (f"skin after {duration_words(exposure.skin_s)}")
        )
        told = (
            "no limit within 8 h"
            if exposure.within_day
            else (f"limit for eyes after <b>{duration_words(exposure.eye_s)}</b>, {skin}")
        )
        figures.append(_text(f"At the {exposure.place}'s place: {_figure(exposure.uva_w_m2 * 100)} µW/cm² of UV-A "
                             f"facing the lamps; {told}."))  # fmt: skip
    figures.append(_small(
        "Limits: 10 000 J/m² of UV-A at the eye and 30 J/m² weighted at eye and skin in 8 h (ICNIRP 2004). Groups by the "
        "steps of IEC 62471 at 200 mm. This is an estimate: the lamp's own data and local rules decide. Paint with the lamps off; "
        "switch them on to look."
    ))  # fmt: skip
    picture = Image(io.BytesIO(light), width=150 / MM_PER_PT, height=105 / MM_PER_PT)
    side = Table([[picture, figures]], colWidths=[152 / MM_PER_PT, (width_mm - 152) / MM_PER_PT])
    side.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
                   ("RIGHTPADDING", (0, 0), (-1, -1), 4)])  # fmt: skip
    return [
        _heading("Lamps"),
        side,
        _table(rows, (12, 0, 62, 30, 62, 16, 18, 18), width_mm, bold_columns=(0,)),
    ]


def _table(
    rows: list[list[str]], widths: tuple[float, ...], width_mm: float, *, bold_columns: tuple[int, ...]
) -> Flowable:
    """Return a ruled table; the one width of 0 takes what is left, its head comes again on every page."""
    from reportlab.platypus import Table

    left = width_mm - sum(widths)
    columns = [(width or left) / MM_PER_PT for width in widths]
    styles = _styles()
    cells = [[_cell(text, styles["head"]) for text in rows[0]]]
    cells += [
        [
            _cell(text, styles["strong" if place in bold_columns else "cell"])
            for place, text in enumerate(row)
        ]
        for row in rows[1:]
    ]
    table = Table(cells, colWidths=columns, repeatRows=1, hAlign="LEFT")
    table.setStyle([
        ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEBELOW", (0, 0), (-1, 0), 1.0, "#000000"),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, "#999999"), ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3), ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
    ])  # fmt: skip
    return table


def _cell(text: str, style: Any) -> Flowable:
    from reportlab.platypus import Paragraph

    return Paragraph(escape(text).replace("\n", "<br/>"), style)


def _styles() -> dict[str, Any]:
    from reportlab.lib.styles import ParagraphStyle

    def style(name: str, font: str, size: float, **more: float) -> ParagraphStyle:
        return ParagraphStyle(name, fontName=font, fontSize=size, leading=size * 1.22, **more)

    return {
        "heading": style("heading", FONT_BOLD, 14, spaceBefore=8, spaceAfter=4),
        "subheading": style("subheading", FONT_BOLD, 11, spaceBefore=7, spaceAfter=3),
        "text": style("text", FONT, 10, spaceAfter=4),
        "small": style("small", FONT, 9, spaceBefore=3, spaceAfter=3),
        "head": style("head", FONT_BOLD, 9),
        "cell": style("cell", FONT, 9),
        "strong": style("strong", FONT_BOLD, 9),
    }


def _paragraph(kind: str) -> Callable[[str], Flowable]:
    def make(text: str) -> Flowable:
        from reportlab.platypus import Paragraph

        return Paragraph(text, _styles()[kind])

    return make


_heading, _subheading, _text, _small = (_paragraph(k) for k in ("heading", "subheading", "text", "small"))


def _place(x_mm: float, y_mm: float, height_mm: float) -> str:
    """Return a place on or off the wall as one measures it."""
    across = f"{x_mm / 10:.0f} cm from the left"
    if y_mm < 0:
        return f"{across}, {-y_mm / 10:.0f} cm above the top"
    if y_mm > height_mm:
        return f"{across}, {(y_mm - height_mm) / 10:.0f} cm below the foot"
    return f"{across}, {y_mm / 10:.0f} cm down"


def _figure(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"


def _volume(litres: float | None) -> str:
    return "not known" if litres is None else f"{litres:.2f} L\n{litres / US_GALLON_L:.2f} gal"


def _buy(need: Need) -> str:
    if need.short_l is None:
        return "not known"
    return _volume(need.short_l) if need.short_l > 0 else "enough"


def _day_title(line: DayLine) -> str:
    if line.date is None:
        return f"Day {line.day}"
    return f"Day {line.day}: {line.date:%A} {line.date.day} {line.date:%B %Y}"


def _open_hours(plan: Plan) -> str:
    days = plan.settings.days
    opens = days.opens.hour + days.opens.minute / 60
    return f"set up from {clock_words(opens)}, clean up until {clock_words(opens + days.hours)}"


def clock_words(hour: float) -> str:
    """Return an hour of the timetable as a time of day to five minutes, 14:05."""
    minutes = round(hour * 12) * 5 % (24 * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def duration_words(seconds: float) -> str:
    """Return a duration for people: 8 h, 2 h 47 min, 17 min, 40 s."""
    if seconds < 120:
        return f"{seconds:.0f} s"
    minutes = int(seconds // 60)  # rounded down: nobody is to stay longer
    hours, rest = divmod(minutes, 60)
    return f"{rest} min" if not hours else f"{hours} h {rest} min" if rest else f"{hours} h"
