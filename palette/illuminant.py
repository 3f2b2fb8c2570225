"""Lights the CIE has written down, on the excitation grid.

They are computed by the CIE's own formulas, which meet its tables within 0.001; colormath's tables
are older ones, up to 1 off in the near ultraviolet, where paints are excited.
"""

from __future__ import annotations

import numpy as np

from palette.colour import Array
from palette.spectrum import EXCITATION_NM, package_table

__all__ = ["daylight", "incandescent_a", "table_d50", "table_d65"]

# CIE 15:2004, 3.1, note 4: D65 and D50 were named under an older constant in Planck's law.
_RENAMED = 1.4388 / 1.4380


def table_d65() -> Array:
    """Return D65, 100 at 560 nm, shape (49,)."""
    return daylight(6500 * _RENAMED)


def table_d50() -> Array:
    """Return D50, 100 at 560 nm, shape (49,)."""
    return daylight(5000 * _RENAMED)


def incandescent_a() -> Array:
    """Return illuminant A, 100 at 560 nm, shape (49,)."""
    # CIE 15:2004, equation 3.1.
    hot = 1.435e7 / 2848.0
    planck: Array = (560 / EXCITATION_NM) ** 5 * np.expm1(hot / 560) / np.expm1(hot / EXCITATION_NM)
    return 100 * planck


def daylight(kelvin: float) -> Array:
    """Return CIE daylight of a colour temperature, 4000 to 25000 K, 100 at 560 nm, shape (49,).

    Source: CIE 15:2004, equations 3.2 to 3.8; M1 and M2 rounded to three places as there.
    """
    t = 1e3 / kelvin
    if kelvin <= 7000:
        x = -4.6070 * t**3 + 2.9678 * t**2 + 0.09911 * t + 0.244063
    else:
        x = -2.0064 * t**3 + 1.9018 * t**2 + 0.24748 * t + 0.237040
    y = -3.000 * x**2 + 2.870 * x - 0.275
    below = 0.0241 + 0.2562 * x - 0.7341 * y
    m1 = round((-1.3515 - 1.7703 * x + 5.9114 * y) / below, 3)
    m2 = round((0.0300 - 31.4424 * x + 30.0717 * y) / below, 3)
    table = package_table("lights/daylight-components.csv")
    found: Array = table["S0"] + m1 * table["S1"] + m2 * table["S2"]
    return found
