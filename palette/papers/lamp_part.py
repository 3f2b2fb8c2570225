"""The part of the work plan about lamps: what they give, where they hang, how long one may look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from palette.lamps import risk_group_of
from palette.papers.charts import light_picture
from palette.papers.setting import beside, heading, picture, small, subheading, table, text
from palette.papers.wording import exposure_words, place_words, violet_words
from palette.plan import Plan

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

__all__ = ["lamp_part"]

PICTURE_MM = (150.0, 105.0)


def lamp_part(plan: Plan, width_mm: float) -> list[Flowable]:
    """Return the picture of the light with its figures, and the table of lamps; nothing without lamps."""
    if plan.lamps is None:
        return []
    light = plan.lamps.light
    shown = light_picture(plan, plan.panels[0], width_mm=PICTURE_MM[0], height_mm=PICTURE_MM[1])
    words = [
        text(
            f"least <b>{light.least * 100:.0f}</b>, mean <b>{light.mean * 100:.0f}</b>, most "
            f"{light.most * 100:.0f} µW/cm²; evenness (least ÷ mean) <b>{light.evenness:.2f}</b>."
        ),
        text(
            "Computed from beam and distance (inverse square, cosine), without light thrown back by the "
            "room. 20 to 200 µW/cm² is a usual working range on scenery."
        ),
        subheading("Eyes and skin, an estimate"),
        *(text(exposure_words(exposure)) for exposure in plan.lamps.exposures),
        small(
            "Limits: 10 000 J/m² of UV-A at the eye, 30 J/m² weighted at eye and skin, in 8 h (ICNIRP "
            "2004). Groups by the steps of IEC 62471 at 200 mm. This is an estimate: the lamp's own data "
            "and local rules decide. Paint with the lamps off; switch them on to look."
        ),
    ]
    violet = violet_words(plan.lamps.lamps)
    words += [text(violet)] if violet else []
    side = beside(picture(shown, *PICTURE_MM), words, PICTURE_MM[0] + 2, width_mm)
    return [heading("Lamps"), side, _lamp_table(plan, width_mm)]


def _lamp_table(plan: Plan, width_mm: float) -> Flowable:
    assert plan.lamps is not None
    height = plan.panels[0].panel.height_mm
    rows = [["No.", "Lamp", "Hangs", "Before the wall", "Aims at", "Beam", "Peak", "Group"]]
    for number, lamp in enumerate(plan.lamps.lamps, 1):
        rows.append([
            str(number), lamp.id, place_words(lamp.x_mm, lamp.y_mm, height), f"{lamp.out_mm / 10:.0f} cm",
            place_words(lamp.aim_x_mm, lamp.aim_y_mm, height), f"{lamp.beam_deg:.0f}°",
            f"{lamp.peak_nm:.0f} nm", risk_group_of(lamp),
        ])  # fmt: skip
    return table(rows, (12, 0, 74, 30, 64, 14, 17, 16), width_mm, bold=(0,))
