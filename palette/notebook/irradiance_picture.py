"""The UV on a wall as a map with figures."""

from __future__ import annotations

import numpy as np

from palette.lamps import IrradianceMap
from palette.notebook.spectra import new_figure, picture_of_figure
from palette.preview import Preview

__all__ = ["draw_irradiance"]

_WIDTH_IN = 7.5
_STEPS = (1, 2, 5, 10, 20, 30, 50, 75, 100, 150, 200, 300, 500, 750, 1000, 2000, 5000, 10_000)
"""µW/cm² at which a line may stand."""


def draw_irradiance(light: IrradianceMap, *, told: str) -> Preview:
    """Return the map in µW/cm², darker where there is less, with a line at every round figure."""
    rows, columns = light.values.shape
    width, height = columns * light.mm_per_px / 10, rows * light.mm_per_px_y / 10
    figure = new_figure(_WIDTH_IN, min(7.0, max(2.2, _WIDTH_IN * height / width)) + 0.6)
    axes = figure.subplots()
    level = light.values * 100
    axes.imshow(
        level, extent=(0, width, height, 0), cmap="magma", vmin=0, vmax=float(level.max()), aspect="equal"
    )
    at = [step for step in _STEPS if level.min() < step < level.max()]
    if at:
        x = (np.arange(columns) + 0.5) * light.mm_per_px / 10
        y = (np.arange(rows) + 0.5) * light.mm_per_px_y / 10
        # White on the dark half, black on the bright one.
        inks = ["white" if step < 0.6 * level.max() else "black" for step in at]
        lines = axes.contour(x, y, level, levels=at, colors=inks, linewidths=0.9)
        axes.clabel(lines, fontsize=9, fmt="%g")
    axes.set_xlabel("cm from the left", fontsize=9)
    axes.set_ylabel("cm down", fontsize=9)
    axes.tick_params(labelsize=9)
    axes.set_title(told, loc="left", fontsize=9.5)
    return picture_of_figure(figure, "UV")
