"""A stand-in for a measured card: moss-card.csv, the bispectral matrix of the demo's moss green.

Worked out, not measured: the paint of paints.toml in its coats over white, with the noise an
instrument has (seeded) and three digits. Everything here is invented.

Run it from anywhere: ``python examples/canyon/make_card.py``.
"""

from pathlib import Path

import numpy as np

import palette
from palette.coating import surfaces_of
from palette.spectrum import EMISSION_NM, EXCITATION_NM

HERE = Path(__file__).resolve().parent
NOISE = 0.0004

HEAD = """\
# A card painted moss green, two coats over white: a bispectral matrix. Worked out, not measured.
# A row for each emission wavelength, a column for each exciting one, nm.
# Values: radiance factor that a 10 nm band of excitation adds to a 10 nm band of emission.
"""


def make() -> None:
    """Write moss-card.csv."""
    paint = next(p for p in palette.read_paints(HERE / "paints.toml") if p.id == "moss green")
    surface = surfaces_of(paint, (paint.coats,), (paint.ground,))[0, 0]
    noisy = surface + np.random.default_rng(1).normal(0, NOISE, surface.shape)
    lines = ["nm," + ",".join(f"{nm:.0f}" for nm in EXCITATION_NM)]
    for nm, row in zip(EMISSION_NM, noisy, strict=True):
        lines.append(f"{nm:.0f}," + ",".join(f"{value:.3f}".replace("-0.000", "0.000") for value in row))
    (HERE / "moss-card.csv").write_text(HEAD + "\n".join(lines) + "\n", "utf-8")


if __name__ == "__main__":
    make()
