"""A panel as the text of an ordinary panel file, so that what came from a picture can be edited."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from palette.formats import DRAWING, FORMATS
from palette.panel import Panel

if TYPE_CHECKING:
    from shapely import LinearRing, Polygon

__all__ = ["panel_to_svg", "panel_to_tape"]


def panel_to_svg(panel: Panel) -> str:
    """Return the panel as an SVG drawing in millimetres, which `read_layout` reads back.

    Parameters
    ----------
    panel : Panel

    Returns
    -------
    str
    """
    width, height = _number(panel.width_mm), _number(panel.height_mm)
    root = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{width}mm",
            "height": f"{height}mm",
            "viewBox": f"0 0 {width} {height}",
            "fill": "none",
            "stroke": "black",
            "stroke-width": "2",
            "data-layout-version": str(DRAWING.version),
        },
    )
    SubElement(root, "title").text = panel.name
    for role, name, outline, depth in _shapes(panel):
        attributes = {"d": _path_data(outline), "fill-rule": "evenodd"}
        if role != "section":
            attributes["data-role"] = role
        if depth is not None:
            attributes["data-depth"] = _number(depth)
        SubElement(SubElement(root, "path", attributes), "title").text = name
    indent(root)
    return tostring(root, encoding="unicode") + "\n"


def panel_to_tape(panel: Panel) -> str:
    """Return the panel as a tape-measure layout in millimetres, which `read_layout` reads back.

    Parameters
    ----------
    panel : Panel

    Returns
    -------
    str
    """
    size = f"{_number(panel.width_mm)} mm x {_number(panel.height_mm)} mm"
    lines = [f"version = {FORMATS['wall'].version}"]
    lines += [f"name = {_quoted(panel.name)}", f"size = {_quoted(size)}"]
    for role, name, outline, depth in _shapes(panel):
        lines += ["", f"[{role}]" if role == "hatch" else f"[[{role}]]", f"name = {_quoted(name)}"]
        if depth is not None:
            lines.append(f"depth = {_number(depth)}")
        lines.append(f"corners = {_corners(outline.exterior, panel.height_mm)}")
        if outline.interiors:
            holes = ", ".join(_corners(ring, panel.height_mm) for ring in outline.interiors)
            lines.append(f"holes = [{holes}]")
    return "\n".join(lines) + "\n"


def _shapes(panel: Panel) -> Iterator[tuple[str, str, Polygon, float | None]]:
    for section in panel.sections:
        yield "section", section.id, section.outline, section.depth
    for feature in panel.features:
        yield feature.role, feature.id, feature.outline, None
    if panel.hatch is not None:
        yield "hatch", "hatch", panel.hatch, None


def _path_data(outline: Polygon) -> str:
    rings = []
    for ring in (outline.exterior, *outline.interiors):
        points = " ".join(f"{_number(x)},{_number(y)}" for x, y in list(ring.coords)[:-1])
        rings.append(f"M{points}Z")
    return " ".join(rings)


def _corners(ring: LinearRing, height_mm: float) -> str:
    pairs = (f'["{_number(x)} mm", "{_number(height_mm - y)} mm"]' for x, y in list(ring.coords)[:-1])
    return f"[{', '.join(pairs)}]"


def _number(value: float) -> str:
    """Return a number to a millionth, without needless digits: far below what a tape can show."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _quoted(text: str) -> str:
    """Return a TOML basic string; JSON's escapes are all TOML's as well (TOML 1.0, String)."""
    return json.dumps(text, ensure_ascii=False)
