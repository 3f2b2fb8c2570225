"""How much one layout may hold: far beyond any panel, and still read in seconds.

What a ``use`` repeats counts each time, so that a few letters cannot stand for a million shapes.
"""

from __future__ import annotations

from palette.errors import InputError

__all__ = ["MOST_HOLES", "MOST_POINTS", "MOST_RINGS", "MOST_SHAPES", "Budget", "TooLarge"]

MOST_POINTS = 10_000
"""Corners of one outline, its curves cut into chords."""

MOST_RINGS = 100
"""Rings of one outline: its edge, its holes, and what stands in those."""

MOST_HOLES = 8000
"""Rings of a whole layout beyond the first of each outline."""

MOST_SHAPES = 20_000

_MOST = {
    "elements": 50_000,
    "shapes": MOST_SHAPES,
    "holes": MOST_HOLES,
    "numbers in its outlines": 600_000,
    "corners": 1_000_000,
    "transforms": 200_000,
    "letters in its attributes": 32 * 2**20,
}


class TooLarge(InputError):
    """The drawing is beyond all use: stop at once instead of going on to its other faults."""


class Budget:
    """What one walk through a drawing may still take in."""

    def __init__(self, source: str) -> None:
        self._source = source
        self._left = dict(_MOST)

    def spend(self, what: str, amount: int = 1) -> None:
        """Count some of what a drawing holds.

        Raises
        ------
        TooLarge
            It holds more of that than is allowed.
        """
        self._left[what] -= amount
        if self._left[what] < 0:
            told = f"it holds more than {_MOST[what]:,} {what}, repeats counted"
            raise TooLarge(self._source, told, "simplify the drawing")
