"""The steps of a paint job, in the trade's order.

Check, repair, fire retardant, edges and back, primer, white, drawing, colours from light to
dark with a look under blacklight between the coats, black last, trim apart, photograph.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from palette.colour import lab_of_xyz
from palette.paint import Paint
from palette.plan.settings import Liquid, Settings

__all__ = ["StepKind", "WorkStep", "light_to_dark", "list_steps"]

StepKind = Literal["prepare", "ground", "draw", "colour", "look", "black", "trim", "finish"]

WET_WEATHER = "10 °C or more, dry air"
DUST_WEATHER = "outdoors on a dry day only"
Surface = Literal["", "edges and back", "face", "trim"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkStep:
    """One step of the job.

    `after` are the numbers of steps that must be finished and dry: ready for the next coat where
    it goes on the same `surface`, else dry enough to touch. `surface` is "" where it is no area.
    `weather` is empty where it does not matter.
    """

    title: str
    kind: StepKind
    number: int = 0
    after: tuple[int, ...] = ()
    product: str = ""
    coat: int = 0
    coats: int = 0
    surface: Surface = ""
    touch_dry_h: float = 0.0
    recoat_h: float = 0.0
    most_people: int = 99
    weather: str = ""
    caution: str = ""


def light_to_dark(paints: Sequence[Paint]) -> tuple[Paint, ...]:
    """Return paints from the lightest in daylight to the darkest: a darker one covers an overrun."""

    def darkness(paint: Paint) -> float:
        look = paint.swatch.get("daylight", paint.swatch.get("blacklight"))
        return 0.0 if look is None else -float(lab_of_xyz(look)[0])

    return tuple(sorted(paints, key=darkness))


def list_steps(
    paints: Sequence[Paint], settings: Settings, *, trim_paint: Paint | Literal["black", "white"] | None
) -> tuple[WorkStep, ...]:
    """Return the steps, numbered from 1.

    Parameters
    ----------
    paints : sequence of Paint
        Those some section has.
    settings : Settings
    trim_paint : Paint, "black", "white" or None
        What the trim boards get; None where there are none.
    """
    steps: list[WorkStep] = []
    for step in _in_order(paints, settings, trim_paint):
        if step.kind != "trim" or trim_paint is not None:
            after = tuple(_before(step, steps))
            steps.append(replace(step, number=len(steps) + 1, after=after))
    return tuple(steps)


def _before(step: WorkStep, steps: Sequence[WorkStep]) -> list[int]:
    """Return the steps that must be finished before this one."""

    def last(*kinds: StepKind) -> list[int]:
        return [other.number for other in steps if other.kind in kinds][-1:]

    if step.kind == "colour":
        # Colours wait for the white, and for the drawing or the look before their coat; sections
        # that touch wait for each other one by one.
        return sorted(last("ground") + last("draw", "look"))
    if step.kind == "look" or (step.kind == "black" and not last("black")):
        colours = [other.number for other in steps if other.kind == "colour"]
        return sorted(colours + last("look")) or last("draw")
    if step.kind == "trim":
        # Boards lie apart: they wait for the bare work and their own coats only.
        return last("trim") or last("prepare")
    if step.kind == "finish":
        return sorted(last("black", "ground") + last("trim"))
    before = last("prepare", "ground", "draw", "black")
    same = [other.number for other in steps if step.surface and other.surface == step.surface][-1:]
    return sorted({*before, *same})


def _in_order(
    paints: Sequence[Paint], settings: Settings, trim_paint: Paint | Literal["black", "white"] | None
) -> Iterator[WorkStep]:
    liquids, factor = settings.liquids, settings.days.drying_factor
    yield WorkStep(title="Check the panels; mark each back: panel, edition, which way up", kind="prepare")
    yield WorkStep(
        title="Fill, sand, dust off", kind="prepare", weather=DUST_WEATHER,
        caution="test unknown old paint for lead before sanding; masks on, no flames",
    )  # fmt: skip
    treat = WorkStep(
        title="Fire retardant: ask the authority, treat the bare wood, keep product, date, certificate",
        kind="prepare", caution="often licensed work; later coats may undo it: ask",
    )  # fmt: skip
    yield _wet(treat, liquids["fire retardant"], 1, factor) if "fire retardant" in liquids else treat
    for coat in range(1, liquids["primer"].coats + 1):
        for step in (
            WorkStep(title="Seal the edges, prime the back", kind="ground", surface="edges and back"),
            WorkStep(title="Turn the panel, prime the face", kind="ground", surface="face"),
            WorkStep(title="Prime the trim", kind="trim", surface="trim", most_people=1),
        ):
            yield _wet(step, liquids["primer"], coat, factor)
    if settings.surface.back == "painted":
        for coat in range(1, liquids["back"].coats + 1):
            step = WorkStep(title="Paint the back, so that the sheet does not warp", kind="ground",
                            surface="edges and back")  # fmt: skip
            yield _wet(step, liquids["back"], coat, factor)
    for coat in range(1, liquids["white"].coats + 1):
        step = WorkStep(
            title="White ground on the face: even, matt, no shadows", kind="ground", surface="face"
        )
        yield _wet(step, liquids["white"], coat, factor)
    yield WorkStep(title="Draw the sections full size; pencil each can's number, lightly", kind="draw")
    yield from _colours(paints, settings)
    for coat in range(1, liquids["black"].coats + 1):
        step = WorkStep(title="Black joints, lines and edges: last, they hide wobbly borders", kind="black")
        yield _wet(step, liquids["black"], coat, factor)
    if trim_paint is not None:
        yield from _trim(trim_paint, settings)
    if "clear" in liquids:
        step = WorkStep(
            title="Clear coat, tested on a swatch first", kind="ground", surface="face",
            caution="a UV-filter varnish blocks the light that makes the paint glow",
        )  # fmt: skip
        yield _wet(step, liquids["clear"], 1, factor)
    yield WorkStep(
        title="Fix the trim, photograph in both lights, label, file; store leftovers dark", kind="finish",
        caution="two to lift a panel; fix it against tipping",
    )  # fmt: skip


def _colours(paints: Sequence[Paint], settings: Settings) -> Iterator[WorkStep]:
    most = max((paint.coats for paint in paints), default=0)
    for coat in range(1, most + 1):
        for paint in light_to_dark(paints):
            if paint.coats >= coat:
                yield _glowing(WorkStep(title=paint.id, kind="colour"), paint, coat, settings)
        told = f"mark what coat {coat} missed" if coat < most else "touch up what is still missed"
        yield WorkStep(
            title=f"Hall dark, lamps on: {told}", kind="look", caution="do not look into the lamps"
        )


def _trim(paint: Paint | Literal["black", "white"], settings: Settings) -> Iterator[WorkStep]:
    """Yield the coats of the trim boards after their primer: a glowing paint goes on white."""
    factor = settings.days.drying_factor
    name = paint if isinstance(paint, str) else paint.id
    top = WorkStep(title=f"Paint the trim: {name}", kind="trim", surface="trim", most_people=1)
    if isinstance(paint, str):
        liquid = settings.liquids[paint]
        for coat in range(1, liquid.coats + 1):
            yield _wet(top, liquid, coat, factor)
        return
    white = settings.liquids["white"]
    for coat in range(1, white.coats + 1):
        yield _wet(replace(top, title="White ground on the trim"), white, coat, factor)
    for coat in range(1, paint.coats + 1):
        yield _glowing(top, paint, coat, settings)


def _glowing(step: WorkStep, paint: Paint, coat: int, settings: Settings) -> WorkStep:
    days = settings.days
    return replace(
        step, product=paint.id, coat=coat, coats=paint.coats, weather=WET_WEATHER,
        touch_dry_h=days.colour_touch_dry_h * days.drying_factor,
        recoat_h=days.colour_recoat_h * days.drying_factor,
    )  # fmt: skip


def _wet(step: WorkStep, liquid: Liquid, coat: int, factor: float) -> WorkStep:
    return replace(
        step, product=liquid.id, coat=coat, coats=liquid.coats, weather=WET_WEATHER,
        touch_dry_h=liquid.touch_dry_h * factor, recoat_h=liquid.recoat_h * factor,
    )  # fmt: skip
