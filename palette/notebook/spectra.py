"""Spectra of lights and paints, drawn with matplotlib."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.appearance import appearance_of
from palette.coating import surfaces_of
from palette.colour import D65_WHITE, Array
from palette.light import BLACKLIGHT, Light, spectrum_of
from palette.paint import Paint
from palette.preview import Preview
from palette.preview.sheet import INK, PAPER, QUIET, RULE
from palette.preview.tone import screen_colours
from palette.spectrum import EMISSION_NM, EXCITATION_NM, SEEN, xyz_of_radiance

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.patches import Patch

__all__ = ["draw_lights", "draw_paint", "new_figure", "picture_of_figure"]

_DPI = 100
_WIDTH_IN = 10.0
_RANGE_NM = (300.0, 780.0)
_SEEN_FROM_NM = 400.0


def draw_lights(lights: Sequence[Light]) -> Preview:
    """Return the spectra of lights below each other, each over its own greatest value."""
    figure = new_figure(_WIDTH_IN, 1.15 * len(lights) + 0.45)
    rows = figure.subplots(len(lights), 1, sharex=True, squeeze=False)[:, 0]
    for axes, light in zip(rows, lights, strict=True):
        power = spectrum_of(light)
        _fill(axes, EXCITATION_NM, power / max(float(power.max()), 1e-12))
        _dress(axes)
        axes.set_title(light.id, loc="left", fontsize=10, color=_hex(INK), pad=3)
    _say_wavelength(rows[-1])
    return picture_of_figure(figure, ", ".join(light.id for light in lights))


def draw_paint(paint: Paint, lights: Sequence[Light]) -> Preview:
    """Return a paint's looks under some lights, and what it does to light, wavelength by wavelength.

    Grey: the share it reflects. Violet, dashed: what makes it glow. Coloured: what it gives off
    under a 365 nm lamp. Each of the last two is over its own greatest value.
    """
    figure = new_figure(_WIDTH_IN, 3.4)
    grid = figure.add_gridspec(1, 2, width_ratios=(1, 2.6))
    _draw_chips(figure.add_subplot(grid[0]), paint, lights)
    _draw_doings(figure.add_subplot(grid[1]), paint)
    return picture_of_figure(figure, ", ".join(light.id for light in lights))


def picture_of_figure(figure: Figure, light: str) -> Preview:
    """Return a figure as a picture; a chart has no scale in mm, so a pixel counts as one."""
    from PIL import Image

    buffer = io.BytesIO()
    figure.savefig(buffer, format="png", dpi=_DPI, facecolor=_hex(PAPER))
    return Preview(image=np.asarray(Image.open(buffer).convert("RGB")), mm_per_px=1.0, light=light)


def _draw_chips(axes: Axes, paint: Paint, lights: Sequence[Light]) -> None:
    looks = appearance_of([paint], lights)
    for row, light in enumerate(lights):
        dark = light.kind == "blacklight"
        axes.add_patch(_box(0, -row, "#09080d" if dark else "#e2e0da", inset=0.0))
        white = looks.white_xyz[row]
        red, green, blue = screen_colours(looks.xyz[:, row], white=white)[0].tolist()
        axes.add_patch(_box(0, -row, _hex((red, green, blue)), inset=0.1))
        axes.text(1.08, -row + 0.5, light.id, va="center", fontsize=10, color=_hex(INK))
    axes.set_xlim(0, 1.9)
    axes.set_ylim(1 - len(lights), 1)
    axes.axis("off")
    axes.set_title(paint.id, loc="left", fontsize=12, color=_hex(INK))


def _box(x: float, y: float, colour: str, *, inset: float) -> Patch:
    from matplotlib.patches import Rectangle

    side = 1 - 2 * inset
    return Rectangle((x + inset, y + inset), side, side, facecolor=colour, linewidth=0)


def _draw_doings(axes: Axes, paint: Paint) -> None:
    surface = surfaces_of(paint, (paint.coats,), (paint.ground,))[0, 0]
    reflects, excited, given = _parts(surface)
    looks = appearance_of([paint], [BLACKLIGHT])
    red, green, blue = screen_colours(looks.xyz[:, 0], white=looks.white_xyz[0])[0].tolist()
    glow = _hex((red, green, blue))
    axes.fill_between(EMISSION_NM, 100 * given, color=glow, alpha=0.85, linewidth=0, label="gives off")
    axes.plot(EMISSION_NM, 100 * reflects, color="#77736c", linewidth=1.8, label="reflects")
    axes.plot(
        EXCITATION_NM, 100 * excited, color="#5a2ea6", linewidth=1.6, dashes=(4, 2), label="excited by"
    )
    _dress(axes)
    axes.set_ylim(0, 108)
    axes.set_yticks([0, 50, 100], ["0", "50", "100 %"])
    axes.legend(loc="upper center", ncols=3, fontsize=9, frameon=False, bbox_to_anchor=(0.5, 1.14))
    _say_wavelength(axes)


def _parts(surface: Array) -> tuple[Array, Array, Array]:
    """Return reflectance (41,), what excites (49,) and what is given off under 365 nm (41,)."""
    same = EMISSION_NM[:, None] == EXCITATION_NM[None, :]
    glow = np.where(same, 0.0, surface)
    reflects = np.where(same, surface, 0.0).sum(axis=1)
    excited = glow.sum(axis=0)
    given = glow @ spectrum_of(BLACKLIGHT)
    return reflects, excited / max(float(excited.max()), 1e-12), given / max(float(given.max()), 1e-12)


def new_figure(width_in: float, height_in: float) -> Figure:
    """Return an empty figure, apart from any a notebook draws itself."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    # Not pyplot: a notebook's own charts keep their settings.
    figure = Figure(figsize=(width_in, height_in), layout="constrained")
    FigureCanvasAgg(figure)
    return figure


def _dress(axes: Axes) -> None:
    axes.set_facecolor(_hex(PAPER))
    axes.set_xlim(*_RANGE_NM)
    axes.set_ylim(0, 1.08)
    axes.set_yticks([])
    axes.axvline(_SEEN_FROM_NM, color=_hex(QUIET), linewidth=0.8, dashes=(2, 3))
    axes.tick_params(labelsize=9, colors=_hex(INK), length=2)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(_hex(RULE))


def _say_wavelength(axes: Axes) -> None:
    told = "wavelength, nm; left of the dashed line, at 400, is ultraviolet"
    axes.set_xlabel(told, fontsize=9, color=_hex(QUIET))


def _fill(axes: Axes, nm: Array, height: Array) -> None:
    """Fill a spectrum with the colours of its wavelengths; ultraviolet is grey violet."""
    fine = np.arange(_RANGE_NM[0], _RANGE_NM[1] + 1, 4.0)
    level = np.interp(fine, nm, height)
    axes.bar(fine, level, width=4.2, color=_colours_at(fine), linewidth=0)
    axes.plot(fine, level, color=_hex(INK), linewidth=0.9)


def _colours_at(nm: Array) -> NDArray[np.float64]:
    """Return a colour for each wavelength, shape (N, 3), 0 to 1: a picture of light, not a measure."""
    lines = np.exp(-(((EXCITATION_NM[None, :] - nm[:, None]) / 12.0) ** 2))
    xyz = xyz_of_radiance(lines[:, SEEN])
    shown = screen_colours(xyz / np.maximum(xyz.sum(axis=1, keepdims=True), 1e-9), white=D65_WHITE) / 255
    found: NDArray[np.float64] = np.where((nm >= _SEEN_FROM_NM)[:, None], shown, (0.55, 0.5, 0.65))
    return found


def _hex(colour: tuple[int, int, int]) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour)
