"""The checks every layout passes, whatever its format, and the panel that comes out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from palette.errors import InputError
from palette.layouts.outlines import Face
from palette.panel import Feature, LabelImage, Panel, Section

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

__all__ = ["EDGE_TOLERANCE_MM", "OVERLAP_WIDTH_MM", "ROLES", "Drawn", "Role", "assemble_panel", "tidy_name"]

Role = Literal["section", "hatch", "trim", "void"]
ROLES: tuple[Role, ...] = ("section", "hatch", "trim", "void")

EDGE_TOLERANCE_MM = 0.5
"""How far an outline may reach beyond the face: what a pencil line or a rounded number makes."""

OVERLAP_WIDTH_MM = 0.5
"""Two sections may cover one another in slivers up to this wide; the later one gives way."""

_LEAST_SLIVER_MM2 = 1e-3  # less is rounding


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
    found = list(faults)
    sections = [shape for shape in drawn if shape.role == "section"]
    hatches = [shape for shape in drawn if shape.role == "hatch"]
    found += _repeated_names(sections, face)
    found += _repeated_names([shape for shape in drawn if shape.role in ("trim", "void")], face)
    found += _outside(drawn, face)
    found += _overlaps(sections, face) if sections else ()
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
        sections=tuple(_fitted(sections, face)),
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


def _overlaps(sections: Sequence[Drawn], face: Face) -> Iterator[InputError]:
    from shapely import STRtree

    outlines = [shape.outline for shape in sections]
    shared: dict[int, dict[int, BaseGeometry]] = {}
    for own, other in zip(*STRtree(outlines).query(outlines, predicate="intersects"), strict=True):
        if own < other:
            common = outlines[own].intersection(outlines[other])
            if not common.buffer(-OVERLAP_WIDTH_MM / 2).is_empty:
                shared.setdefault(int(own), {})[int(other)] = common
                shared.setdefault(int(other), {})[int(own)] = common
    # A shape that lies under many others, such as a backdrop, is told once: not once for each.
    while shared:
        worst = max(shared, key=lambda index: (len(shared[index]), -index))
        others = sorted(shared[worst])
        spot = shared[worst][others[0]].representative_point()
        names = [f'"{sections[other].name}"' for other in others]
        told = names if len(names) <= 3 else [*names[:2], f"{len(names) - 2} more"]
        listed = " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
        yield InputError(
            f'{face.source}, section "{sections[worst].name}"',
            f"it overlaps {listed} {face.place(spot.x, spot.y)}",
            "move them apart, or mark what is no section as trim, void or ignore"
            if face.measured_from == "top"
            else "mend the measures of one of them",
        )
        for other in others:
            del shared[other][worst]
            if not shared[other]:
                del shared[other]
        del shared[worst]


def _fitted(sections: Sequence[Drawn], face: Face) -> Iterator[Section]:
    """Yield sections that keep to the face and overlap nowhere, not even in tolerated slivers."""
    import shapely
    from shapely import STRtree

    whole = shapely.box(0, 0, face.width_mm, face.height_mm)
    outlines = [shape.outline for shape in sections]
    tree = STRtree(outlines)
    for own, shape in enumerate(sections):
        outline: BaseGeometry = shape.outline
        if not whole.covers(outline):
            outline = outline.intersection(whole)
        for other in sorted(int(index) for index in tree.query(shape.outline, predicate="intersects")):
            if other < own and outline.intersection(outlines[other]).area > _LEAST_SLIVER_MM2:
                outline = outline.difference(outlines[other])
        yield Section(id=shape.name, outline=_largest_polygon(outline), depth=shape.depth)


def _largest_polygon(area: BaseGeometry) -> Polygon:
    """Return the largest polygon of what cutting slivers off has left."""
    from shapely import Polygon

    if isinstance(area, Polygon):
        return area
    pieces = [piece for piece in area.geoms if isinstance(piece, Polygon)]
    return max(pieces, key=lambda piece: float(piece.area))
