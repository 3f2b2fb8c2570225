"""A layout, or a person's marks, laid over a squared photo."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.errors import InputError
from palette.panel import Panel
from palette.photos import Marks
from palette.tracing import Correction, Fields, Photo, SquaredPhoto, apply_homography, snap_to_layout

__all__ = ["lay_over", "merge_names", "place_marks"]


def lay_over(
    fields: Fields, squared: SquaredPhoto, layout: Panel, warnings: list[str]
) -> tuple[Fields, tuple[str, ...]]:
    scale = np.array([squared.width_mm / layout.width_mm, squared.height_mm / layout.height_mm])
    if not 0.95 < scale[0] / scale[1] < 1.05:
        what = (
            f"the layout is {layout.width_mm:.0f} mm x {layout.height_mm:.0f} mm, "
            f"the photo's panel {squared.width_mm:.0f} mm x {squared.height_mm:.0f} mm"
        )
        raise InputError(layout.source, what, "give the layout of this panel, or correct --size")
    masks = [
        _raster(np.asarray(section.outline.exterior.coords, float) * scale / squared.mm_per_px, squared)
        for section in layout.sections
    ]
    snapped = snap_to_layout(fields, masks, layout.ids)
    if snapped.missed:
        told = ", ".join(snapped.missed)
        warnings.append(f"Not found in the photo and taken as drawn in the layout: {told}.")
    if snapped.unknown:
        warnings.append(f"The photo shows {snapped.unknown} field(s) that the layout does not have.")
    return snapped.fields, snapped.names


def _raster(points_px: Array, squared: SquaredPhoto) -> NDArray[np.bool_]:
    """Return the mask of a polygon given in squared pixels, corners at whole numbers."""
    import cv2

    mask = np.zeros(squared.pixels.shape[:2], np.uint8)
    cv2.fillPoly(mask, [np.round((points_px - 0.5) * 16).astype(np.int32)], 1, cv2.LINE_8, 4)
    return mask > 0


def place_marks(marks: Marks, squared: SquaredPhoto, photo: Photo) -> list[Correction]:
    """Return marks as masks and clicks on the squared photo."""
    to_panel: Array = np.asarray(np.linalg.inv(squared.to_photo), np.float64)
    found: list[Correction] = []
    for mark in marks.shapes:
        placed = apply_homography(to_panel, mark.points) / squared.mm_per_px
        if len(placed) == 1:
            column, row = np.floor(placed[0]).astype(int)
            found.append(Correction(name=mark.name, where=mark.where, place=(int(row), int(column))))
        else:
            found.append(Correction(name=mark.name, where=mark.where, mask=_raster(placed, squared)))
    if marks.labels is not None:
        rows, columns = np.indices(squared.pixels.shape[:2])
        grid = np.column_stack([columns.ravel() + 0.5, rows.ravel() + 0.5])
        centres: Array = grid * squared.mm_per_px
        x, y = np.floor(apply_homography(squared.to_photo, centres)).astype(int).T
        inside = (x >= 0) & (y >= 0) & (x < photo.width_px) & (y < photo.height_px)
        flat = np.zeros(len(x), np.int32)
        flat[inside] = marks.labels[y[inside], x[inside]]
        labels = flat.reshape(squared.pixels.shape[:2])
        for number, name in enumerate(marks.label_names, 1):
            where = f"label image, value {name}"
            own = "" if name.startswith("#") else name
            found.append(Correction(name=own, where=where, mask=labels == number))
    return found


def merge_names(before: list[str], after: tuple[str, ...], layout: Panel | None) -> tuple[str, ...]:
    """Return names after corrections; a layout's names stay with the sections that stay."""
    if layout is None:
        return after
    kept = iter(before)
    return tuple(name or next(kept, "") for name in after)
