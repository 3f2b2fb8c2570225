"""A photo's reading and verdict as plain values for JSON and tables."""

from __future__ import annotations

from typing import Any

from palette.formats import FORMATS
from palette.inspection.reading import PhotoReading
from palette.inspection.verdict import PhotoVerdict
from palette.scheme import Scheme

__all__ = ["photo_to_dict", "scheme_of_reading"]


def photo_to_dict(reading: PhotoReading, verdict: PhotoVerdict) -> dict[str, Any]:
    """Return the answer of ``palette photo`` (`photo.schema.json`).

    ``sections`` (id, polygon in photo pixels, paint or null, confidence), ``neighbours``,
    ``clashes``, ``corners`` and ``warnings``; besides, ``possible_clashes`` (hex swatches
    at the screen's limit leave them open), ``near_hues``, ``depth`` and ``hatch``.

    Parameters
    ----------
    reading : PhotoReading
    verdict : PhotoVerdict

    Returns
    -------
    dict
    """
    document: dict[str, Any] = {
        "photo": reading.photo.source,
        "light": reading.light.id,
        "panel_mm": [round(reading.panel.width_mm, 1), round(reading.panel.height_mm, 1)],
        "corners": [[round(float(x), 2), round(float(y), 2)] for x, y in reading.squared.corners],
        "sections": [
            {
                "id": found.id,
                "polygon": [[round(float(x), 2), round(float(y), 2)] for x, y in found.polygon],
                "paint": found.paint,
                "confidence": round(found.confidence, 3),
            }
            for found in reading.findings
        ],
        "neighbours": [
            {"a": c.a, "b": c.b, "border_mm": round(c.border_mm, 1), "gap_mm": round(c.gap_mm, 1)}
            for c in reading.adjacency.neighbours
        ],
        "clashes": [
            {"a": c.a, "b": c.b, "difference": c.difference, "light": c.light} for c in verdict.clashes
        ],
        "possible_clashes": [
            {"a": c.a, "b": c.b, "difference": c.difference, "light": c.light} for c in verdict.possible
        ],
        "near_hues": [
            {"a": n.a, "b": n.b, "hue_angle": n.hue_angle, "light": n.light} for n in verdict.near_hues
        ],
        "depth": [{"sections": list(b.sections), "sentence": b.sentence} for b in verdict.depth],
        "warnings": list(reading.warnings),
    }
    if verdict.hatch is not None:
        document["hatch"] = {
            "shows": verdict.hatch.shows,
            "width_ratio": verdict.hatch.width_ratio,
            "depth_ratio": verdict.hatch.depth_ratio,
            "across": verdict.hatch.across,
        }
    return FORMATS["photo"].stamp(document)


def scheme_of_reading(reading: PhotoReading) -> Scheme | None:
    """Return the scheme the photo shows, or None where a section's paint is not known.

    Parameters
    ----------
    reading : PhotoReading

    Returns
    -------
    Scheme or None
    """
    paint_of = {found.id: found.paint for found in reading.findings}
    if reading.appearance is None or None in paint_of.values():
        return None
    return Scheme(paint_of={section: paint for section, paint in paint_of.items() if paint is not None})
