"""From schemes to a plan: everything the papers say, still as values."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from palette.errors import InputError
from palette.paint import Paint
from palette.panel import Panel
from palette.plan.areas import Areas, measure_areas
from palette.plan.buying import Purchase, choose_containers
from palette.plan.cautions import Caution, choose_cautions
from palette.plan.lamp_plan import LampPlan, plan_lamps
from palette.plan.order_of_work import Timetable, make_timetable
from palette.plan.quantities import Need, add_up_needs
from palette.plan.settings import LIQUIDS, Settings
from palette.plan.steps import light_to_dark
from palette.progress import OnProgress, Step, silent
from palette.reading import nearest
from palette.scheme import Scheme

__all__ = ["PaintedPanel", "Plan", "make_plan"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PaintedPanel:
    """A panel with its scheme, its areas and what stands beside it.

    `edition` is six characters that change whenever the scheme or an outline does, so that an
    old print is told from a new one. `left` and `right` name the neighbours, seen from the front.
    """

    panel: Panel
    scheme: Scheme
    areas: Areas
    edition: str
    left: str = ""
    right: str = ""

    @property
    def boards(self) -> tuple[str, ...]:
        """The names of its trim boards."""
        return tuple(feature.id for feature in self.panel.features if feature.role == "trim")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plan:
    """A paint job: panels, cans, quantities, timetable, lamps, cautions.

    Parameters
    ----------
    title : str
        The job's name.
    panels : tuple of PaintedPanel
        From left to right.
    paints : tuple of Paint
        All on the shelf, in its order: `can_number` counts them from 1.
    needs : tuple of Need
        How much of each liquid.
    purchases : tuple of Purchase
        What to buy.
    timetable : Timetable
    lamps : LampPlan or None
        None without lamps.
    cautions : tuple of Caution
    remarks : tuple of str
        Sentences about what is short or could not be made.
    settings : Settings
        What the plan file said.
    left_out : tuple of str
        Sentences about what was written and could not be used.
    """

    title: str
    panels: tuple[PaintedPanel, ...]
    paints: tuple[Paint, ...]
    needs: tuple[Need, ...]
    purchases: tuple[Purchase, ...]
    timetable: Timetable
    lamps: LampPlan | None
    cautions: tuple[Caution, ...]
    remarks: tuple[str, ...]
    settings: Settings
    left_out: tuple[str, ...] = ()

    @property
    def can_number(self) -> Mapping[str, int]:
        """The number on each paint's can."""
        return MappingProxyType({paint.id: number for number, paint in enumerate(self.paints, 1)})

    @property
    def used_paints(self) -> tuple[Paint, ...]:
        """The paints some section or trim board has, in the shelf's order."""
        return tuple(
            paint for paint in self.paints if any(self.uses(each, paint.id) for each in self.panels)
        )

    def boards_of(self, each: PaintedPanel, paint: str) -> tuple[str, ...]:
        """Return the trim boards of a panel that get a paint."""
        return each.boards if self.settings.surface.trim_paint == paint else ()

    def uses(self, each: PaintedPanel, paint: str) -> bool:
        """Return whether a panel has a section or a trim board in a paint."""
        return bool(self.boards_of(each, paint)) or paint in each.scheme.paint_of.values()

    def painting_order(self, each: PaintedPanel) -> tuple[Paint, ...]:
        """Return the paints of a panel's sections in the order they are painted: light to dark."""
        used = set(each.scheme.paint_of.values())
        return light_to_dark([paint for paint in self.paints if paint.id in used])

    def need_of(self, product: str) -> Need | None:
        """Return the need of a product, None where nothing of it is used."""
        return next((need for need in self.needs if need.product == product), None)


def make_plan(
    panels: Sequence[tuple[Panel, Scheme]],
    paints: Sequence[Paint],
    settings: Settings | None = None,
    *,
    title: str = "",
    left_out: Sequence[InputError] = (),
    on_progress: OnProgress = silent,
) -> Plan:
    """Return the plan for one panel or a run of them, from left to right.

    Parameters
    ----------
    panels : sequence of (Panel, Scheme)
    paints : sequence of Paint
        All on the shelf.
    settings : Settings, optional
        What the plan file says; the defaults otherwise.
    title : str
        The job's name; the first panel's where it is empty.
    left_out : sequence of InputError
        What a plan file said that could not be used; the plan tells it again.
    on_progress : callable
        Told after each panel.

    Returns
    -------
    Plan

    Raises
    ------
    InputError
        A scheme leaves out a section or names a paint that is not on the shelf, two panels of a
        run have one name, or the trim's paint is unknown.
    """
    settings = settings or Settings()
    _check(panels, paints, settings)
    painted = []
    for place, (panel, scheme) in enumerate(panels):
        on_progress(Step(room="plan", done=place, total=len(panels), note=f"measuring {panel.name}"))
        painted.append(
            PaintedPanel(
                panel=panel,
                scheme=scheme,
                areas=measure_areas(panel, settings.surface),
                edition=_edition(panel, scheme),
                left=panels[place - 1][0].name if place else "",
                right=panels[place + 1][0].name if place + 1 < len(panels) else "",
            )
        )
    needs = add_up_needs([(each.areas, each.scheme) for each in painted], paints, settings)
    purchases = tuple(
        choose_containers(need.product, need.short_l, offers)
        for need in needs
        if need.short_l and (offers := settings.buying.offers(need.product, colour=need.kind == "colour"))
    )
    lamps = plan_lamps(painted[0].panel, settings)
    return Plan(
        title=title or painted[0].panel.name,
        panels=tuple(painted),
        paints=tuple(paints),
        needs=needs,
        purchases=purchases,
        timetable=make_timetable([(p.panel, p.areas, p.scheme) for p in painted], paints, settings),
        lamps=lamps,
        cautions=choose_cautions(
            settings,
            height_mm=max(each.panel.height_mm for each in painted),
            exposures=lamps.exposures if lamps else (),
        ),
        remarks=tuple(_remarks(needs, purchases, lamps, settings)),
        settings=settings,
        left_out=tuple(str(fault) for fault in (*left_out, *_unused_offers(paints, settings))),
    )


def _check(panels: Sequence[tuple[Panel, Scheme]], paints: Sequence[Paint], settings: Settings) -> None:
    shelf = {paint.id for paint in paints}
    faults = []
    if not panels:
        raise InputError("plan", "it has no panel", "name at least one scheme")
    names = [panel.name for panel, _ in panels]
    for name in sorted({name for name in names if names.count(name) > 1}):
        mend = "give each panel of the run its own name"
        faults.append(InputError("plan", f'two panels are called "{name}"', mend))
    for panel, scheme in panels:
        for section in panel.ids:
            paint = scheme.paint_of.get(section)
            if paint is None:
                mend = "assign the panel anew, or add it to paint_of"
                faults.append(InputError(panel.name, f'the scheme gives "{section}" no paint', mend))
            elif paint not in shelf:
                what = f'the scheme gives "{section}" the paint "{paint}", which is not on the shelf'
                faults.append(InputError(panel.name, what, "add it to the paint file or correct the name"))
    trim = settings.surface.trim_paint
    if trim not in shelf | {"black", "white"}:
        mend = "write black, white or the name of a paint on the shelf"
        faults.append(InputError("plan", f'the trim\'s paint "{trim}" is unknown', mend))
    InputError.gather(faults)


def _unused_offers(paints: Sequence[Paint], settings: Settings) -> list[InputError]:
    """Return a fault for every product containers are listed for that nothing here is called by."""
    known = [*LIQUIDS, *(paint.id for paint in paints), "colours"]
    offered = dict.fromkeys(offer.product for offer in settings.buying.containers)
    return [
        InputError("plan, container", f'"{product}" is no paint or liquid here', nearest(product, known))
        for product in offered
        if product not in known
    ]


def _edition(panel: Panel, scheme: Scheme) -> str:
    digest = hashlib.sha256(f"{panel.name}|{panel.width_mm:.1f}|{panel.height_mm:.1f}".encode())
    for section in panel.sections:
        digest.update(f"|{section.id}={scheme.paint_of[section.id]}|".encode())
        digest.update(section.outline.wkb)
    return digest.hexdigest()[:6]


def _remarks(
    needs: Sequence[Need], purchases: Sequence[Purchase], lamps: LampPlan | None, settings: Settings
) -> list[str]:
    found = []
    bought = {purchase.product: purchase for purchase in purchases}
    for need in needs:
        if need.litres is None:
            found.append(
                f"{need.product}: no coverage is known, so its litres stay open; add coverage to it."
            )
        elif need.stock_l is not None and need.short_l:
            found.append(
                f"{need.product}: {need.litres:.2f} L are needed and {need.stock_l:.2f} L are in stock; "
                f"buy {need.short_l:.2f} L more."
            )
        if need.product in bought and bought[need.product].missing_l > 0:
            missing = bought[need.product].missing_l
            found.append(
                f"{need.product}: the containers listed fall {missing:.2f} L short; list more of them."
            )
    if settings.days.start is None:
        found.append("No start date is set, so days are counted and no calendar file is written.")
    if lamps and lamps.placing and not lamps.placing.reached:
        found.append(
            f"{len(lamps.lamps)} lamps reach a mean of {lamps.placing.mean_w_m2 * 100:.0f} µW/cm² and "
            f"an evenness of {lamps.placing.evenness:.2f}, less than wanted; allow more or stronger ones."
        )
    return found
