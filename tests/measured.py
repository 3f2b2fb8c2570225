"""Measured bispectral matrices: where they are kept, and what is known of them.

The open data are eight fluorescent materials measured in 1999 with a two-monochromator
instrument: S. Gonzalez, M. D. Fairchild, "Evaluation of Bispectral Spectrophotometry for Accurate
Colorimetry of Printing Materials" (2000). The files lie in a folder beside the checkout; the
numbers below were derived from them with numpy and colour-science, independently of palette.
"""

from pathlib import Path

import numpy as np
import pytest

FOLDER = Path(__file__).resolve().parents[1] / ".." / "shared" / "data" / "bispectral"
needs_matrices = pytest.mark.skipif(
    not FOLDER.is_dir(), reason="the measured matrices are kept beside the checkout, and are not there"
)
NAMES = ("HERPICER", "HERPIORA", "TEXTYELL", "CIBA12")

# Sums of the raw matrix, of its luminescent part (below the diagonal, noise below zero set to 0)
# and of the diagonal.
SUMS = {
    "HERPICER": (28.2291, 9.4314, 18.9215),
    "HERPIORA": (28.9670, 10.5485, 18.7113),
    "TEXTYELL": (29.2272, 7.2322, 21.8071),
    "CIBA12": (34.8618, 5.1610, 29.8935),
}

# Emission peak (10 nm bin) for excitation at 360 to 400 nm; efficiency at 365, 395, 405 nm.
PEAKS = {"HERPICER": 610, "HERPIORA": 590, "TEXTYELL": 510, "CIBA12": 430}

# XYZ and Lab under D65 (10 nm sums, white 95.0174 / 100 / 108.8128), clean matrix.
DAYLIGHT = {
    "HERPICER": ((82.704, 43.274, 17.079), (71.74, 99.20, 43.39)),
    "HERPIORA": ((106.830, 64.778, 4.780), (84.37, 87.29, 102.48)),
    "TEXTYELL": ((69.424, 102.037, 17.966), (100.78, -53.03, 91.63)),
    "CIBA12": ((86.128, 88.346, 114.352), (95.31, 4.13, -11.43)),
}

# x, y and Y per unit of irradiance under Gaussian lamps 365 nm / 12 nm and 395 nm / 15 nm.
LAMPS = {
    "HERPICER": ((0.5901, 0.3154, 0.06609), (0.5415, 0.2977, 0.06968)),
    "HERPIORA": ((0.6107, 0.3878, 0.09612), (0.6030, 0.3858, 0.13750)),
    "TEXTYELL": ((0.2103, 0.6217, 0.13091), (0.2080, 0.6001, 0.26045)),
    "CIBA12": ((0.1529, 0.0636, 0.04731), (0.1528, 0.0658, 0.05599)),
}


def raw_matrix(name: str) -> np.ndarray:
    """Return a matrix as the file has it, read here without palette, shape (41, 49)."""
    lines = (FOLDER / f"{name}.BFC").read_text().splitlines()[12:]
    rows = []
    for line in lines:
        if line.strip() == "EOD":
            break
        if line.strip():
            rows.append([float(cell) for cell in line.split()][1:])
    return np.array(rows)


def clean(raw: np.ndarray) -> np.ndarray:
    """Return the diagonal as it is, what is below it without negatives, nothing above it."""
    emission, excitation = np.arange(380, 781, 10)[:, None], np.arange(300, 781, 10)[None, :]
    luminous = np.where(emission > excitation, np.maximum(raw, 0), 0)
    return luminous + np.where(emission == excitation, raw, 0)


def reference_xyz(matrix: np.ndarray, power: np.ndarray) -> np.ndarray:
    """Return plain XYZ sums with colour-science's 1931 2° observer."""
    import colour

    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    bars = np.array([observer[nm] for nm in np.arange(380, 781, 10)])
    return (matrix @ power) @ bars


def reference_power(name: str) -> np.ndarray:
    """Return a light on 300 to 780 nm by 10 nm, from colour-science or a Gaussian ``peak/width``."""
    import colour

    grid = np.arange(300, 781, 10)
    if "/" in name:
        peak, width = (float(part) for part in name.split("/"))
        return np.exp(-4 * np.log(2) * ((grid - peak) / width) ** 2)
    table = colour.SDS_ILLUMINANTS[name]
    return np.array([table[nm] if table.wavelengths[0] <= nm else 0.0 for nm in grid])
