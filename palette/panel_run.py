"""Several panels side by side, joined to one wall with one shelf of paint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from palette.errors import InputError
from palette.panel import Feature, Member, Panel, Section

if TYPE_CHECKING:
    from shapely import Polygon

__all__ = ["join_panels"]

_LEVEL_MM = 1.0
"""Heights that differ by less are the same: saws are no better."""


def join_panels(panels: Sequence[Panel], *, gap_mm: float = 0.0, where: str = "run") -> Panel:
    """Return the panels as one, from left to right, a gap between each two.

    Sections and features are renamed to ``panel/section``; the panels stay known as `members`.

    Parameters
    ----------
    panels : sequence of Panel
    gap_mm : float
        Between each two, mm.
    where : str
        For messages.

    Returns
    -------
    Panel

    Raises
    ------
    InputError
        There is no panel, two share a name, heights differ, or more than one has a hatch.
    """
    if not panels:
        raise InputError(where, "the run has no panels", "name at least one layout")
    faults = []
    for number, panel in enumerate(panels):
        if any(other.name == panel.name for other in panels[:number]):
            what, mend = f'two panels are named "{panel.name}"', "give each layout its own name"
            faults.append(InputError(where, what, mend))
        if abs(panel.height_mm - panels[0].height_mm) > _LEVEL_MM:
            first = f'"{panels[0].name}" is {panels[0].height_mm:.0f} mm high'
            what = f'{first}, but "{panel.name}" is {panel.height_mm:.0f} mm'
            faults.append(InputError(where, what, "join panels of one height only"))
    hatches = [panel.name for panel in panels if panel.hatch is not None]
    if len(hatches) > 1:
        what = f'"{hatches[0]}" and "{hatches[1]}" both have a hatch'
        faults.append(InputError(where, what, "keep one hatch to a run"))
    InputError.gather(faults)
    sections: list[Section] = []
    features: list[Feature] = []
    members: list[Member] = []
    hatch: Polygon | None = None
    left = 0.0
    for panel in panels:
        named = [
            replace(section, id=f"{panel.name}/{section.id}", outline=_moved(section.outline, left))
            for section in panel.sections
        ]
        features += [
            replace(feature, id=f"{panel.name}/{feature.id}", outline=_moved(feature.outline, left))
            for feature in panel.features
        ]
        members.append(
            Member(
                name=panel.name,
                left_mm=left,
                width_mm=panel.width_mm,
                sections=tuple(section.id for section in named),
            )
        )
        sections += named
        hatch = hatch if panel.hatch is None else _moved(panel.hatch, left)
        left += panel.width_mm + gap_mm
    return Panel(
        name=" + ".join(panel.name for panel in panels),
        width_mm=left - gap_mm,
        height_mm=panels[0].height_mm,
        sections=tuple(sections),
        hatch=hatch,
        features=tuple(features),
        source=where,
        members=tuple(members),
    )


def _moved(outline: Polygon, right_mm: float) -> Polygon:
    from shapely.affinity import translate

    moved: Polygon = translate(outline, xoff=right_mm)
    return moved
