"""Windows onto a panel: which part is drawn, how large, and where on the page."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour import Array
from palette.papers.marks import Box

__all__ = ["SCALES", "View", "fill_view", "round_scale", "view_in"]

SCALES = (1, 2, 2.5, 4, 5, 7.5, 8, 10, 12, 15, 16, 20, 24, 25, 30, 32, 40, 48, 50, 60, 75, 80, 100,
          120, 125, 150, 200, 250, 300, 400, 500)  # fmt: skip
"""Scales a tape or a scale rule can follow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A window of the panel, mm, drawn 1 : `scale` with its top left corner at a place on the page."""

    window: Box
    scale: float
    left: float
    top: float

    @property
    def frame(self) -> Box:
        """The window on the page."""
        return Box(
            self.left,
            self.top,
            self.left + self.window.width / self.scale,
            self.top + self.window.height / self.scale,
        )

    def to_page(self, points: Array) -> Array:
        """Return points (N, 2) of the panel on the page."""
        found: Array = (np.asarray(points, float) - [self.window.left, self.window.top]) / self.scale + [
            self.left,
            self.top,
        ]
        return found


def round_scale(needed: float) -> float:
    """Return the smallest usual scale that is at least this, beyond the list the next hundred."""
    return next((scale for scale in SCALES if scale >= needed - 1e-9), float(np.ceil(needed / 100) * 100))


def view_in(window: Box, room: Box, *, wanted: float | None = None) -> View:
    """Return the view of a window in a room on the page, centred.

    The scale is the wanted one where the window fits at it, else the largest usual one that does.
    """
    needed = max(window.width / room.width, window.height / room.height)
    scale = wanted if wanted is not None and wanted >= needed else round_scale(needed)
    return _centred(window, room, scale)


def fill_view(window: Box, room: Box) -> View:
    """Return the largest view of a window in a room, centred, for a picture nobody measures in."""
    return _centred(window, room, max(window.width / room.width, window.height / room.height))


def _centred(window: Box, room: Box, scale: float) -> View:
    left = room.left + (room.width - window.width / scale) / 2
    top = room.top + (room.height - window.height / scale) / 2
    return View(window=window, scale=scale, left=left, top=top)
