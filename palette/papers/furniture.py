"""What every page carries: heading, edition, page number, and the shortest form of the cautions."""

from __future__ import annotations

import numpy as np

from palette.papers.marks import Box, Lines, Mark, Page, Words, fit_words, text_width, wrap_words
from palette.papers.sheet import LEAST_PT, MM_PER_PT, Sheet

__all__ = ["CAUTION_LINE", "frame_page", "page_number", "room_of", "tick_box"]

CAUTION_LINE = (
    "Usual cautions: never hide an exit · no eyes into lamps · fresh air · lead test before sanding old "
    "paint · two to lift. Local code, the product's sheet and licensed practice decide."
)

HEADER_MM = 14.0
_LINE_MM = LEAST_PT * MM_PER_PT * 1.2


def room_of(sheet: Sheet) -> Box:
    """Return what heading and footer leave of a page."""
    footer = len(_footer_lines(sheet)) * _LINE_MM + 3.0
    margin = sheet.margin_mm
    return Box(margin, margin + HEADER_MM, sheet.width_mm - margin, sheet.height_mm - margin - footer)


def frame_page(sheet: Sheet, *, title: str, detail: str, edition: str, marks: list[Mark]) -> Page:
    """Return a page with heading and footer around some marks."""
    left, right, top = sheet.margin_mm, sheet.width_mm - sheet.margin_mm, sheet.margin_mm
    tag = f"edition {edition}" if edition else ""
    tag_width = text_width(tag, 10, bold=True)
    heading, size = fit_words(title, right - left - tag_width - 6, 17, least_pt=11, bold=True)
    shown, small = fit_words(detail, right - left, 10)
    found: list[Mark] = [
        Words(x=left, y=top + 5.6, text=heading, size_pt=size, bold=True),
        Words(x=left, y=top + 10.6, text=shown, size_pt=small),
        Lines(paths=(np.array([[left, top + 12.2], [right, top + 12.2]]),), width_pt=1.0),
    ]
    if tag:
        found.append(Words(x=right, y=top + 5.6, text=tag, size_pt=10, bold=True, anchor="end"))
    lines = _footer_lines(sheet)
    bottom = sheet.height_mm - sheet.margin_mm
    for number, line in enumerate(lines):
        base = bottom - 1.0 - (len(lines) - 1 - number) * _LINE_MM
        found.append(Words(x=left, y=base, text=line, size_pt=LEAST_PT, fill="#333333"))
    return Page(sheet=sheet, marks=(*found, *marks), name=f"{title}: {detail}", numbered=True)


def page_number(sheet: Sheet, number: int, count: int) -> Words:
    """Return "1 / n" for a page's corner."""
    x, y = sheet.width_mm - sheet.margin_mm, sheet.height_mm - sheet.margin_mm - 1.0
    return Words(x=x, y=y, text=f"{number} / {count}", size_pt=10, bold=True, anchor="end")


def tick_box(x: float, y: float, size: float = 3.6) -> Lines:
    """Return an empty box to tick, its top left corner at (x, y)."""
    ring = np.array([[x, y], [x + size, y], [x + size, y + size], [x, y + size], [x, y]])
    return Lines(paths=(ring,), width_pt=0.8)


def _footer_lines(sheet: Sheet) -> list[str]:
    # The last 18 mm are kept for the page number.
    return wrap_words(CAUTION_LINE, sheet.width_mm - 2 * sheet.margin_mm - 18, LEAST_PT)
