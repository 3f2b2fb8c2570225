"""Scores of a reading against a rendered scene's truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scenes
from scipy.optimize import linear_sum_assignment
from shapely import Polygon

import palette
from palette.light import BLACKLIGHT, DAYLIGHT
from palette.paint import Paint
from palette.tracing.photo import Photo

XYZ_OF_LINEAR = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


@dataclass(frozen=True, kw_only=True)
class Score:
    true: int
    found: int
    matched: int
    named: int
    pairs_true: int
    pairs_found: int
    pairs_right: int

    def __add__(self, other: Score) -> Score:
        return Score(**{key: getattr(self, key) + getattr(other, key) for key in self.__dataclass_fields__})

    @property
    def recall(self) -> float:
        return self.matched / self.true

    @property
    def precision(self) -> float:
        return self.matched / max(self.found, 1)

    @property
    def naming(self) -> float:
        return self.named / max(self.matched, 1)

    @property
    def f1(self) -> float:
        return 2 * self.pairs_right / max(self.pairs_true + self.pairs_found, 1)


def photo_of(pixels: np.ndarray) -> Photo:
    return Photo(pixels=pixels, width_px=pixels.shape[1], height_px=pixels.shape[0], source="wall.jpg")


def paints_of(table: dict) -> tuple[Paint, ...]:
    return tuple(
        Paint(
            id=name,
            swatch={
                "daylight": XYZ_OF_LINEAR @ np.array(day), "blacklight": XYZ_OF_LINEAR @ np.array(night)
            },
        )
        for name, (day, night) in table.items()
    )  # fmt: skip


def read_scene(scene: scenes.Scene, **options: object) -> palette.PhotoReading:
    return palette.read_panel(
        photo_of(scene.photo),
        DAYLIGHT if scene.light == "daylight" else BLACKLIGHT,
        paints=paints_of(scenes.PAINTS),
        **{"corners": scene.corners, "size_mm": scene.size_mm, **options},
    )


def score_scene(scene: scenes.Scene, reading: palette.PhotoReading) -> Score:
    truth = [Polygon(outline) for outline in scene.outlines_px]
    found = [Polygon(section.polygon).buffer(0) for section in reading.findings]
    overlap = np.array([[f.intersection(t).area / f.union(t).area for t in truth] for f in found])
    rows, columns = linear_sum_assignment(-overlap)
    match = {int(r): int(c) for r, c in zip(rows, columns, strict=True) if overlap[r, c] >= 0.6}
    named = sum(reading.findings[r].paint == scene.paints[c] for r, c in match.items())
    number = {section.id: k for k, section in enumerate(reading.findings)}
    ignored = reported = right = 0
    for contact in reading.adjacency.neighbours:
        ends = [match.get(number[k]) for k in (contact.a, contact.b)]
        pair = tuple(sorted(ends)) if None not in ends else None
        if pair in scene.borderline:
            ignored += 1
            continue
        reported += 1
        right += pair in scene.neighbours
    return Score(
        true=len(truth), found=len(found), matched=len(match), named=named,
        pairs_true=len(scene.neighbours), pairs_found=reported, pairs_right=right,
    )  # fmt: skip
