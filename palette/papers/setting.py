"""Running text and tables, set with reportlab's page layout."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from palette.papers.sheet import FONT, FONT_BOLD, MM_PER_PT

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

__all__ = ["beside", "heading", "picture", "small", "subheading", "table", "text"]


def heading(words: str) -> Flowable:
    """Return a heading of a part."""
    return _paragraph("heading", escape(words))


def subheading(words: str) -> Flowable:
    """Return a heading inside a part."""
    return _paragraph("subheading", escape(words))


def text(words: str) -> Flowable:
    """Return a paragraph; ``<b>`` in it is bold, so everything else must be escaped before."""
    return _paragraph("text", words)


def small(words: str) -> Flowable:
    """Return a note in the smallest type."""
    return _paragraph("small", escape(words))


def picture(png: bytes, width_mm: float, height_mm: float) -> Flowable:
    """Return a PNG at a size."""
    import io

    from reportlab.platypus import Image

    return Image(io.BytesIO(png), width=width_mm / MM_PER_PT, height=height_mm / MM_PER_PT)


def table(
    rows: Sequence[Sequence[str]], widths: Sequence[float], width_mm: float, *, bold: Sequence[int] = ()
) -> Flowable:
    """Return a ruled table whose first row is its head and comes again on every page.

    Parameters
    ----------
    rows : sequence of rows of plain text; a line break is kept.
    widths : sequence of float
        mm; the one that is 0 takes what the others leave.
    width_mm : float
        Of the whole table.
    bold : sequence of int
        Columns in bold.
    """
    from reportlab.platypus import Table

    left = width_mm - sum(widths)
    styles = _styles()

    def cell(words: str, kind: str) -> Flowable:
        return _paragraph(kind, escape(words).replace("\n", "<br/>"), styles)

    cells = [[cell(words, "head") for words in rows[0]]]
    for row in rows[1:]:
        cells.append([cell(words, "strong" if at in bold else "cell") for at, words in enumerate(row)])
    found = Table(cells, colWidths=[(w or left) / MM_PER_PT for w in widths], repeatRows=1, hAlign="LEFT")
    everywhere = ((0, 0), (-1, -1))
    found.setStyle([
        ("FONTNAME", *everywhere, FONT), ("VALIGN", *everywhere, "TOP"), ("LEFTPADDING", *everywhere, 2),
        ("RIGHTPADDING", *everywhere, 3), ("TOPPADDING", *everywhere, 2), ("BOTTOMPADDING", *everywhere, 3),
        ("LINEBELOW", (0, 0), (-1, 0), 1.0, "#000000"), ("LINEBELOW", (0, 1), (-1, -1), 0.3, "#999999"),
    ])  # fmt: skip
    return found


def beside(left: Flowable, right: Sequence[Flowable], left_mm: float, width_mm: float) -> Flowable:
    """Return a picture with paragraphs on its right."""
    from reportlab.platypus import Table

    widths = [left_mm / MM_PER_PT, (width_mm - left_mm) / MM_PER_PT]
    found = Table([[left, list(right)]], colWidths=widths, hAlign="LEFT")
    everywhere = ((0, 0), (-1, -1))
    found.setStyle([
        ("FONTNAME", *everywhere, FONT), ("VALIGN", *everywhere, "TOP"), ("LEFTPADDING", *everywhere, 0),
        ("RIGHTPADDING", *everywhere, 4),
    ])  # fmt: skip
    return found


def _paragraph(kind: str, words: str, styles: dict[str, Any] | None = None) -> Flowable:
    from reportlab.platypus import Paragraph

    return Paragraph(words, (styles or _styles())[kind])


def _styles() -> dict[str, Any]:
    from reportlab.lib.styles import ParagraphStyle

    def style(name: str, font: str, size: float, **more: float) -> ParagraphStyle:
        return ParagraphStyle(name, fontName=font, fontSize=size, leading=size * 1.22, **more)

    return {
        "heading": style("heading", FONT_BOLD, 14, spaceBefore=8, spaceAfter=4),
        "subheading": style("subheading", FONT_BOLD, 11, spaceBefore=7, spaceAfter=3),
        "text": style("text", FONT, 10, spaceAfter=4),
        "small": style("small", FONT, 9, spaceBefore=3, spaceAfter=3),
        "head": style("head", FONT_BOLD, 9),
        "cell": style("cell", FONT, 9),
        "strong": style("strong", FONT_BOLD, 9),
    }
