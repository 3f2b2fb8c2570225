"""What a plan needs to know beside the scheme: liquids, surfaces, shops, days, people, paper.

Every figure has a default, marked with where it comes from; what nobody stated is listed in
`assumed`, and the papers print it as assumed. The can's own sheet wins over all of them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal

from palette.errors import InputError
from palette.lamps import Lamp, LampWish

__all__ = [
    "LIQUIDS", "Buying", "Container", "Days", "LabelSheet", "Liquid", "Paper", "People", "Rates",
    "Settings", "Site", "Surface", "Waste",
]  # fmt: skip

Role = Literal["fire retardant", "primer", "white", "black", "back", "clear"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquid:
    """Anything brushed on that is not one of the scheme's paints.

    `spread_m2_per_l` is per coat, None where nobody knows it and no default is honest;
    `touch_dry_h` and `recoat_h` are hours at room warmth. `assumed` names the figures that
    are defaults.
    """

    id: Role
    coats: int
    spread_m2_per_l: float | None
    touch_dry_h: float
    recoat_h: float
    stock_l: float | None = None
    assumed: tuple[str, ...] = ("coats", "coverage", "drying")


# Published data sheets: wood primer 10 m²/L; white ground 13 m²/L for one foundation, wall white
# 7.5 to 8.8 m²/L, overcoat after 4 to 6 h. The rest is common practice.
LIQUIDS: Mapping[Role, Liquid] = MappingProxyType(
    {
        "fire retardant": Liquid(
            id="fire retardant", coats=1, spread_m2_per_l=None, touch_dry_h=4, recoat_h=24
        ),
        "primer": Liquid(id="primer", coats=1, spread_m2_per_l=10.0, touch_dry_h=1, recoat_h=4),
        "white": Liquid(id="white", coats=2, spread_m2_per_l=8.0, touch_dry_h=0.5, recoat_h=6),
        "black": Liquid(id="black", coats=1, spread_m2_per_l=9.0, touch_dry_h=0.5, recoat_h=2),
        "back": Liquid(id="back", coats=1, spread_m2_per_l=10.0, touch_dry_h=1, recoat_h=4),
        "clear": Liquid(id="clear", coats=1, spread_m2_per_l=None, touch_dry_h=1, recoat_h=4),
    }
)
ALWAYS: tuple[Role, ...] = ("primer", "white", "black", "back")
"""Liquids every wall needs; fire retardant and a clear coat come in only when they are asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """What is painted beside the sections.

    `trim_paint` is "black", "white" or a paint of the scheme. `line_mm` is the width of black
    lines drawn over the borders of sections that touch. `seams_x_mm` are joints between the
    sheets a panel is made of.
    """

    thickness_mm: float = 18.0
    trim_thickness_mm: float = 18.0
    trim_paint: str = "black"
    line_mm: float = 0.0
    back: Literal["painted", "bare"] = "painted"
    white_under: Literal["face", "sections"] = "face"
    seams_x_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Waste:
    """Share lost in rollers, brushes and cans (common practice), and what is kept for touching up."""

    grounds: float = 0.10
    colours: float = 0.15
    reserve_l: float = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Container:
    """A can one can buy: of one liquid or paint, or ("colours") of any paint of the scheme.

    `price` is in hundredths of the currency; `at_most` None where the shop has plenty.
    """

    product: str
    litres: float
    price: int
    at_most: int | None = None

    def __post_init__(self) -> None:
        where = f"a container of {self.product}"
        if not self.litres > 0:
            raise InputError(where, f"it holds {self.litres:g} L", "give a size above 0")
        if self.price < 0:
            what = f"its price is {self.price / 100:.2f}, below zero"
            raise InputError(where, what, "give what it costs, 0 or more")
        if self.at_most is not None and self.at_most < 0:
            raise InputError(where, f"there are {self.at_most} of it", "give a number, 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """What shops offer, in which currency."""

    currency: str = ""
    containers: tuple[Container, ...] = ()

    def offers(self, product: str, *, colour: bool) -> tuple[Container, ...]:
        """Return the containers a product is sold in."""
        wanted = {product, "colours"} if colour else {product}
        return tuple(offer for offer in self.containers if offer.product in wanted)


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """When people paint: from `start` on, on these weekdays (0 = Monday), from `opens` for `hours`.

    `setup_h` of each day goes to setting up and as much to cleaning up. `drying_factor`
    stretches every drying time: 1 at room warmth, 2 in a cold or damp hall.
    """

    start: dt.date | None = None
    opens: dt.time = dt.time(10, 0)
    hours: float = 6.0
    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    helpers: int = 2
    setup_h: float = 0.5
    drying_factor: float = 1.0
    colour_touch_dry_h: float = 0.75
    colour_recoat_h: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """How fast one person works: m² of ground, m² of sections and m of line an hour (common practice)."""

    ground_m2_h: float = 14.0
    section_m2_h: float = 2.0
    line_m_h: float = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """What decides which cautions are printed."""

    old_paint: Literal["none", "known", "unknown"] = "unknown"
    method: Literal["brush", "spray"] = "brush"
    lamps_outdoors: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """Where eyes are, mm: (x, y, out) as for lamps; None: a usual place before the wall's middle."""

    visitor_mm: tuple[float, float, float] | None = None
    painter_mm: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Page size by name, ruler grid, whether full-size tracing pages are made, a wanted scale 1 : n."""

    size: str = "A4"
    grid: Literal["25 cm", "1 ft"] = "25 cm"
    tracing: Literal["tiled", "none"] = "tiled"
    scale: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """A sheet of labels, all mm: its page, the first label's corner, label size, steps, counts.

    The default is a common A4 sheet of 3 × 7 labels (from memory: lay a print over a sheet first).
    `first` is the first unused label, counted along rows from 1.
    """

    page_mm: tuple[float, float] = (210.0, 297.0)
    left_mm: float = 7.25
    top_mm: float = 15.15
    width_mm: float = 63.5
    height_mm: float = 38.1
    step_x_mm: float = 66.0
    step_y_mm: float = 38.1
    columns: int = 3
    rows: int = 7
    first: int = 1

    def __post_init__(self) -> None:
        right = self.left_mm + (self.columns - 1) * self.step_x_mm + self.width_mm
        bottom = self.top_mm + (self.rows - 1) * self.step_y_mm + self.height_mm
        if right > self.page_mm[0] + 0.01 or bottom > self.page_mm[1] + 0.01:
            what = f"its labels reach {right:.1f} × {bottom:.1f} mm on a page of " + (
                f"{self.page_mm[0]:.1f} × {self.page_mm[1]:.1f} mm"
            )
            raise InputError("labels", what, "correct the margins, the steps or the number of labels")
        if self.width_mm < 40 or self.height_mm < 20:
            what = f"labels of {self.width_mm:g} × {self.height_mm:g} mm cannot hold 9 pt text"
            raise InputError("labels", what, "use a sheet with labels of 40 × 20 mm or more")
        if not 1 <= self.first <= self.columns * self.rows:
            what = f"the first label is number {self.first} of {self.columns * self.rows}"
            raise InputError("labels", what, "count along the rows from 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Everything a plan file can say."""

    liquids: Mapping[str, Liquid] = field(
        default_factory=lambda: MappingProxyType({role: LIQUIDS[role] for role in ALWAYS})
    )
    surface: Surface = field(default_factory=Surface)
    waste: Waste = field(default_factory=Waste)
    buying: Buying = field(default_factory=Buying)
    days: Days = field(default_factory=Days)
    rates: Rates = field(default_factory=Rates)
    site: Site = field(default_factory=Site)
    people: People = field(default_factory=People)
    paper: Paper = field(default_factory=Paper)
    labels: LabelSheet = field(default_factory=LabelSheet)
    lamps: tuple[Lamp, ...] = ()
    lamp_wish: LampWish | None = None

    def on_paper(self, size: str) -> Settings:
        """Return the same settings for another page size."""
        return replace(self, paper=replace(self.paper, size=size))
