"""The parts of the work plan about quantities: how much, and what to buy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from palette.papers.setting import heading, small, table, text
from palette.papers.wording import volume_words
from palette.plan import Need, Plan
from palette.units import SQUARE_FOOT_M2, US_GALLON_L

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

__all__ = ["quantity_part", "shopping_part"]

_FT2_GAL = US_GALLON_L / SQUARE_FOOT_M2


def quantity_part(plan: Plan, width_mm: float) -> list[Flowable]:
    """Return the table of every product, and how its figures come about."""
    rows = [
        ["Can", "Product", "Where, m²", "m²", "Coats", "Covers a coat", "Waste", "Reserve", "Needed",
         "In stock", "Buy"]
    ]  # fmt: skip
    rows += [_row(need, plan.can_number.get(need.product)) for need in plan.needs]
    widths = (11, 32, 0, 15, 13, 27, 14, 17, 24, 18, 24)
    waste = plan.settings.waste
    note = (
        f"litres = area × coats ÷ coverage × (1 + waste) + reserve. Waste {waste.grounds:.0%} for grounds, "
        f"{waste.colours:.0%} for colours; {waste.reserve_l:g} L of each colour kept for touching up. "
        "* assumed, common practice: the can's own sheet wins. gal: US gallons. Pour all cans of one "
        "colour together before starting."
    )
    return [heading("How much"), table(rows, widths, width_mm, bold=(0, 10)), small(note)]


def shopping_part(plan: Plan) -> list[Flowable]:
    """Return the cheapest cans to buy, or why there are none."""
    from reportlab.platypus import KeepTogether

    return [KeepTogether([heading("To buy"), _shopping(plan)])]


def _row(need: Need, can: int | None) -> list[str]:
    spread = "not known"
    if need.spread_m2_per_l is not None:
        mark = " *" if "coverage" in need.assumed else ""
        spread = f"{need.spread_m2_per_l:.3g} m²/L{mark}\n{need.spread_m2_per_l * _FT2_GAL:.0f} ft²/gal"
    buy = "enough" if need.short_l == 0 else volume_words(need.short_l)
    return [
        "" if can is None else str(can), need.product,
        ", ".join(f"{surface} {area:.2f}" for surface, area in need.areas.items()), f"{need.area_m2:.2f}",
        str(need.coats), spread, f"{need.waste:.0%}", f"{need.reserve_l:.2f} L" if need.reserve_l else "",
        volume_words(need.litres), "not stated" if need.stock_l is None else f"{need.stock_l:.2f} L", buy,
    ]  # fmt: skip


def _shopping(plan: Plan) -> Flowable:
    if not plan.purchases and any(need.short_l for need in plan.needs):
        told = "No containers are listed, so cans cannot be chosen: list sizes and prices in the plan file."
        return text(told)
    if not plan.purchases:
        return text("Nothing: the stock is enough.")
    currency = plan.settings.buying.currency
    rows = [["Product", "Cans", "Price", "Left over"]]
    for purchase in plan.purchases:
        need = plan.need_of(purchase.product)
        cans = " + ".join(
            f"{count} × {can.litres:.4g} L ({can.litres / US_GALLON_L:.3g} gal)"
            for can, count in purchase.counts
        )
        missing = f", {purchase.missing_l:.2f} L missing" if purchase.missing_l else ""
        over = max(0.0, purchase.litres - ((need.short_l if need else None) or 0.0))
        price = f"{purchase.price / 100:.2f} {currency}"
        rows.append([purchase.product, cans + missing, price, f"{over:.2f} L"])
    total = sum(purchase.price for purchase in plan.purchases)
    rows.append(["Total, the cheapest there is", "", f"{total / 100:.2f} {currency}", ""])
    return table(rows, (60, 100, 35, 25), 220, bold=(2,))
