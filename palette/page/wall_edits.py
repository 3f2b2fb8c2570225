"""Corrections of a wall's sections, whatever it was read from. Plain values: panel in, panel out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import palette
from palette.errors import InputError

if TYPE_CHECKING:
    from shapely import Polygon

__all__ = [
    "Point",
    "add_outline",
    "add_section",
    "cut_section",
    "delete_sections",
    "free_name",
    "join_sections",
    "rename_section",
    "renumber",
    "section_at",
    "set_role",
]

Point = tuple[float, float]
"""Millimetres from the panel's top left corner."""

_LEAST_MM2 = 100.0
"""A square centimetre: nobody paints less."""


def free_name(panel: palette.Panel) -> str:
    """Return a name no section has."""
    taken = set(panel.ids)
    return next(f"section {k}" for k in range(1, 100_000) if f"section {k}" not in taken)


def section_at(panel: palette.Panel, point: Point) -> str | None:
    """Return the section a point lies in."""
    import shapely

    spot = shapely.Point(point)
    return next((section.id for section in panel.sections if section.outline.contains(spot)), None)


def add_section(panel: palette.Panel, corners: Sequence[Point]) -> palette.Panel:
    """Return the panel with the section of these corners; what others have already is left to them.

    Raises
    ------
    InputError
        Fewer than three corners, sides that cross, or nothing left of it.
    """
    import shapely

    if len(corners) < 3:
        raise InputError("The new section", "it has fewer than three corners", "click the next corner")
    outline = shapely.Polygon(corners)
    if not outline.is_valid:
        raise InputError("The new section", "its sides cross", "click the corners in turn round it")
    return add_outline(panel, outline)


def add_outline(panel: palette.Panel, outline: Polygon) -> palette.Panel:
    """Return the panel with one more section, cut to the face and to what is free.

    Raises
    ------
    InputError
        Nothing is left of it.
    """
    import shapely

    face = shapely.box(0, 0, panel.width_mm, panel.height_mm)
    taken = shapely.unary_union([section.outline for section in panel.sections])
    free = _largest(outline.intersection(face).difference(taken))
    if free is None:
        raise InputError("The new section", "other sections cover it already", "delete or cut those first")
    fresh = palette.Section(id=free_name(panel), outline=free)
    return replace(panel, sections=(*panel.sections, fresh), label_image=None)


def delete_sections(panel: palette.Panel, names: Sequence[str]) -> palette.Panel:
    """Return the panel without some sections.

    Raises
    ------
    InputError
        None would be left.
    """
    left = tuple(section for section in panel.sections if section.id not in names)
    if not left:
        raise InputError("The wall", "no section would be left", "keep one at least")
    return replace(panel, sections=left, label_image=None)


def join_sections(panel: palette.Panel, names: Sequence[str]) -> palette.Panel:
    """Return the panel with several sections as one, the gaps between them closed.

    Raises
    ------
    InputError
        Fewer than two, or they lie too far apart to be one.
    """
    import shapely

    chosen = [section for section in panel.sections if section.id in names]
    if len(chosen) < 2:
        raise InputError("Joining", "fewer than two sections are chosen", "choose their neighbours too")
    union = shapely.unary_union([section.outline for section in chosen])
    for reach in (0.5, 2.0, 5.0, 10.0, 20.0, 45.0, 90.0):
        joined = (
            union
            if reach < 1
            else union.buffer(reach, join_style="mitre").buffer(-reach, join_style="mitre")
        )
        others = [section.outline for section in panel.sections if section.id not in names]
        joined = joined.difference(shapely.unary_union(others))
        if joined.geom_type == "Polygon":
            one = replace(chosen[0], outline=joined)
            sections = tuple(one if s is chosen[0] else s for s in panel.sections if s not in chosen[1:])
            return replace(panel, sections=sections, label_image=None)
    raise InputError("Joining", "these sections lie apart", "choose sections that stand side by side")


def cut_section(panel: palette.Panel, name: str, start: Point, end: Point) -> palette.Panel:
    """Return the panel with a section cut in two along the line through two points.

    Raises
    ------
    InputError
        The line does not cross it, or leaves scraps.
    """
    import shapely
    from shapely.ops import split

    section = panel.section(name)
    (x0, y0), (x1, y1) = start, end
    reach = panel.width_mm + panel.height_mm
    length = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-9)
    dx, dy = (x1 - x0) / length * reach, (y1 - y0) / length * reach
    line = shapely.LineString([(x0 - dx, y0 - dy), (x1 + dx, y1 + dy)])
    parts = [part for part in split(section.outline, line).geoms if part.area > _LEAST_MM2]
    if len(parts) < 2:
        what = "the line leaves only one part of it"
        raise InputError(f'Section "{name}"', what, "click two points on opposite sides of it")
    # A hairline between the halves, so that they are neighbours across a gap like any others.
    halves = [part.buffer(-0.5, join_style="mitre") for part in parts]
    cut = replace(section, outline=_largest(halves[0]))
    sections = [cut if s.id == name else s for s in panel.sections]
    panel = replace(panel, sections=tuple(sections), label_image=None)
    for half in halves[1:]:
        panel = add_outline(panel, half)
    return panel


def rename_section(panel: palette.Panel, old: str, new: str) -> palette.Panel:
    """Return the panel with a section called something else.

    Raises
    ------
    InputError
        The name is empty or taken.
    """
    new = " ".join(new.split())[:60]
    if not new:
        raise InputError(f'Section "{old}"', "the new name is empty", "write a name")
    if new != old and new in panel.ids:
        raise InputError(f'Section "{old}"', f'another section is called "{new}"', "write another name")
    sections = tuple(replace(s, id=new) if s.id == old else s for s in panel.sections)
    return replace(panel, sections=sections)


def renumber(panel: palette.Panel) -> tuple[palette.Panel, dict[str, str]]:
    """Return the panel with its nameless sections numbered as they are drawn, and old names to new.

    Nameless are those called by a bare number, as read from a photo, and those just added.
    """
    nameless = {name for name in panel.ids if name.isdecimal() or name.startswith("section ")}
    if not any(name.isdecimal() for name in nameless):
        return panel, {}
    names = {section.id: str(number) for number, section in enumerate(panel.sections, 1)
             if section.id in nameless}  # fmt: skip
    sections = tuple(replace(s, id=names.get(s.id, s.id)) for s in panel.sections)
    return replace(panel, sections=sections), {old: new for old, new in names.items() if old != new}


def set_role(panel: palette.Panel, name: str, role: str) -> palette.Panel:
    """Return the panel with a section turned into trim, an opening, or the hatch's outline.

    A hatch's outline lies over sections, so what it came from stays a section.
    """
    outline = panel.section(name).outline
    if role == "hatch":
        return replace(panel, hatch=outline)
    if role not in ("trim", "void"):
        return panel
    feature = palette.Feature(id=name, role=role, outline=outline)  # type: ignore[arg-type]
    return replace(delete_sections(panel, [name]), features=(*panel.features, feature))


def _largest(shape) -> Polygon | None:  # type: ignore[no-untyped-def]
    """Return the largest part of a shape, None where there is nothing to paint."""
    parts = list(shape.geoms) if hasattr(shape, "geoms") else [shape]
    parts = [part for part in parts if part.geom_type == "Polygon" and part.area > _LEAST_MM2]
    return max(parts, key=lambda part: part.area) if parts else None
