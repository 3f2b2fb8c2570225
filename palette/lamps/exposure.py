"""What lamps mean for eyes and skin: an estimate against published limits.

Two limits of ICNIRP, "Guidelines on limits of exposure to ultraviolet radiation of wavelengths
between 180 nm and 400 nm", Health Physics 87(2), 171-186 (2004), both for one day of 8 h and
both in Directive 2006/25/EC, annex I: 10 000 J/m² of unweighted UV-A (315 to 400 nm) at the eye,
and 30 J/m² weighted by S(λ) at eye and skin. The lamp's own data and local rules decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from palette.colour import Array
from palette.lamps.irradiance import irradiance_facing, irradiance_on_wall
from palette.lamps.lamp import Lamp

__all__ = ["Exposure", "RiskGroup", "actinic_weight", "exposure_at", "line_shares", "risk_group_of"]

# Both limits above, and the day they are stated for.
DAY_S = 8 * 3600
UVA_LIMIT_J_M2 = 10_000.0
ACTINIC_LIMIT_J_M2 = 30.0
_NM: Array = np.arange(300.0, 501.0)  # where blacklights have their line

RiskGroup = Literal["exempt", "RG1", "RG2", "RG3"]
RISK_DISTANCE_MM = 200.0
"""Where IEC 62471:2006 looks at lamps not meant for general lighting (from memory)."""

# IEC 62471:2006 emission limits at 200 mm, W/m²: the dose limits over 1000, 300 and 100 s for
# UV-A and over 30 000, 10 000 and 1000 s weighted. From memory but for the 10 W/m², and
# IEC 62471-6:2022 may stand in its place for lamps made to give UV: hence "estimate" wherever shown.
_UVA_STEPS = (10.0, 33.3, 100.0)
_ACTINIC_STEPS = (0.001, 0.003, 0.03)
_GROUPS: tuple[RiskGroup, ...] = ("exempt", "RG1", "RG2", "RG3")


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """UV at one place where people stay.

    `uva_w_m2` is UV-A, `actinic_w_m2` the S(λ)-weighted irradiance, both facing every lamp at
    once; `eye_s` and `skin_s` are the seconds after which the day's limit is reached, at most
    the 8 h the limits are stated for.
    """

    place: str
    uva_w_m2: float
    actinic_w_m2: float
    eye_s: float
    skin_s: float

    @property
    def within_day(self) -> bool:
        """True when 8 h reach neither limit."""
        return min(self.eye_s, self.skin_s) >= DAY_S


def actinic_weight(nm: Array) -> Array:
    """Return S(λ) from 300 to 400 nm, 0 beyond: equation 2c of ICNIRP 2004.

    The equation gives 1.123e-4 at 365 nm where the printed table says 1.1e-4.
    """
    nm = np.asarray(nm, float)
    weight = 0.3 * 0.736 ** (nm - 300) + 10 ** (2 - 0.0163 * nm)
    return np.where((nm >= 300) & (nm <= 400), weight, 0.0)


def line_shares(peak_nm: float, width_nm: float) -> tuple[float, float]:
    """Return, for 1 W of a Gaussian line, its UV-A part (315 to 400 nm) and its S(λ)-weighted sum.

    Summed at whole nanometres from 300 to 500.
    """
    line = np.exp(-4 * np.log(2) * ((_NM - peak_nm) / width_nm) ** 2)
    line /= line.sum()
    uva = float(line[(_NM >= 315) & (_NM <= 400)].sum())
    return uva, float(line @ actinic_weight(_NM))


def exposure_at(
    place: str,
    point_mm: tuple[float, float, float],
    lamps: Sequence[Lamp],
    *,
    thrown_back: float = 0.0,
) -> Exposure:
    """Return the exposure of a person at a point (x, y, z), mm, looking at the lamps.

    `thrown_back` is the share of each lamp's light on the wall that comes back to someone close
    to it: the wall seen from up close fills the view, so its irradiance times that share is the
    most it can add.
    """
    point = np.array(point_mm, float)
    foot = np.array([point_mm[0], point_mm[1]], float)
    uva = actinic = 0.0
    for lamp in lamps:
        irradiance = float(irradiance_facing([lamp], point))
        irradiance += thrown_back * float(irradiance_on_wall([lamp], foot))
        uva_share, weighted = line_shares(lamp.peak_nm, lamp.width_nm)
        uva += irradiance * uva_share
        actinic += irradiance * weighted
    return Exposure(
        place=place,
        uva_w_m2=uva,
        actinic_w_m2=actinic,
        eye_s=min(seconds_to(UVA_LIMIT_J_M2, uva), seconds_to(ACTINIC_LIMIT_J_M2, actinic)),
        skin_s=seconds_to(ACTINIC_LIMIT_J_M2, actinic),
    )


def seconds_to(dose_j_m2: float, irradiance_w_m2: float) -> float:
    """Return the seconds until a dose is reached, at most 8 h."""
    return DAY_S if irradiance_w_m2 * DAY_S <= dose_j_m2 else dose_j_m2 / irradiance_w_m2


def risk_group_of(lamp: Lamp) -> RiskGroup:
    """Return the group a lamp falls in for UV, estimated 200 mm before it on its axis."""
    places = np.array([lamp.x_mm, lamp.y_mm, lamp.out_mm], float)
    axis = np.array([lamp.aim_x_mm, lamp.aim_y_mm, 0.0]) - places
    point = places + axis / np.linalg.norm(axis) * RISK_DISTANCE_MM
    found = exposure_at("lamp", (point[0], point[1], point[2]), [lamp])
    step = max(_step(found.uva_w_m2, _UVA_STEPS), _step(found.actinic_w_m2, _ACTINIC_STEPS))
    return _GROUPS[step]


def _step(value: float, steps: tuple[float, ...]) -> int:
    return sum(value > limit for limit in steps)
