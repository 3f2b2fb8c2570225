"""Quantities, areas and purchases as CSV, in litres and in US units."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from palette.plan.making import Plan
from palette.units import SQUARE_FOOT_M2, US_GALLON_L

__all__ = ["areas_csv", "quantities_csv", "shopping_csv"]

M2_L_PER_FT2_GAL = SQUARE_FOOT_M2 / US_GALLON_L


def quantities_csv(plan: Plan) -> str:
    """Return one row for every product: area, coats, spread, waste, litres, stock, what to buy."""
    numbers = plan.can_number
    rows = []
    for need in plan.needs:
        spread = need.spread_m2_per_l
        rows.append([
            need.product, numbers.get(need.product, ""), f"{need.area_m2:.4f}",
            f"{need.area_m2 / SQUARE_FOOT_M2:.2f}", need.coats, _figure(spread, 3),
            _figure(None if spread is None else spread / M2_L_PER_FT2_GAL, 1), f"{need.waste:.2f}",
            f"{need.reserve_l:.2f}", _figure(need.litres_per_coat, 3), _figure(need.litres, 3),
            _figure(None if need.litres is None else need.litres / US_GALLON_L, 3),
            _figure(need.stock_l, 3), _figure(need.short_l, 3), " ".join(need.assumed),
        ])  # fmt: skip
    head = ["product", "can", "area_m2", "area_ft2", "coats", "spread_m2_per_l", "spread_ft2_per_gal",
            "waste", "reserve_l", "litres_per_coat", "litres", "us_gallons", "stock_l", "buy_l",
            "assumed"]  # fmt: skip
    return _csv(head, rows)


def shopping_csv(plan: Plan) -> str:
    """Return one row for every kind of container to buy."""
    currency = plan.settings.buying.currency
    rows = [
        [purchase.product, count, f"{container.litres:g}", f"{container.litres / US_GALLON_L:.4g}",
         f"{container.price / 100:.2f}", f"{container.price * count / 100:.2f}", currency]
        for purchase in plan.purchases
        for container, count in purchase.counts
    ]  # fmt: skip
    head = ["product", "count", "container_l", "container_us_gal", "price_each", "price", "currency"]
    return _csv(head, rows)


def areas_csv(plan: Plan) -> str:
    """Return one row for every section, then the panel's other surfaces."""
    rows: list[list[object]] = []
    for each in plan.panels:
        areas, name = each.areas, each.panel.name
        for section, area in areas.sections.items():
            paint = each.scheme.paint_of[section]
            rows.append(
                [
                    name,
                    section,
                    paint,
                    plan.can_number[paint],
                    f"{area:.6f}",
                    f"{area / SQUARE_FOOT_M2:.4f}",
                ]
            )
        others = {
            "trim faces": areas.trim_face, "trim edges": areas.trim_edges, "gaps": areas.gaps,
            "lines": areas.lines, "voids": areas.voids, "whole face": areas.face,
            "panel edges": areas.panel_edges, "back": areas.back,
        }  # fmt: skip
        rows += [[name, f"({kind})", "", "", f"{area:.6f}", f"{area / SQUARE_FOOT_M2:.4f}"]
                 for kind, area in others.items()]  # fmt: skip
    return _csv(["panel", "section", "paint", "can", "area_m2", "area_ft2"], rows)


def _figure(value: float | None, digits: int) -> str:
    return "" if value is None else f"{value:.{digits}f}"


def _csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")  # RFC 4180
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue()
