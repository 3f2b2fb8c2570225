"""What an SVG element says of itself, and what it takes over from the elements around it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.layouts.assembly import ROLES, tidy_name
from palette.layouts.outlines import FillRule
from palette.layouts.svg_shapes import matrix_of_transform
from palette.reading import nearest

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

__all__ = ["KNOWN_ROLES", "Surroundings", "inherit", "own_name", "property_of", "tag_of", "title_of"]

KNOWN_ROLES = (*ROLES, "ignore")


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What an element takes over from those around it.

    `to_mm` is affine, shape (3, 3), from user units to the panel; `viewport` is what percentages
    refer to; `name` is that of a ``use`` that repeats a shape; `level` counts the nesting.
    """

    to_mm: NDArray[np.float64]
    viewport: tuple[float, float]
    role: str = "section"
    depth: float | None = None
    fill_rule: FillRule = "nonzero"
    hidden: bool = False
    name: str | None = None
    level: int = 0


def inherit(element: Element, around: Surroundings, *, where: str) -> Surroundings:
    """Return the surroundings inside an element: its own words over those around it."""
    role = element.get("data-role", around.role).strip()
    if role not in KNOWN_ROLES:
        raise InputError(where, f'its data-role "{role}" is not known', nearest(role, KNOWN_ROLES))
    to_mm = around.to_mm
    transform = property_of(element, "transform")
    if transform not in ("", "none"):
        if around.level == 0:
            # SVG 2, 8.5: on the outermost element CSS turns it about the middle, unlike anywhere else.
            what = "its outermost <svg> element has a transform"
            raise InputError(where, what, "put the shapes in a <g> and give that the transform")
        to_mm = to_mm @ matrix_of_transform(transform, where=where)
    visibility = property_of(element, "visibility")
    rule = property_of(element, "fill-rule")
    return replace(
        around,
        to_mm=to_mm,
        role=role,
        depth=_depth(element, around.depth, where=where),
        fill_rule="evenodd" if rule == "evenodd" else "nonzero" if rule == "nonzero" else around.fill_rule,
        hidden=around.hidden if visibility in ("", "inherit") else visibility != "visible",
        level=around.level + 1,
    )


def _depth(element: Element, around: float | None, *, where: str) -> float | None:
    text = element.get("data-depth")
    if text is None:
        return around
    try:
        depth = float(text)
    except ValueError:
        depth = float("nan")
    if not np.isfinite(depth):
        what = f'its data-depth "{text}" is not a number'
        raise InputError(where, what, "write 0 for the nearest, larger for farther")
    return depth


def property_of(element: Element, name: str) -> str:
    """Return a presentation property: the style attribute wins over the attribute of that name."""
    style = element.get("style", "")
    for declaration in reversed(style.split(";")) if name in style else ():
        key, _, value = declaration.partition(":")
        if key.strip() == name:
            return value.replace("!important", "").strip()
    return element.get(name, "").strip()


def own_name(element: Element) -> str | None:
    """Return an element's name: its title, else its aria-label, else its id."""
    candidates = (
        title_of(element),
        tidy_name(element.get("aria-label", "")),
        tidy_name(element.get("id", "")),
    )
    return next((name for name in candidates if name), None)


def title_of(element: Element) -> str:
    """Return the text of an element's own ``<title>``, or nothing."""
    for child in element:
        if tag_of(child) == "title":
            return tidy_name("".join(child.itertext()))
    return ""


def tag_of(element: Element) -> str:
    """Return an element's name if it is SVG's own, else nothing."""
    namespace, bracket, name = str(element.tag).rpartition("}")
    if bracket and namespace != "{http://www.w3.org/2000/svg":
        return ""
    return name
