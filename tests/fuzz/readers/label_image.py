"""Label images as layouts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuzz.desk import lay
from fuzz.pictures import mutate_picture as mutate
from fuzz.pictures import png, stones
from fuzz.sanity import assert_sound_panel
from palette import read_layout

__all__ = ["WORDS", "heavy", "mutate", "seeds", "target"]

WORDS = ("IHDR", "IDAT", "PLTE", "tRNS", "pHYs", "tEXt", "Section names", "Title")


def target(data: bytes) -> object:
    """Read a label image."""
    panel = read_layout(lay("wall.png", data))
    assert_sound_panel(panel)
    return panel


def seeds() -> list[bytes]:
    """Return walls in colour and in grey, named and not, with a palette and without."""
    wall = stones(3, 2)
    grey = (wall[..., 0] // 2).astype(np.uint8)
    return [
        png(wall, dpi=5),
        png(wall, dpi=5, Title="North wall", Section_names='{"#28c83c": "sill"}'),
        png(grey, dpi=5),
        png(grey.astype(np.uint16) * 200, dpi=5),
        png(np.dstack([wall, np.where(wall.any(axis=2), 255, 0).astype(np.uint8)]), dpi=5),
        png(stones(1, 1), dpi=2),
    ]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield pictures that are too much in one way each."""
    yield "9,000 x 9,000 of one colour", png(np.full((9000, 9000), 7, np.uint8), dpi=100)
    yield "10,000 x 10,000 of nothing", png(np.zeros((10_000, 10_000), np.uint8), dpi=100)
    noise = np.random.default_rng(1).integers(1, 255, (1500, 1500, 3), np.uint8)
    yield "every pixel of another colour", png(noise, dpi=25.4)
    board = np.indices((3000, 3000)).sum(axis=0) % 2 * 200
    yield "a chessboard of pixels", png(board.astype(np.uint8), dpi=25.4)
    comb = np.zeros((3000, 3000), np.uint8)
    comb[:, ::2], comb[0] = 90, 90
    yield "a comb of one piece", png(comb, dpi=25.4)
    yield "6,000 stones", png(stones(100, 60, side_px=12), dpi=5)
    yield "30,000 stones", png(stones(250, 120, side_px=4, gap_px=1), dpi=5)
