"""The panel with its borders drawn: who touches whom, for how long, how far apart they look."""

from __future__ import annotations

import numpy as np
from shapely.geometry.base import BaseGeometry

from palette.adjacency import Adjacency, Contact
from palette.demands import WeakestPair, weakest_pair
from palette.panel import Panel
from palette.preview.canvas import Canvas, Colour, Preview
from palette.preview.names import place_names
from palette.preview.sheet import INK, PAPER, QUIET, RULE, STONE, lay_sheet
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["draw_neighbours"]

_DOT: Colour = (120, 84, 140)

# From weak to strong: dark red over amber to deep blue, different in lightness as well as in
# hue so that it reads without colour vision; weak borders are also drawn broader.
_RAMP = np.array([(150, 14, 40), (222, 110, 26), (196, 178, 92), (78, 150, 168), (22, 72, 128)], float)
_WEAK, _STRONG = 20.0, 60.0

_LEGEND = 0.09
"""Height of the legend, in panel widths."""


def draw_neighbours(
    panel: Panel,
    adjacency: Adjacency,
    *,
    survey: Survey | None = None,
    scheme: Scheme | None = None,
    width_px: int = 1600,
) -> Preview:
    """Return a map of the borders.

    With a survey and a scheme each border's colour and breadth tell the least CIEDE2000
    between its two paints over all lights, and the weakest is ringed; without them the
    borders are drawn alike.

    Parameters
    ----------
    panel : Panel
    adjacency : Adjacency
    survey : Survey or None
    scheme : Scheme or None
        Complete for the panel.
    width_px : int
        300 to 8192.

    Returns
    -------
    Preview

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    canvas, legend_y = lay_sheet(panel, legend=_LEGEND, width_px=width_px)
    for feature in panel.features:
        canvas.fill(feature.outline, RULE if feature.role == "trim" else QUIET)
    for section in panel.sections:
        canvas.fill(section.outline, STONE)
    place_names(canvas, panel, {section.id: STONE for section in panel.sections})
    thin = panel.width_mm / 220
    strengths = _strengths(adjacency, survey, scheme)
    order = np.argsort(-strengths, kind="stable")  # the weak ones last, on top
    for place in order:
        contact, strength = adjacency.neighbours[place], float(strengths[place])
        breadth = thin * (1.0 + 1.4 * (1.0 - _share(strength)))
        canvas.line(contact.mid_line, _colour(strength), width_mm=breadth)
    for contact in adjacency.corners:
        _dot(canvas, panel, contact, thin)
    if panel.hatch is not None:
        canvas.line(panel.hatch.exterior, INK, width_mm=0.4 * thin, dash_mm=panel.width_mm / 110)
    weakest = weakest_pair(survey, scheme) if survey is not None and scheme is not None else None
    if weakest is not None:
        contact = next(c for c in adjacency.neighbours if (c.a, c.b) == (weakest.a, weakest.b))
        _ring(canvas, contact, thin)
    _legend(canvas, panel, adjacency, weakest, y=legend_y, height=_LEGEND * panel.width_mm)
    return Preview(image=canvas.finish(), mm_per_px=canvas.mm_per_px, light="neighbours")


def _strengths(adjacency: Adjacency, survey: Survey | None, scheme: Scheme | None) -> np.ndarray:
    contacts = adjacency.neighbours
    if survey is None or scheme is None:
        return np.full(len(contacts), _STRONG)
    table = survey.appearance.weakest_differences(survey.appearance.lights)
    row = {paint: k for k, paint in enumerate(survey.appearance.paints)}
    paint_of = scheme.paint_of
    return np.array([table[row[paint_of[c.a]], row[paint_of[c.b]]] for c in contacts])


def _share(strength: float) -> float:
    return float(np.clip((strength - _WEAK) / (_STRONG - _WEAK), 0.0, 1.0))


def _colour(strength: float) -> Colour:
    place = _share(strength) * (len(_RAMP) - 1)
    red, green, blue = (round(np.interp(place, range(len(_RAMP)), _RAMP[:, k])) for k in range(3))
    return red, green, blue


def _middle(contact: Contact) -> BaseGeometry:
    import shapely

    longest = max(shapely.get_parts(contact.mid_line), key=lambda part: part.length)
    return longest.interpolate(0.5, normalized=True)


def _dot(canvas: Canvas, panel: Panel, contact: Contact, thin: float) -> None:
    import shapely

    # A corner has hardly a mid-line; the dot stands halfway between the two.
    between = shapely.shortest_line(panel.section(contact.a).outline, panel.section(contact.b).outline)
    canvas.fill(between.centroid.buffer(1.3 * thin), PAPER)
    canvas.fill(between.centroid.buffer(thin), _DOT)


def _ring(canvas: Canvas, contact: Contact, thin: float) -> None:
    if not contact.mid_line.is_empty:
        around = _middle(contact).buffer(5 * thin)
        canvas.line(around.exterior, INK, width_mm=0.8 * thin)


def _legend(
    canvas: Canvas,
    panel: Panel,
    adjacency: Adjacency,
    weakest: WeakestPair | None,
    *,
    y: float,
    height: float,
) -> None:
    from shapely import LineString, box

    size = 0.019 * panel.width_mm
    middle = y + 0.38 * height
    corners = len(adjacency.corners)
    dots = "1 corner (dot)" if corners == 1 else f"{corners} corners (dots)"
    counted = f"{len(adjacency.neighbours)} borders, {dots}"
    if panel.hatch is not None:
        counted += ", hatch dashed"
    if weakest is None:
        canvas.write(counted, (0.0, middle), INK, height_mm=size, anchor="lm")
        return
    steps, left, width = 60, 0.0, 0.22 * panel.width_mm
    for step in range(steps):
        x = left + width * step / steps
        bar = box(x, middle - 0.5 * size, x + width / steps, middle + 0.5 * size)
        canvas.fill(bar, _colour(_WEAK + (_STRONG - _WEAK) * (step + 0.5) / steps))
    words = f"look alike ({_WEAK:.0f})  to  far apart ({_STRONG:.0f}), CIEDE2000"
    canvas.write(words, (left + width + size, middle), INK, height_mm=size, anchor="lm")
    told = (
        f"{counted}.  Weakest (ringed): {weakest.a} | {weakest.b}, "
        f"{weakest.difference:.1f} under {weakest.light}."
    )
    canvas.write(told, (0.0, middle + 1.7 * size), INK, height_mm=size, anchor="lm")
    canvas.line(
        LineString([(0, y + 0.02 * height), (panel.width_mm, y + 0.02 * height)]),
        QUIET,
        width_mm=panel.width_mm / 900,
    )
