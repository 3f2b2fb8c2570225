"""How a panel is cut into sheets of paper at full size."""

from __future__ import annotations

import numpy as np

from palette.papers.marks import Box
from palette.papers.sheet import Sheet
from palette.papers.views import View
from palette.papers.wording import letter_words

__all__ = ["OVERLAP_MM", "Tiling", "sheet_name", "tile_panel"]

OVERLAP_MM = 10.0
RIM_MM = 5.0
"""Paper left around the panel, so that its own edges are lines on the sheets and not the paper's."""

HEAD_MM = 9.0
FOOT_MM = 6.0


class Tiling:
    """How a panel is cut into sheets: columns and rows of windows of one size.

    Windows start `step_mm` apart and are `OVERLAP_MM` larger, so that every point but the outer
    rim's lies on at least one sheet.
    """

    def __init__(self, sheet: Sheet, width_mm: float, height_mm: float) -> None:
        margin = sheet.margin_mm
        self.sheet = sheet
        self.left, self.top = margin, margin + HEAD_MM
        self.step_mm = (
            sheet.width_mm - 2 * margin - OVERLAP_MM,
            sheet.height_mm - 2 * margin - HEAD_MM - FOOT_MM - OVERLAP_MM,
        )
        self.columns = max(1, int(np.ceil((width_mm + 2 * RIM_MM - OVERLAP_MM) / self.step_mm[0] - 1e-9)))
        self.rows = max(1, int(np.ceil((height_mm + 2 * RIM_MM - OVERLAP_MM) / self.step_mm[1] - 1e-9)))

    @property
    def count(self) -> int:
        """How many sheets there are."""
        return self.columns * self.rows

    def view(self, row: int, column: int) -> View:
        """Return the window of one sheet at full size."""
        left, top = column * self.step_mm[0] - RIM_MM, row * self.step_mm[1] - RIM_MM
        window = Box(left, top, left + self.step_mm[0] + OVERLAP_MM, top + self.step_mm[1] + OVERLAP_MM)
        return View(window=window, scale=1.0, left=self.left, top=self.top)


def tile_panel(sheet: Sheet, width_mm: float, height_mm: float) -> Tiling:
    """Return the tiling that takes fewer sheets, upright or sideways."""
    ways = [Tiling(paper, width_mm, height_mm) for paper in (sheet, sheet.sideways)]
    return min(ways, key=lambda tiling: tiling.count)


def sheet_name(row: int, column: int) -> str:
    """Return what a sheet is called: rows A, B, … Z, AA, and the column's number."""
    return f"{letter_words(row).upper()}{column + 1}"
