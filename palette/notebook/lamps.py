"""Lamps, the light they put on a wall, and what it means for people."""

from __future__ import annotations

from collections.abc import Sequence

from palette.lamps import Exposure, IrradianceMap, Lamp, Placing, risk_group_of
from palette.notebook.irradiance_picture import draw_irradiance
from palette.notebook.shown import Shown, listing, paragraph, table
from palette.papers.wording import exposure_words, violet_words
from palette.plan import LampPlan

__all__ = [
    "show_exposure",
    "show_exposures",
    "show_irradiance",
    "show_lamp",
    "show_lamp_plan",
    "show_lamps",
    "show_placing",
]

_ESTIMATE = "An estimate: keep eyes off the lamps; the lamp's own data and local rules decide."


def show_lamp(lamp: Lamp) -> Shown:
    """Show where a lamp hangs, where it points, and its risk group, an estimate."""
    return Shown(words=_lamp_words(lamp), markup=show_lamps([lamp]).markup)


def show_lamps(lamps: Sequence[Lamp]) -> Shown:
    """Show several lamps in a table."""
    rows = [
        (
            lamp.id,
            f"{lamp.x_mm / 10:.0f} cm",
            _height_words(lamp),
            f"{lamp.out_mm / 10:.0f} cm",
            f"{lamp.aim_y_mm / 10:.0f} cm",
            f"{lamp.beam_deg:.0f}°",
            f"{lamp.peak_nm:.0f} nm",
            risk_group_of(lamp),
        )
        for lamp in lamps
    ]
    headings = ("lamp", "from the left", "its height", "before the wall", "aimed down", "beam", "peak",
                "risk group")  # fmt: skip
    notes = [_ESTIMATE, violet_words(lamps)]
    return Shown(
        words=f"{len(lamps)} lamps", markup=(table(headings, rows), listing(note for note in notes if note))
    )


def show_lamp_plan(plan: LampPlan) -> Shown:
    """Show a job's lamps, what they mean for people, and the light they give in figures."""
    return Shown(
        words=f"{len(plan.lamps)} lamps. {show_irradiance(plan.light).words}",
        markup=(
            paragraph(f"{show_irradiance(plan.light).words}."),
            *show_lamps(plan.lamps).markup,
            *show_exposures(plan.exposures).markup[:1],
        ),
    )


def show_placing(placing: Placing) -> Shown:
    """Show lamps as they were placed, and whether that gives the wanted light."""
    reached = "as wanted" if placing.reached else "less than wanted; allow more lamps or stronger ones"
    words = (
        f"{len(placing.lamps)} lamps: mean {placing.mean_w_m2 * 100:.0f} µW/cm², "
        f"evenness {placing.evenness:.2f}, {reached}"
    )
    return Shown(words=words, markup=(paragraph(f"{words}."), *show_lamps(placing.lamps).markup))


def show_irradiance(light: IrradianceMap) -> Shown:
    """Show the UV on a wall as a map in µW/cm²."""
    words = (
        f"UV on the wall: least {light.least * 100:.0f}, mean {light.mean * 100:.0f}, most "
        f"{light.most * 100:.0f} µW/cm²; evenness {light.evenness:.2f}"
    )
    return Shown(words=words, picture=lambda: draw_irradiance(light, told=words))


def show_exposure(exposure: Exposure) -> Shown:
    """Show what the UV at one place means."""
    return Shown(words=exposure_words(exposure), markup=show_exposures([exposure]).markup)


def show_exposures(exposures: Sequence[Exposure]) -> Shown:
    """Show what the UV means at several places."""
    told = [exposure_words(each) for each in exposures]
    return Shown(words=" ".join(told), markup=(listing(told), paragraph(_ESTIMATE)))


def _lamp_words(lamp: Lamp) -> str:
    return (
        f'Lamp "{lamp.id}": {lamp.x_mm / 10:.0f} cm from the left, {_height_words(lamp)}, '
        f"{lamp.out_mm / 10:.0f} cm before the wall, {lamp.peak_nm:.0f} nm"
    )


def _height_words(lamp: Lamp) -> str:
    return f"{abs(lamp.y_mm) / 10:.0f} cm {'above' if lamp.y_mm < 0 else 'below'} the top edge"
