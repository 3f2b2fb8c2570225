"""Label pictures painted over a photo."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np

from fuzz.desk import lay
from fuzz.pictures import mutate_picture as mutate
from fuzz.pictures import png, stones
from palette import Photo, read_marks

__all__ = ["WORDS", "heavy", "mutate", "seeds", "target"]

WORDS = ("IHDR", "IDAT", "PLTE", "tRNS")
_WALL = stones(9, 8)


@cache
def _photo() -> Photo:
    height, width = _WALL.shape[:2]
    return Photo(pixels=_WALL, width_px=width, height_px=height, source="hall.jpg")


def target(data: bytes) -> object:
    """Read labels over a photo."""
    marks = read_marks(lay("labels.png", data), _photo())
    assert marks.labels is not None
    assert marks.labels.shape == _WALL.shape[:2]
    assert marks.labels.min() >= 0
    assert marks.labels.max() == len(marks.label_names)
    assert len(set(marks.label_names)) == len(marks.label_names)
    return marks


def seeds() -> list[bytes]:
    """Return labels in colour and in grey."""
    grey = (_WALL[..., 0] // 2).astype(np.uint8)
    alpha = np.where(_WALL.any(axis=2), 255, 0).astype(np.uint8)
    return [png(_WALL), png(grey), png(grey.astype(np.uint16) * 99), png(np.dstack([_WALL, alpha]))]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield pictures that are too much in one way each."""
    noise = np.random.default_rng(1).integers(0, 255, _WALL.shape, np.uint8)
    yield "every pixel of another colour", png(noise)
    yield "10,000 x 10,000", png(np.zeros((10_000, 10_000), np.uint8))
