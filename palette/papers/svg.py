"""One page of marks as SVG 1.1, in millimetres."""

from __future__ import annotations

import base64
from xml.etree import ElementTree as Xml

from palette.colour import Array
from palette.papers.marks import Area, Dots, Lines, Mark, Page, Picture, Words
from palette.papers.sheet import MM_PER_PT

__all__ = ["svg_of"]


def svg_of(page: Page, *, title: str) -> str:
    """Return a page as SVG of its true size; text stays text."""
    width, height = page.sheet.width_mm, page.sheet.height_mm
    root = Xml.Element(
        "svg",
        {"xmlns": "http://www.w3.org/2000/svg", "xmlns:xlink": "http://www.w3.org/1999/xlink",
         "width": f"{width:g}mm", "height": f"{height:g}mm", "viewBox": f"0 0 {width:g} {height:g}",
         "font-family": "DejaVu Sans, Verdana, sans-serif"},
    )  # fmt: skip
    Xml.SubElement(root, "title").text = title
    Xml.SubElement(root, "rect", {"width": f"{width:g}", "height": f"{height:g}", "fill": "#ffffff"})
    for mark in page.marks:
        _add(root, mark)
    Xml.indent(root, " ")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + Xml.tostring(root, encoding="unicode") + "\n"


def _add(root: Xml.Element, mark: Mark) -> None:
    if isinstance(mark, Words):
        weight = {"font-weight": "bold"} if mark.bold else {}
        place = {"x": _n(mark.x), "y": _n(mark.y), "font-size": _n(mark.size_pt * MM_PER_PT)}
        look = {"text-anchor": mark.anchor, "fill": mark.fill, **weight}
        Xml.SubElement(root, "text", {**place, **look}).text = mark.text
    elif isinstance(mark, Picture):
        kind = "png" if mark.data.startswith(b"\x89PNG") else "jpeg"
        data = f"data:image/{kind};base64," + base64.b64encode(mark.data).decode()
        place = {"x": _n(mark.x), "y": _n(mark.y), "width": _n(mark.width), "height": _n(mark.height)}
        Xml.SubElement(root, "image", {**place, "xlink:href": data, "preserveAspectRatio": "none"})
    elif isinstance(mark, Dots):
        group = Xml.SubElement(root, "g", {"fill": mark.fill})
        for x, y in mark.points:
            Xml.SubElement(group, "circle", {"cx": _n(x), "cy": _n(y), "r": _n(mark.radius_mm)})
    else:
        _add_paths(root, mark)


def _add_paths(root: Xml.Element, mark: Area | Lines) -> None:
    closed = isinstance(mark, Area)
    paths = mark.rings if isinstance(mark, Area) else mark.paths
    if not paths:
        return
    look = {
        "d": " ".join(_path(points) + ("Z" if closed else "") for points in paths),
        "fill": (mark.fill if isinstance(mark, Area) else None) or "none",
        "fill-rule": "evenodd",
        "stroke": mark.stroke or "none",
        "stroke-width": _n(mark.width_pt * MM_PER_PT),
        "stroke-linejoin": "round",
    }
    if mark.dash_pt:
        look["stroke-dasharray"] = " ".join(_n(length * MM_PER_PT) for length in mark.dash_pt)
    Xml.SubElement(root, "path", look)


def _path(points: Array) -> str:
    return "M" + "L".join(f"{_n(x)},{_n(y)}" for x, y in points)


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
