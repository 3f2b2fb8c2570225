"""A photo named with all that is known about it, and the walk from there to a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from palette.colour import Array
from palette.inspection.reading import PhotoReading, read_panel
from palette.inspection.verdict import PhotoVerdict, judge_reading
from palette.layouts import read_layout
from palette.photos import read_marks, read_photo
from palette.supplies import light_by_name, read_paints

__all__ = ["PhotoRequest", "inspect_photo"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotoRequest:
    """A photo of a painted panel and what is known about it.

    Parameters
    ----------
    photo : Path
    light : str
        The light it was taken under, as `light_by_name` knows it.
    paints : Path or None
        The paint list; without one the sections are grouped by colour.
    corners : ndarray, shape (4, 2), or None
        From the panel's top left clockwise, in pixels of the upright photo; found when None.
    size_mm : (width, height) or None
        The panel's.
    labels : Path or None
        A person's corrections: a label image or marks drawn over the photo.
    layout : Path or None
        The panel as planned.
    depth : bool
        Also judge "darker toward the top".
    """

    photo: Path
    light: str = "daylight"
    paints: Path | None = None
    corners: Array | None = None
    size_mm: tuple[float, float] | None = None
    labels: Path | None = None
    layout: Path | None = None
    depth: bool = False


def inspect_photo(request: PhotoRequest) -> tuple[PhotoReading, PhotoVerdict]:
    """Return what a photo says of a panel, and what is wrong with the panel.

    Parameters
    ----------
    request : PhotoRequest

    Returns
    -------
    PhotoReading, PhotoVerdict

    Raises
    ------
    InputError
        A file cannot be read, or the photo shows no panel that can be made out.
    """
    photo = read_photo(request.photo)
    reading = read_panel(
        photo,
        light_by_name(request.light, where="--light"),
        paints=read_paints(request.paints) if request.paints is not None else (),
        corners=request.corners,
        size_mm=request.size_mm,
        marks=read_marks(request.labels, photo) if request.labels is not None else None,
        layout=read_layout(request.layout) if request.layout is not None else None,
    )
    return reading, judge_reading(reading, darker_upward=request.depth)
