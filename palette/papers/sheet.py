"""Paper and type: page sizes, fonts and how wide words are."""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from palette.errors import InputError

__all__ = ["FONT", "FONT_BOLD", "MM_PER_PT", "PAGE_SIZES_MM", "LEAST_PT", "Sheet", "load_fonts", "sheet_of"]

MM_PER_PT = 25.4 / 72  # ISO 32000-1: default user space
LEAST_PT = 9.0
"""The smallest type: legible at arm's length (common practice)."""

FONT = "DejaVuSans"
FONT_BOLD = "DejaVuSans-Bold"

PAGE_SIZES_MM = {
    "A4": (210.0, 297.0),  # ISO 216
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),  # ANSI Y14.1: 8 1/2 × 11 in
    "Tabloid": (279.4, 431.8),  # 11 × 17 in
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A page, mm, with the margin no home printer reaches into."""

    width_mm: float
    height_mm: float
    margin_mm: float = 10.0

    @property
    def sideways(self) -> Sheet:
        """The same paper turned."""
        return Sheet(width_mm=self.height_mm, height_mm=self.width_mm, margin_mm=self.margin_mm)


def sheet_of(size: str) -> Sheet:
    """Return a page by its name, upright.

    Raises
    ------
    InputError
        No page has that name.
    """
    names = {name.lower(): name for name in PAGE_SIZES_MM}
    if size.lower() not in names:
        raise InputError(
            "paper", f'there is no page size "{size}"', f"use one of: {', '.join(PAGE_SIZES_MM)}"
        )
    width, height = PAGE_SIZES_MM[names[size.lower()]]
    return Sheet(width_mm=width, height_mm=height)


@cache
def load_fonts() -> None:
    """Make DejaVu Sans, which matplotlib ships and anyone may embed, known to the PDF writer."""
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    # Text coding of streams is for mail of the last century: slower, and a quarter larger.
    rl_config.useA85 = 0
    found = importlib.util.find_spec("matplotlib")
    assert found is not None
    assert found.submodule_search_locations is not None
    folder = Path(found.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
    for name in (FONT, FONT_BOLD):
        pdfmetrics.registerFont(TTFont(name, str(folder / f"{name}.ttf")))
    pdfmetrics.registerFontFamily(FONT, normal=FONT, bold=FONT_BOLD, italic=FONT, boldItalic=FONT_BOLD)
