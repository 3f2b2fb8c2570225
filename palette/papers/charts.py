"""Pictures drawn with matplotlib: the days as bars, the lamps' light on the wall."""

from __future__ import annotations

import io
import warnings
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from palette.papers.looks import CanLook
from palette.papers.marks import text_width
from palette.plan import DayLine, PaintedPanel, Plan, WorkStep, list_days

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["days_charts", "light_picture"]

DPI = 150
ROW_MM = 3.9
MOST_LETTERS = 32
"""A step's name on a chart is cut beyond this."""
_GREYS = {"prepare": "#d8d8d8", "ground": "#f2f2f2", "draw": "#c8c8c8", "look": "#7a6ad8",
          "black": "#202020", "trim": "#8a8a8a", "finish": "#d8d8d8"}  # fmt: skip


def days_charts(
    plan: Plan, looks: Mapping[str, CanLook], *, width_mm: float, height_mm: float
) -> list[bytes]:
    """Return PNGs of the days: one row a step, one band a day, nights left out; grey while it dries.

    As many pictures as it takes to keep the type readable.
    """
    steps = plan.timetable.steps
    rows = max(1, int((height_mm - 16) / ROW_MM))
    parts = -(-len(steps) // rows)
    share = -(-len(steps) // parts)
    lines = list_days(plan.timetable)
    return [
        _days_chart(plan, looks, lines, steps[first : first + share], width_mm, height_mm)
        for first in range(0, len(steps), share)
    ]


def _days_chart(
    plan: Plan, looks: Mapping[str, CanLook], lines: Sequence[DayLine], steps: Sequence[WorkStep],
    width_mm: float, height_mm: float,
) -> bytes:  # fmt: skip
    names = [_step_name(step) for step in steps]
    figure, axes = _figure(width_mm, height_mm)
    left = max(text_width(name, 9) for name in names) + 3
    figure.subplots_adjust(left / width_mm, 7 / height_mm, 1 - 2 / width_mm, 1 - 7 / height_mm)
    days = sorted({int(line.start_h // 24) for line in lines})
    opens = plan.settings.days.opens.hour + plan.settings.days.opens.minute / 60
    band = plan.settings.days.hours + 1.0

    def across(hour: float) -> float:
        """Place an hour on the axis; what falls outside the open hours goes to the band's end."""
        day = max(d for d in days if d <= hour // 24)
        return days.index(day) * band + float(np.clip(hour - 24 * day - opens, 0.0, band - 0.15))

    row_of = {step.number: row for row, step in enumerate(steps)}
    for line in lines:
        row = row_of.get(line.step.number)
        if row is None:
            continue
        start, end = across(line.start_h), across(line.end_h)
        if line.recoat_h:
            axes.barh(row, across(line.recoat_h) - end, left=end, height=0.22, color="#bdbdbd", linewidth=0)
            axes.barh(
                row, across(line.touch_dry_h) - end, left=end, height=0.42, color="#8f8f8f", linewidth=0
            )
        fill = looks[line.step.product].daylight if line.step.kind == "colour" else _GREYS[line.step.kind]
        length = max(end - start, band * 0.006)
        axes.barh(row, length, left=start, height=0.74, color=fill, edgecolor="black", linewidth=0.6)
    axes.set_yticks(range(len(names)), names)
    axes.tick_params(axis="both", labelsize=9, length=0)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.set_xlim(-0.1, len(days) * band - 0.85)
    _name_days(axes, plan, lines, days, band)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.set_axisbelow(True)
    return _png(figure)


def _name_days(axes: Axes, plan: Plan, lines: Sequence[DayLine], days: Sequence[int], band: float) -> None:
    opens = plan.settings.days.opens.hour + plan.settings.days.opens.minute / 60
    for number, day in enumerate(days):
        axes.axvspan(number * band - 0.08, number * band + band - 0.92, color="#f5f5f5", zorder=-3)
        told = _day_name(next(line for line in lines if int(line.start_h // 24) == day))
        if len(days) <= 10 or number % (len(days) // 10 + 1) == 0:
            axes.annotate(told, (number * band, 1), (0, 3), xycoords=("data", "axes fraction"),
                          textcoords="offset points", fontsize=9, fontweight="bold")  # fmt: skip
    if len(days) > 8:
        axes.set_xticks([])
        return
    step_h = 1.0 if len(days) * band <= 24 else 2.0
    marks = [(n * band + h, opens + h) for n in range(len(days))
             for h in np.arange(0, plan.settings.days.hours - 0.49, step_h)]  # fmt: skip
    axes.set_xticks([at for at, _ in marks], [f"{int(hour)}" for _, hour in marks], fontsize=9)
    axes.grid(axis="x", color="#dddddd", linewidth=0.5, zorder=-2)


def light_picture(plan: Plan, each: PaintedPanel, *, width_mm: float, height_mm: float) -> bytes:
    """Return a PNG of the irradiance over a panel, with contours in µW/cm² and the lamps."""
    assert plan.lamps is not None
    light, panel = plan.lamps.light, each.panel
    figure, axes = _figure(width_mm, height_mm)
    rows, columns = light.values.shape
    x = (np.arange(columns) + 0.5) * light.mm_per_px / 10
    y = (np.arange(rows) + 0.5) * light.mm_per_px_y / 10
    values = light.values * 100  # W/m² to µW/cm²
    shown = axes.imshow(values, extent=(0, panel.width_mm / 10, panel.height_mm / 10, 0), cmap="magma",
                        vmin=0, vmax=values.max(), interpolation="bilinear")  # fmt: skip
    if values.max() > values.min() * 1.02:
        contours = axes.contour(x, y, values, levels=6, colors="white", linewidths=0.8)
        axes.clabel(contours, fontsize=9, fmt="%.3g")
    for section in panel.sections:
        ring = np.asarray(section.outline.exterior.coords) / 10
        axes.plot(ring[:, 0], ring[:, 1], color="white", alpha=0.35, linewidth=0.6)
    for number, lamp in enumerate(plan.lamps.lamps, 1):
        at, aim = (lamp.x_mm / 10, lamp.y_mm / 10), (lamp.aim_x_mm / 10, lamp.aim_y_mm / 10)
        if np.hypot(at[0] - aim[0], at[1] - aim[1]) > 2:
            axes.annotate(
                "", xy=aim, xytext=at, arrowprops={"arrowstyle": "->", "color": "#1f6fd0", "lw": 1.2}
            )
        axes.plot(*at, marker="o", markersize=13, color="white", markeredgecolor="#1f6fd0", clip_on=False)
        axes.text(*at, str(number), ha="center", va="center", fontsize=9, fontweight="bold")
    reach_x = [lamp.x_mm / 10 for lamp in plan.lamps.lamps]
    reach_y = [lamp.y_mm / 10 for lamp in plan.lamps.lamps]
    rim = 0.04 * panel.width_mm / 10
    axes.set_xlim(min(0, *reach_x) - rim, max(panel.width_mm / 10, *reach_x) + rim)
    axes.set_ylim(max(panel.height_mm / 10, *reach_y) + rim, min(0, *reach_y) - rim)
    axes.set_xlabel("cm from the left edge", fontsize=9)
    axes.set_ylabel("cm down from the top edge", fontsize=9)
    axes.tick_params(labelsize=9)
    bar = figure.colorbar(shown, ax=axes, shrink=0.8)
    bar.set_label("µW/cm²", fontsize=9)
    bar.ax.tick_params(labelsize=9)
    figure.subplots_adjust(0.11, 0.11, 1.0, 0.98)
    return _png(figure)


def _figure(width_mm: float, height_mm: float) -> tuple[Figure, Axes]:
    # The figure is made without pyplot: nothing global, no window system.
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4), dpi=DPI)
    FigureCanvasAgg(figure)
    return figure, figure.add_subplot()


def _png(figure: Figure) -> bytes:
    file = io.BytesIO()
    with warnings.catch_warnings():
        # A letter the font lacks shows as a box, here as on every page: nothing to tell twice.
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        figure.savefig(file, format="png", metadata={"Software": None})
    return file.getvalue()


def _step_name(step: WorkStep) -> str:
    short = step.title.split(":")[0].split(";")[0]
    if len(short) > MOST_LETTERS:
        # A title's first part says it; a paint's name without a comma is cut.
        head, comma, _ = short.partition(", ")
        short = head if comma and len(head) <= MOST_LETTERS else short[: MOST_LETTERS - 1].rstrip() + "…"
    return f"{step.number}. {short}" + (f", coat {step.coat}" if step.coats > 1 else "")


def _day_name(line: DayLine) -> str:
    return f"Day {line.day}" if line.date is None else f"{line.date:%a} {line.date.day} {line.date:%b}"
