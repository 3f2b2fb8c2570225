"""SVG 2 drawings: every closed shape is a section, unless it says otherwise.

- The name of a shape is its ``<title>``, else its ``aria-label``, else its ``id``.
- ``data-role`` on a shape or a group around it: ``section`` (as if not written), ``hatch``,
  ``trim``, ``void`` or ``ignore``.
- ``data-depth``: a number, 0 nearest.
- ``data-layout-version`` of the whole drawing: the version of these words, 1 where it is left out.
- The panel is as large as the drawing's ``width`` and ``height``.

Text, pictures, gradients, clip paths and everything under ``defs`` draw no sections; nor does
what is hidden by ``display`` or ``visibility``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from palette.errors import InputError
from palette.formats import DRAWING
from palette.layouts.assembly import ROLES, Drawn, Role, assemble_panel, tidy_name
from palette.layouts.budget import Budget, TooLarge
from palette.layouts.outlines import Face, join_rings
from palette.layouts.svg_elements import Surroundings, inherit, own_name, property_of, tag_of, title_of
from palette.layouts.svg_frame import frame_of_drawing, inner_viewport
from palette.layouts.svg_shapes import SHAPES, count_numbers, pixels_of_length, rings_of_shape
from palette.markup import parse_xml
from palette.panel import Panel
from palette.reading import MAX_TEXT_BYTES, read_bytes

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

__all__ = ["SUFFIXES", "read"]

SUFFIXES = (".svg",)

_CONTAINERS = ("g", "a", "svg", "switch")
_DEEPEST = 100


@dataclass(slots=True, kw_only=True)
class _Walk:
    """One walk through a document: what it has found so far."""

    face: Face
    targets: dict[str, Element]
    budget: Budget
    drawn: list[Drawn] = field(default_factory=list)
    faults: list[InputError] = field(default_factory=list)
    met: dict[str, int] = field(default_factory=dict)
    names: dict[Element, str | None] = field(default_factory=dict)

    def number(self, role: str) -> int:
        """Return the number of the next shape of a role, sound or not: what a nameless one is called by."""
        self.met[role] = self.met.get(role, 0) + 1
        return self.met[role]

    def spend_attributes(self, element: Element) -> None:
        """Count what an element says of itself, which is read anew for each repeat."""
        self.budget.spend("letters in its attributes", sum(len(value) for value in element.attrib.values()))
        self.budget.spend("transforms", property_of(element, "transform").count("("))

    def name_of(self, element: Element) -> str | None:
        """Return the own name of an element, looked for once however often it is repeated."""
        if element not in self.names:
            self.names[element] = own_name(element)
        return self.names[element]


def read(path: Path, *, size_mm: tuple[float, float] | None = None) -> Panel:
    """Read an SVG drawing.

    Raises
    ------
    InputError
        The file is not sound XML or no SVG, has no size, or a check of `assemble_panel` fails.
    """
    root = _parse(path)
    said = root.get("data-layout-version", "1").strip()
    version = int(said) if re.fullmatch("[0-9]{1,9}", said) else said
    DRAWING.known_version(version, where=f"{path}, data-layout-version")
    frame = frame_of_drawing(root, size_mm=size_mm, source=str(path))
    face = Face(width_mm=frame.width_mm, height_mm=frame.height_mm, source=str(path))
    targets = {key: element for element in root.iter() if (key := element.get("id"))}
    walk = _Walk(face=face, targets=targets, budget=Budget(str(path)))
    around = Surroundings(to_mm=frame.to_mm, viewport=frame.viewport)
    try:
        around = inherit(root, around, where=str(path))
    except InputError as fault:
        walk.faults.append(fault)
    if around.role != "ignore":
        # Numbers beyond all measure are found, and told, shape by shape.
        with np.errstate(all="ignore"):
            _walk_children(root, around, walk)
    name = title_of(root) or tidy_name(root.get("aria-label", "")) or path.stem
    return assemble_panel(walk.drawn, name=name, face=face, faults=walk.faults)


def _parse(path: Path) -> Element:
    root = parse_xml(read_bytes(path, most=MAX_TEXT_BYTES), where=str(path))
    if tag_of(root) != "svg":
        raise InputError(str(path), "it is XML, but not an SVG drawing", "save it as SVG")
    return root


def _walk_children(parent: Element, around: Surroundings, walk: _Walk) -> None:
    for element in parent:
        walk.budget.spend("elements")
        if around.level > _DEEPEST:
            what = f"it nests elements deeper than {_DEEPEST}"
            raise TooLarge(walk.face.source, what, "simplify the drawing")
        tag = tag_of(element)
        if tag in _CONTAINERS or tag in SHAPES or tag == "use":
            _visit(element, tag, around, walk)


def _visit(element: Element, tag: str, around: Surroundings, walk: _Walk) -> None:
    walk.spend_attributes(element)
    called = walk.name_of(element) or around.name
    where = (
        f'{walk.face.source}, {tag} "{called}"' if called else f"{walk.face.source}, a {tag} without a name"
    )
    try:
        inner = inherit(element, around, where=where)
        if inner.role == "ignore" or property_of(element, "display") == "none":
            return
        if tag in SHAPES:
            _draw(element, tag, inner, called, walk)
        elif tag == "use":
            _follow(element, replace(inner, name=called), walk, where=where)
        else:
            if tag == "svg":
                move, viewport = inner_viewport(element, inner.viewport, where=where)
                inner = replace(inner, to_mm=inner.to_mm @ move, viewport=viewport)
            _walk_children(element, replace(inner, name=None), walk)
    except TooLarge:
        raise
    except InputError as fault:
        walk.faults.append(fault)


def _draw(element: Element, tag: str, inner: Surroundings, name: str | None, walk: _Walk) -> None:
    if inner.hidden:
        return
    walk.budget.spend("shapes")
    walk.budget.spend("numbers in its outlines", count_numbers(tag, element.attrib))
    role: Role = next(known for known in ROLES if known == inner.role)
    number = walk.number(role)
    name = name or f"{role} {number}"
    where = f'{walk.face.source}, {role} "{name}"'
    rings = rings_of_shape(tag, element.attrib, inner.to_mm, inner.viewport, where=where)
    walk.budget.spend("holes", max(len(rings) - 1, 0))
    walk.budget.spend("corners", sum(map(len, rings)))
    outline = join_rings(rings, inner.fill_rule, where=where, face=walk.face)
    walk.drawn.append(Drawn(name=name, role=role, outline=outline, depth=inner.depth))


def _follow(element: Element, inner: Surroundings, walk: _Walk, *, where: str) -> None:
    """Draw what a ``use`` repeats (SVG 2, 5.6): the same shape again, moved by its x and y."""
    link = element.get("href", element.get("{http://www.w3.org/1999/xlink}href", "")).strip()
    target = walk.targets.get(link.removeprefix("#")) if link.startswith("#") else None
    if target is None or tag_of(target) not in ("g", "a", *SHAPES, "use"):
        what = f'it repeats "{link}", which is no shape or group of this drawing'
        raise InputError(where, what, "draw the shape itself")
    if inner.level > _DEEPEST:
        raise InputError(where, "it repeats itself without end", "draw the shape itself")
    move = np.eye(3)
    for row, (name, of) in enumerate(zip(("x", "y"), inner.viewport, strict=True)):
        move[row, 2] = pixels_of_length(element.get(name, "0"), of=of, where=f"{where}, {name}")
    walk.budget.spend("elements")
    repeated = replace(inner, to_mm=inner.to_mm @ move)
    _visit_repeated(target, repeated, walk)


def _visit_repeated(target: Element, inner: Surroundings, walk: _Walk) -> None:
    tag = tag_of(target)
    if tag in SHAPES and inner.name:
        # The copy's own name wins: otherwise every copy would be called like its original.
        walk.spend_attributes(target)
        at = inherit(target, inner, where=f'{walk.face.source}, {tag} "{inner.name}"')
        if at.role != "ignore" and property_of(target, "display") != "none":
            _draw(target, tag, at, inner.name, walk)
        return
    _visit(target, tag, inner, walk)
