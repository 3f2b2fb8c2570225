"""How much of every liquid: area × coats ÷ spread × (1 + waste) + what is kept for touching up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from palette.paint import Paint
from palette.plan.areas import Areas
from palette.plan.settings import Settings
from palette.scheme import Scheme

__all__ = ["Need", "add_up_needs"]

Kind = Literal["ground", "colour"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One liquid for the whole job.

    `litres` is all coats with waste and reserve, None where the spread is unknown.

    Parameters
    ----------
    product : str
        What is bought.
    kind : "ground" or "colour"
        Whether it lies under the paints of the scheme or is one of them.
    areas : mapping of str to float
        Where it goes: m² of one coat, by surface.
    coats : int
    spread_m2_per_l : float or None
        Area one litre covers in one coat, m²/L.
    waste : float
        Share that is lost, 0 or more.
    reserve_l : float
        Kept for touching up, L.
    stock_l : float or None
        On hand, L; None where nobody said.
    assumed : tuple of str
        Names of figures nobody stated.
    """

    product: str
    kind: Kind
    areas: Mapping[str, float]
    coats: int
    spread_m2_per_l: float | None
    waste: float
    reserve_l: float
    stock_l: float | None
    assumed: tuple[str, ...] = ()

    @property
    def area_m2(self) -> float:
        """Area of one coat."""
        return sum(self.areas.values())

    @property
    def litres_per_coat(self) -> float | None:
        """Litres one coat takes, with waste, without reserve."""
        if self.spread_m2_per_l is None:
            return None
        return self.area_m2 / self.spread_m2_per_l * (1 + self.waste)

    @property
    def litres(self) -> float | None:
        """Litres all coats take, with waste and reserve."""
        per_coat = self.litres_per_coat
        return None if per_coat is None else per_coat * self.coats + self.reserve_l

    @property
    def short_l(self) -> float | None:
        """Litres to buy: what is needed beyond the stock; None where the need is unknown."""
        return None if self.litres is None else max(0.0, self.litres - (self.stock_l or 0.0))


def add_up_needs(
    panels: Sequence[tuple[Areas, Scheme]], paints: Sequence[Paint], settings: Settings
) -> tuple[Need, ...]:
    """Return the need of every ground and of every paint that is used, over all panels."""
    return (*_grounds(panels, paints, settings), *_colours(panels, paints, settings))


def _grounds(
    panels: Sequence[tuple[Areas, Scheme]], paints: Sequence[Paint], settings: Settings
) -> list[Need]:
    surface, areas = settings.surface, [a for a, _ in panels]
    trim = {"trim faces": sum(a.trim_face for a in areas), "trim edges": sum(a.trim_edges for a in areas)}
    face = sum(a.painted_face for a in areas)
    bare = {"face": face, "panel edges": sum(a.panel_edges for a in areas), **trim}
    if surface.back == "painted":
        bare["back"] = sum(a.back for a in areas)
    sections = sum(sum(a.sections.values()) for a in areas)
    white = {"face": face} if surface.white_under == "face" else {"sections": sections}
    if surface.trim_paint != "black":
        white |= trim
    black = {
        "gaps": sum(a.gaps for a in areas),
        "lines": sum(a.lines for a in areas),
        "panel edges": sum(a.panel_edges for a in areas),
    }
    if surface.trim_paint == "black":
        black |= trim
    where = {
        "fire retardant": bare,
        "primer": bare,
        "white": white,
        "black": black,
        "back": {"back": sum(a.back for a in areas)} if surface.back == "painted" else {},
        "clear": {"face": face},
    }
    needs = []
    for role, liquid in settings.liquids.items():
        # A shelf may hold a paint called "black" or "white" itself: its stock is the liquid's.
        same = next((paint for paint in paints if paint.id == role), None)
        stock = liquid.stock_l if liquid.stock_l is not None or same is None else same.stock_l
        used = {name: area for name, area in where[role].items() if area > 0}
        if used:
            needs.append(
                Need(product=role, kind="ground", areas=used, coats=liquid.coats,
                     spread_m2_per_l=liquid.spread_m2_per_l, waste=settings.waste.grounds, reserve_l=0.0,
                     stock_l=stock, assumed=liquid.assumed)
            )  # fmt: skip
    return needs


def _colours(
    panels: Sequence[tuple[Areas, Scheme]], paints: Sequence[Paint], settings: Settings
) -> list[Need]:
    needs = []
    for paint in paints:
        sections = sum(
            area for areas, scheme in panels for section, area in areas.sections.items()
            if scheme.paint_of[section] == paint.id
        )  # fmt: skip
        used = {"sections": sections}
        # Black and white trim stand with the liquids already, also where the shelf has a can so called.
        if settings.surface.trim_paint == paint.id and paint.id not in ("black", "white"):
            used["trim faces"] = sum(areas.trim_face for areas, _ in panels)
            used["trim edges"] = sum(areas.trim_edges for areas, _ in panels)
        used = {name: area for name, area in used.items() if area > 0}
        if used:
            needs.append(
                Need(product=paint.id, kind="colour", areas=used, coats=paint.coats,
                     spread_m2_per_l=paint.spread_m2_per_l, waste=settings.waste.colours,
                     reserve_l=settings.waste.reserve_l, stock_l=paint.stock_l)
            )  # fmt: skip
    return needs
