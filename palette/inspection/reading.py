"""From a photo to a panel: sections, neighbours and paints, with what is in doubt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette.adjacency import Adjacency, find_neighbours
from palette.appearance import Appearance, appearance_of
from palette.colour import Array, linear_srgb_of_xyz
from palette.errors import InputError
from palette.inspection.overlaying import lay_over, merge_names, place_marks
from palette.layouts.pixel_outlines import trace_outlines
from palette.light import Light
from palette.paint import Paint
from palette.panel import Panel, Section
from palette.photos import Marks
from palette.tracing import (
    Fields,
    Photo,
    Recognised,
    SquaredPhoto,
    apply_homography,
    correct_fields,
    find_corners,
    find_fields,
    group_sections,
    keep_whole,
    recognise_paints,
    square_photo,
)

__all__ = ["SHOOT_AGAIN", "Finding", "PhotoReading", "read_panel"]

SHOOT_AGAIN = (
    "shoot again: square on, the whole panel in the picture, exposure locked on its brightest section, "
    "a gray card in a corner"
)

_DOUBTFUL = 0.45
"""Confidence below which a name is mentioned as doubtful."""

_POOR = 5.0
"""Mean difference, as naming counts it, from which the list's other light is tried. Photos under
the right light lie between 0.5 and 4, under the wrong one between 6 and 11."""

_UNLIKE = 22.0
"""Mean difference above which a list does not describe the photo at all."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Finding:
    """One section as read.

    Parameters
    ----------
    id : str
        The section.
    polygon : ndarray, shape (N, 2)
        Its outline in pixels of the upright photo.
    paint : str or None
        None for none of the list.
    second : str or None
        The name that fits next best.
    confidence : float
        A share, 0 to 1, that the name is right.
    linear : ndarray, shape (3,)
        Linear sRGB in even light, as the camera gave it.
    clipped : bool
        True where a channel is burnt out.
    spread : float
        Scatter of its colour, as a share of it.
    """

    id: str
    polygon: Array
    paint: str | None
    second: str | None
    confidence: float
    linear: Array
    clipped: bool
    spread: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotoReading:
    """What one photo says of a panel.

    Parameters
    ----------
    photo : Photo
    squared : SquaredPhoto
        The panel seen square on.
    fields : Fields
        The sections found on it.
    light : Light
        The light the photo was taken under.
    findings : tuple of Finding
        One for each section.
    panel : Panel
        As from any layout, mm.
    adjacency : Adjacency
    appearance : Appearance or None
        The paint list's table for every light it has; None where no list was given.
    recognised : Recognised
        Names, and the light they were told by.
    warnings : tuple of str
        Sentences.
    """

    photo: Photo
    squared: SquaredPhoto
    fields: Fields
    light: Light
    findings: tuple[Finding, ...]
    panel: Panel
    adjacency: Adjacency
    appearance: Appearance | None
    recognised: Recognised
    warnings: tuple[str, ...]

    def finding(self, section: str) -> Finding:
        """Return one section's finding by its id, or raise KeyError."""
        for found in self.findings:
            if found.id == section:
                return found
        raise KeyError(section)


def read_panel(
    photo: Photo,
    light: Light,
    *,
    paints: Sequence[Paint] = (),
    corners: Array | None = None,
    size_mm: tuple[float, float] | None = None,
    marks: Marks | None = None,
    layout: Panel | None = None,
) -> PhotoReading:
    """Return what a photo says of a panel.

    Parameters
    ----------
    photo : Photo
    light : Light
        The light it was taken under.
    paints : sequence of Paint
        The paint list; without one the sections are grouped into as many paints as there seem
        to be, called "paint A", "paint B" and so on.
    corners : ndarray, shape (4, 2), or None
        From the panel's top left clockwise, in pixels of the upright photo; found when None.
    size_mm : (width, height) or None
        The panel's; a layout's size when None, else assumed, with a warning.
    marks : Marks or None
        A person's corrections.
    layout : Panel or None
        The panel as planned: its sections are sought and keep their names.

    Returns
    -------
    PhotoReading

    Raises
    ------
    InputError
        The photo cannot be read: no panel, no gaps, burnt out, or a paint list that does not fit.
    """
    warnings: list[str] = []
    if size_mm is None and layout is not None:
        size_mm = (layout.width_mm, layout.height_mm)
    if corners is None:
        guess = find_corners(photo, size_mm=size_mm)
        corners = guess.corners
        at = " ".join(f"{x:.0f},{y:.0f}" for x, y in corners)
        if guess.sure:
            warnings.append(f"The panel's corners were found by themselves: {at}.")
        else:
            warnings.append(f"The panel's corners are not sure, because {guess.doubt}: {at}; check them.")
    squared = square_photo(photo, corners, size_mm=size_mm, where="--corners")
    _refuse_burnt(squared, photo)
    if not squared.size_known:
        sides = f"{squared.width_mm:.0f} mm x {squared.height_mm:.0f} mm"
        warnings.append(f"The panel's size was not given; lengths assume {sides}.")
    fields = find_fields(squared.pixels)
    names: tuple[str, ...] = ("",) * int(fields.labels.max(initial=0))
    if layout is not None:
        fields, names = lay_over(fields, squared, layout, warnings)
    if marks is not None:
        corrections = place_marks(marks, squared, photo)
        named = list(names)
        fields, own = correct_fields(squared.pixels, fields, corrections)
        names = merge_names(named, own, layout)
    whole, kept = keep_whole(fields.labels)
    fields = replace(fields, labels=whole)
    names = tuple(names[number - 1] for number in kept)
    _refuse_gapless(fields, photo)
    ids = _ids(names)
    recognised, appearance, listed_names = _recognise(squared, fields, light, paints, photo)
    outlines = trace_outlines(fields.labels, squared.mm_per_px)
    panel = Panel(
        name=photo.source.rsplit(".", 1)[0] if layout is None else layout.name,
        width_mm=squared.width_mm,
        height_mm=squared.height_mm,
        sections=tuple(Section(id=i, outline=o) for i, o in zip(ids, outlines, strict=True)),
        hatch=layout.hatch if layout is not None else None,
        source=photo.source,
    )
    findings = tuple(_findings(panel, squared, recognised, listed_names))
    warnings += _doubts(findings, recognised, light, bool(paints))
    return PhotoReading(
        photo=photo,
        squared=squared,
        fields=fields,
        light=light,
        findings=findings,
        panel=panel,
        adjacency=find_neighbours(panel),
        appearance=appearance,
        recognised=recognised,
        warnings=tuple(warnings),
    )


def _refuse_burnt(squared: SquaredPhoto, photo: Photo) -> None:
    if np.mean(squared.pixels.min(axis=2) > 250) > 0.5:
        raise InputError(photo.source, "the panel is blown out: most of it is pure white", SHOOT_AGAIN)
    if np.percentile(squared.pixels.max(axis=2), 98) < 20:
        raise InputError(photo.source, "the panel is black: nothing on it can be read", SHOOT_AGAIN)


def _refuse_gapless(fields: Fields, photo: Photo) -> None:
    count = int(fields.labels.max(initial=0))
    if count == 0 or (count == 1 and np.mean(fields.labels > 0) > 0.9):
        what = "no gaps are visible between painted sections"
        mend = f"check the corners, or mark the sections with --labels, or {SHOOT_AGAIN}"
        raise InputError(photo.source, what, mend)


def _ids(names: Sequence[str]) -> list[str]:
    """Return an id for every section: its name, or the next free number in reading order."""
    used = {name for name in names if name}
    ids: list[str] = []
    number = 0
    for name in names:
        own = name
        if not own or own in ids:
            number += 1
            while str(number) in used:
                number += 1
            own = str(number)
        ids.append(own)
    return ids


def _recognise(
    squared: SquaredPhoto, fields: Fields, light: Light, paints: Sequence[Paint], photo: Photo
) -> tuple[Recognised, Appearance | None, tuple[str, ...]]:
    if not paints:
        grouped = group_sections(squared.pixels, fields, light.kind)
        groups = int(grouped.naming.paint.max(initial=-1)) + 1
        return grouped, None, tuple(f"paint {_letters(k)}" for k in range(groups))
    appearance = appearance_of(paints, _lights_of(paints, light))
    listed = listed_colours(appearance, light)
    recognised = recognise_paints(squared.pixels, fields, listed, light.kind)
    _refuse_other_light(squared, fields, light, paints, recognised, photo)
    return recognised, appearance, appearance.paints


def _letters(number: int) -> str:
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _lights_of(paints: Sequence[Paint], light: Light) -> list[Light]:
    """Return the photo's light, and the other plain one where every paint has a look for it."""
    from palette.light import BLACKLIGHT, DAYLIGHT

    lights = [light]
    for other in (DAYLIGHT, BLACKLIGHT):
        if other.kind == light.kind:
            continue
        try:
            appearance_of(paints, [other])
        except InputError:
            continue
        lights.append(other)
    return lights


def listed_colours(appearance: Appearance, light: Light) -> Array:
    """Return linear sRGB of the listed paints under a light, shape (P, 3), white at 1."""
    column = appearance.light_index(light.id)
    white = float(appearance.white_xyz[column, 1])
    linear = linear_srgb_of_xyz(appearance.xyz[:, column] / (white or 1.0))
    if light.kind == "blacklight" and linear.max() > 0 and light.spectrum is not None:
        # Under lamps there is no white to be relative to; the brightest channel stands for it.
        linear = linear / linear.max()
    return linear


def _refuse_other_light(
    squared: SquaredPhoto,
    fields: Fields,
    light: Light,
    paints: Sequence[Paint],
    recognised: Recognised,
    photo: Photo,
) -> None:
    """Raise InputError where the list's colours for the other light fit and those for this do not."""
    nearest = _misfit(recognised)
    if nearest < _POOR:
        return
    for other in _lights_of(paints, light)[1:]:
        table = appearance_of(paints, [other])
        trial = recognise_paints(squared.pixels, fields, listed_colours(table, other), other.kind)
        if _misfit(trial) < 0.6 * nearest:
            what = f"its colours are not those of the paint list under {light.id}, but fit {other.id}"
            raise InputError(photo.source, what, f"say --light {other.id}, or give the right paint list")
    if nearest > _UNLIKE:
        what = f"its colours are not those of the paint list under {light.id}"
        mend = "give the list of the paints on this panel, or leave --paints out"
        raise InputError(photo.source, what, mend)


def _misfit(recognised: Recognised) -> float:
    """Return the mean difference of sections from the nearest paint of the list."""
    return float(np.mean(recognised.naming.distance.min(axis=1)))


def _findings(
    panel: Panel, squared: SquaredPhoto, recognised: Recognised, names: tuple[str, ...]
) -> list[Finding]:
    naming, colours = recognised.naming, recognised.colours
    found = []
    for k, section in enumerate(panel.sections):
        order = np.argsort(naming.distance[k], kind="stable")
        outline = np.asarray(section.outline.exterior.coords)[:-1]
        found.append(
            Finding(
                id=section.id,
                polygon=apply_homography(squared.to_photo, outline),
                paint=names[naming.paint[k]] if naming.paint[k] >= 0 else None,
                second=names[order[1]] if len(order) > 1 else None,
                confidence=float(naming.confidence[k]),
                linear=colours.seen[k] / colours.light[k],
                clipped=bool(colours.clipped[k]),
                spread=float(recognised.spread[k]),
            )
        )
    return found


def _doubts(findings: Sequence[Finding], recognised: Recognised, light: Light, listed: bool) -> list[str]:
    doubts = []
    burnt = [f.id for f in findings if f.clipped]
    if light.kind == "blacklight" and burnt:
        doubts.append(
            f"The camera is saturated by section {_list(burnt)}; a saturated channel shifts the hue, so "
            "shoot again one or two stops darker to be sure of the paint."
        )
    if recognised.colours.unevenness > (5.0 if light.kind == "blacklight" else 2.6):
        ratio = recognised.colours.unevenness
        doubts.append(
            f"The light is very uneven, {ratio:.1f} to 1; colours in its dim parts are less sure."
        )
    if listed:
        for found in findings:
            if found.paint is None:
                doubts.append(f"Section {found.id} is none of the listed paints.")
            elif found.confidence < _DOUBTFUL and found.second is not None:
                doubts.append(f"Section {found.id} could be {found.paint} or {found.second}.")
    return doubts


def _list(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
