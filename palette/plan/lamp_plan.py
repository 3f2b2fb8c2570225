"""The lamps of a job: given or placed, the light they give, what it means for people."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from palette.lamps import (
    Exposure,
    IrradianceMap,
    Lamp,
    Placing,
    exposure_at,
    map_irradiance,
    place_lamps,
)
from palette.panel import Panel
from palette.plan.settings import People, Settings

__all__ = ["LampPlan", "expose_people", "plan_lamps"]

THROWN_BACK = 0.1
"""Share of UV-A a white-grounded wall throws back; titanium white and fluorescent paints absorb
most of it (assumed, on the high side)."""

EYE_HEIGHT_MM = 1600.0
"""Of a standing adult (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LampPlan:
    """The lamps of the first panel, the light they give and what it means for people."""

    lamps: tuple[Lamp, ...]
    light: IrradianceMap
    exposures: tuple[Exposure, ...]
    placing: Placing | None = None


def plan_lamps(panel: Panel, settings: Settings) -> LampPlan | None:
    """Return the lamps before a panel, placed anew where a level is wished; None without lamps."""
    lamps, placing = settings.lamps, None
    if settings.lamp_wish is not None and lamps:
        placing = place_lamps(lamps[0], settings.lamp_wish, panel.width_mm, panel.height_mm)
        lamps = placing.lamps
    if not lamps:
        return None
    exposures = expose_people(panel, lamps, settings.people)
    light = map_irradiance(lamps, panel.width_mm, panel.height_mm)
    return LampPlan(lamps=lamps, light=light, exposures=exposures, placing=placing)


def expose_people(panel: Panel, lamps: Sequence[Lamp], people: People) -> tuple[Exposure, ...]:
    """Return the UV at the visitor's and at the painter's place before a panel that stands on the floor.

    Parameters
    ----------
    panel : Panel
    lamps : sequence of Lamp
    people : People
        Where they are, if not at the usual distances.

    Returns
    -------
    tuple of Exposure
        W/m², and seconds to the day's limits (see `palette.lamps.exposure`).
    """
    middle, eye = panel.width_mm / 2, panel.height_mm - EYE_HEIGHT_MM
    places = {
        "visitor": people.visitor_mm or (middle, eye, 1500.0),
        "painter": people.painter_mm or (middle, eye, 400.0),
    }
    return tuple(exposure_at(name, at, lamps, thrown_back=THROWN_BACK) for name, at in places.items())
