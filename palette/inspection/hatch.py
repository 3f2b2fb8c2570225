"""Does a concealed service hatch give itself away?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour import Array
from palette.inspection.reading import PhotoReading
from palette.tracing.pixels import LINEAR_OF_CODE

__all__ = ["HatchNote", "judge_hatch"]

_PLAINER = 1.3
"""A hatch's outline shows when its dark line is this many times as wide or as deep as the other
gaps' is. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HatchNote:
    """How a hatch's outline compares with the other gaps.

    `width_ratio` and `depth_ratio` are its dark line's width and darkness over those of the other
    gaps, medians; `across` is the part of the outline that runs visibly across sections.
    """

    width_ratio: float
    depth_ratio: float
    across: float

    @property
    def shows(self) -> bool:
        """True when the outline is plainer to see than other gaps."""
        return self.width_ratio > _PLAINER or self.depth_ratio > _PLAINER or self.across > 0.15


def judge_hatch(reading: PhotoReading) -> HatchNote | None:
    """Return how the hatch's outline shows, or None where it, or any gap, cannot be measured."""
    hatch = reading.panel.hatch
    if hatch is None:
        return None
    outline = _profiles(reading, [hatch.exterior])
    # Exits and signs are nobody's to hide; this compares the joints of a hatch, nothing else.
    lines = [part for contact in reading.adjacency.neighbours for part in contact.mid_line.geoms]
    other = _profiles(reading, [line for line in lines if line.distance(hatch.exterior) > 40.0])
    if not len(outline) or not len(other):
        return None
    typical = np.median(other, axis=0)
    seen = outline[outline[:, 1] > 0.3 * typical[1]]
    across = _across_sections(outline)
    if not len(seen):
        return HatchNote(width_ratio=0.0, depth_ratio=0.0, across=0.0)
    ratio = np.median(seen, axis=0) / np.maximum(typical, 1e-6)
    return HatchNote(
        width_ratio=round(float(ratio[0]), 2),
        depth_ratio=round(float(ratio[1]), 2),
        across=round(across, 2),
    )


def _profiles(reading: PhotoReading, lines: list) -> Array:  # type: ignore[type-arg]
    """Return width (px) and depth (natural log) of the dark line at places along lines, shape (N, 3).

    The third column is 1 where the place lies inside a section.
    """
    squared = reading.squared
    light = np.log(LINEAR_OF_CODE[squared.pixels.max(axis=2)] + 0.004)
    height, width = light.shape
    labels = reading.fields.labels
    found = []
    reach = 14
    for line in lines:
        for at in np.arange(0.0, line.length, 25.0):
            point, ahead = line.interpolate(at), line.interpolate(min(at + 5.0, line.length))
            along = np.array([ahead.x - point.x, ahead.y - point.y])
            if not along.any():
                continue
            normal = np.array([along[1], -along[0]]) / np.linalg.norm(along)
            steps = np.arange(-reach, reach + 1)[:, None] * normal
            places = np.floor(np.array([point.x, point.y]) / squared.mm_per_px + steps).astype(int)
            if places.min() < 0 or (places[:, 0] >= width).any() or (places[:, 1] >= height).any():
                continue
            profile = light[places[:, 1], places[:, 0]]
            side = min(np.median(profile[:6]), np.median(profile[-6:]))
            depth = float(side - profile[8:-8].min())
            middle = float(np.count_nonzero(profile < side - 0.5 * depth)) if depth > 0.25 else 0.0
            # One section on both sides: between two, a narrow joint leaves hardly a place bare.
            beneath = labels[places[:, 1], places[:, 0]]
            inside = bool(np.bincount(beneath)[1:].max(initial=0) > 0.8 * len(places))
            found.append((middle, depth, float(inside)))
    return np.array(found).reshape(-1, 3)


def _across_sections(outline: Array) -> float:
    """Return the part of the outline that is a visible dark line inside sections."""
    return float(np.mean((outline[:, 2] > 0) & (outline[:, 1] > 0.35)))
