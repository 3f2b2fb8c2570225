"""A lamp: where it hangs, where it points, how wide and how strong its beam is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from palette.colour import Array
from palette.errors import InputError

__all__ = ["Lamp", "axis_intensity", "intensity_of_reading", "lobe_exponent", "split_tube"]

TUBE_PARTS = 33
"""Gauss-Legendre points on a tube: 0.1 m before a wall, a 1.2 m tube is then within 0.04 % of the
integral everywhere on it, from 0.2 m on within 1e-7."""

PEAKS_NM = (340.0, 430.0)
"""Where blacklights have their peak. Shorter waves burn eyes and skin, longer ones are light."""

Axis = Literal["across", "up"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """One blacklight before the wall.

    The wall is the plane z = 0: x to the right and y down from its top left corner, z toward
    the visitors. Lengths mm.

    Parameters
    ----------
    id : str
    x_mm, y_mm, out_mm : float
        Its middle; `out_mm` is the distance from the wall, more than 0.
    aim_x_mm, aim_y_mm : float
        The point of the wall its axis meets.
    beam_deg : float
        Full angle between the two directions of half the axis intensity, 0 < beam < 180.
    intensity_w_sr : float
        Radiant intensity on the axis, W/sr, of everything the lamp's line holds.
    length_mm : float
        0 for a point-like lamp, else the length of a tube.
    along : "across" or "up"
        Which way a tube lies.
    peak_nm, width_nm : float
        Middle and full width at half height of its line, taken as a Gaussian.

    Raises
    ------
    InputError
        It hangs behind the wall, or its beam, strength or line is none a blacklight has.
    """

    id: str
    x_mm: float
    y_mm: float
    out_mm: float
    aim_x_mm: float
    aim_y_mm: float
    beam_deg: float
    intensity_w_sr: float
    length_mm: float = 0.0
    along: Axis = "across"
    peak_nm: float = 365.0
    width_nm: float = 12.0

    def __post_init__(self) -> None:
        where = f'lamp "{self.id}"'
        if not self.out_mm > 0:
            what = f"it hangs {self.out_mm:g} mm before the wall, which is behind the panel"
            raise InputError(where, what, "give the distance from the wall, more than 0")
        if not 0 < self.beam_deg < 180:
            raise InputError(where, f"its beam is {self.beam_deg:g}°", "write an angle between 0 and 180")
        if not self.intensity_w_sr > 0:
            what = f"its strength is {self.intensity_w_sr:g} W/sr"
            raise InputError(where, what, "give its output in W, or a reading, more than 0")
        if not PEAKS_NM[0] <= self.peak_nm <= PEAKS_NM[1] or not 1 <= self.width_nm <= 60:
            what = f"a line at {self.peak_nm:g} nm, {self.width_nm:g} nm wide, is no blacklight's"
            mend = "give a peak from 340 to 430 nm, 1 to 60 nm wide; shorter waves harm eyes and skin"
            raise InputError(where, what, mend)


def lobe_exponent(beam_deg: float) -> float:
    """Return m of the beam cosᵐθ that falls to one half at half the beam angle.

    120° gives 1, a surface that looks equally bright from all sides (Lambert).
    """
    return -math.log(2) / math.log(math.cos(math.radians(beam_deg / 2)))


def axis_intensity(output_w: float, beam_deg: float) -> float:
    """Return W/sr on the axis of a lamp that sends `output_w` into the half space before it.

    The integral of cosᵐθ over a half space is 2π/(m + 1).
    """
    return (lobe_exponent(beam_deg) + 1) * output_w / (2 * math.pi)


def intensity_of_reading(
    irradiance_w_m2: float, distance_mm: float, *, beam_deg: float, length_mm: float = 0.0
) -> float:
    """Return W/sr on the axis from a meter reading square to the lamp at a distance.

    A point-like lamp obeys E = I/d². A tube is the sum of its parts, each at its own distance
    and slant, so the same reading means a stronger lamp.
    """
    offsets, shares = tube_parts(length_mm)
    squared = distance_mm**2 + offsets**2
    # A part's beam and the meter both lean away by cosθ = d/r: cosᵐθ of the one, cosθ of the other.
    lean = (distance_mm / np.sqrt(squared)) ** (lobe_exponent(beam_deg) + 1)
    per_watt = float(shares @ (lean / squared)) * 1e6
    return irradiance_w_m2 / per_watt


def tube_parts(length_mm: float) -> tuple[Array, Array]:
    """Return places along a tube, mm from its middle, and the share of its light from each.

    One place for a point-like lamp.
    """
    if length_mm == 0:
        return np.zeros(1), np.ones(1)
    nodes, weights = np.polynomial.legendre.leggauss(TUBE_PARTS)
    return nodes * length_mm / 2, weights / 2


def split_tube(lamp: Lamp) -> tuple[Array, Array, Array]:
    """Return a lamp's parts: places (N, 3) mm, the axis (3,) as a unit vector, W/sr of each (N,)."""
    offsets, shares = tube_parts(lamp.length_mm)
    places = np.tile(np.array([lamp.x_mm, lamp.y_mm, lamp.out_mm], float), (len(offsets), 1))
    places[:, 0 if lamp.along == "across" else 1] += offsets
    axis = np.array([lamp.aim_x_mm - lamp.x_mm, lamp.aim_y_mm - lamp.y_mm, -lamp.out_mm], float)
    return places, axis / np.linalg.norm(axis), lamp.intensity_w_sr * shares
