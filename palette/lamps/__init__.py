"""Blacklights before the wall: what they put on it, where to hang them, what they do to people."""

from palette.lamps.exposure import DAY_S, Exposure, RiskGroup, exposure_at, risk_group_of
from palette.lamps.irradiance import IrradianceMap, irradiance_facing, irradiance_on_wall, map_irradiance
from palette.lamps.lamp import Lamp, axis_intensity, intensity_of_reading
from palette.lamps.placing import LampWish, Placing, place_lamps

__all__ = [
    "DAY_S",
    "Exposure",
    "IrradianceMap",
    "Lamp",
    "LampWish",
    "Placing",
    "RiskGroup",
    "axis_intensity",
    "exposure_at",
    "intensity_of_reading",
    "irradiance_facing",
    "irradiance_on_wall",
    "map_irradiance",
    "place_lamps",
    "risk_group_of",
]
