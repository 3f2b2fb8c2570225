"""The checks every layout passes, whatever its format, and the panel that comes out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from palette.errors import InputError
from palette.layouts.outlines import Face
from palette.layouts.overlaps import OVERLAP_WIDTH_MM, fit_sections, overlap_faults
from palette.panel import Feature, LabelImage, Panel

if TYPE_CHECKING:
    from shapely import Polygon

__all__ = ["EDGE_TOLERANCE_MM", "OVERLAP_WIDTH_MM", "ROLES", "Drawn", "Role", "assemble_panel", "tidy_name"]

Role = Literal["section", "hatch", "trim", "void"]
ROLES: tuple[Role, ...] = ("section", "hatch", "trim", "void")

EDGE_TOLERANCE_MM = 0.5
"""How far an outline may reach beyond the face: what a pencil line or a rounded number makes."""

_LEAST_SIDE_MM = 1.0
"""No panel is smaller: a slip of the unit, which would leave no digits to measure with."""

_LONGEST_NAME = 200
"""Letters: longer ones fit neither a paint map nor a line of a list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """One shape as its file has it: name, what it is, and its sound outline in mm."""

    name: str
    role: Role
    outline: Polygon
    depth: float | None = None


def tidy_name(text: str) -> str:
    """Return a name on one line, without marks that cannot be printed."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def assemble_panel(
    drawn: Sequence[Drawn],
    *,
    name: str,
    face: Face,
    faults: Iterable[InputError] = (),
    label_image: LabelImage | None = None,
) -> Panel:
    """Return the panel, or raise every fault of the file together.

    Parameters
    ----------
    drawn : sequence of Drawn
        In drawing order.
    face : Face
        Size, and the file for messages.
    faults : iterable of InputError
        What the reader already found.

    Raises
    ------
    InputError
        A name is used twice, a shape leaves the face, two sections overlap, there are two
        hatches or no section at all.
    """
    # A length in mm that went through a drawing's px differs in its last bits from the same length
    # on a tape; to a millionth the forms of one wall are the same numbers.
    face = replace(face, width_mm=round(face.width_mm, 6), height_mm=round(face.height_mm, 6))
    drawn = [replace(shape, outline=_round_off(shape.outline)) for shape in drawn]
    found = [*faults, *_unusable_sizes(face), *_long_names(drawn, face)]
    sections = [shape for shape in drawn if shape.role == "section"]
    hatches = [shape for shape in drawn if shape.role == "hatch"]
    found += _repeated_names(sections, face)
    found += _repeated_names([shape for shape in drawn if shape.role in ("trim", "void")], face)
    found += _outside(drawn, face)
    found += overlap_faults(sections, face) if sections else ()
    if len(hatches) > 1:
        what = f"it has {len(hatches)} hatches"
        found.append(InputError(face.source, what, "keep one, and make the others trim, void or ignore"))
    if not sections and not found:
        mend = "draw at least one closed shape" if face.measured_from == "top" else "add a [[section]]"
        found.append(InputError(face.source, "the panel has no sections", mend))
    InputError.gather(found)
    return Panel(
        name=name,
        width_mm=face.width_mm,
        height_mm=face.height_mm,
        sections=tuple(fit_sections(sections, face)),
        hatch=hatches[0].outline if hatches else None,
        features=tuple(
            Feature(id=shape.name, role=shape.role, outline=shape.outline)
            for shape in drawn
            if shape.role in ("trim", "void")
        ),
        label_image=label_image,
        source=face.source,
    )


def _round_off(outline: Polygon) -> Polygon:
    import shapely

    rounded = shapely.transform(outline, lambda points: points.round(6))
    return rounded if rounded.is_valid else outline


def _unusable_sizes(face: Face) -> Iterator[InputError]:
    if min(face.width_mm, face.height_mm) < _LEAST_SIDE_MM:
        what = f"the panel is {face.width_mm:g} mm x {face.height_mm:g} mm"
        yield InputError(face.source, what, f"give it sides of {_LEAST_SIDE_MM:g} mm or more")


def _long_names(drawn: Sequence[Drawn], face: Face) -> Iterator[InputError]:
    for shape in drawn:
        if len(shape.name) > _LONGEST_NAME:
            where = f'{face.source}, {shape.role} "{shape.name[:40]}…"'
            what = f"its name has {len(shape.name):,} letters"
            yield InputError(where, what, f"use {_LONGEST_NAME} or fewer")


def _repeated_names(drawn: Sequence[Drawn], face: Face) -> Iterator[InputError]:
    shapes_of: dict[str, list[Drawn]] = {}
    for shape in drawn:
        shapes_of.setdefault(shape.name, []).append(shape)
    for name, shapes in shapes_of.items():
        if len(shapes) > 1:
            spots = [shape.outline.representative_point() for shape in shapes[:2]]
            what = (
                f"{len(shapes)} shapes have this name, one {face.place(spots[0].x, spots[0].y)}"
                f" and one {face.place(spots[1].x, spots[1].y)}"
            )
            where = f'{face.source}, {shapes[0].role} "{name}"'
            yield InputError(where, what, "give each a name of its own")


def _outside(drawn: Sequence[Drawn], face: Face) -> Iterator[InputError]:
    for shape in drawn:
        left, top, right, bottom = shape.outline.bounds
        beyond = {
            "left": -left,
            "right": right - face.width_mm,
            "top": -top,
            "bottom": bottom - face.height_mm,
        }
        edge = max(beyond, key=lambda side: beyond[side])
        if beyond[edge] > EDGE_TOLERANCE_MM:
            yield InputError(
                f'{face.source}, {shape.role} "{shape.name}"',
                f"it reaches {beyond[edge]:.1f} mm beyond the {edge} edge of the panel, which is"
                f" {face.width_mm:.1f} mm x {face.height_mm:.1f} mm",
                "move it, make it smaller, or mend the size of the panel",
            )
