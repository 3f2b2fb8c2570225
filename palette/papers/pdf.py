"""Pages of marks as PDF: vector, fonts embedded, the same bytes every time."""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from palette.papers.furniture import page_number
from palette.papers.marks import Area, Dots, Lines, Mark, Page, Picture, Words
from palette.papers.sheet import FONT, FONT_BOLD, MM_PER_PT, Sheet, load_fonts

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["counting_canvas", "draw_marks", "pdf_of"]


def pdf_of(pages: Iterable[Page], *, title: str) -> bytes:
    """Return a PDF of the pages, one after the other, each with a bookmark if it has a name."""
    load_fonts()
    file = io.BytesIO()
    canvas = counting_canvas()(file, invariant=1, pageCompression=1, initialFontName=FONT)
    canvas.setTitle(title)
    canvas.setCreator("palette")
    canvas.setAuthor("")
    for number, page in enumerate(pages):
        canvas.setPageSize((page.sheet.width_mm / MM_PER_PT, page.sheet.height_mm / MM_PER_PT))
        canvas.sheet = page.sheet if page.numbered else None
        if page.name:
            canvas.bookmarkPage(f"page{number}")
            canvas.addOutlineEntry(page.name, f"page{number}")
        draw_marks(canvas, page.marks, height_mm=page.sheet.height_mm)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def draw_marks(canvas: Canvas, marks: Iterable[Mark], *, height_mm: float) -> None:
    """Draw marks on a canvas whose page is this high: PDF counts y up from the bottom."""
    for mark in marks:
        if isinstance(mark, Words):
            _draw_words(canvas, mark, height_mm)
        elif isinstance(mark, Picture):
            _draw_picture(canvas, mark, height_mm)
        elif isinstance(mark, Dots):
            canvas.setFillColor(mark.fill)
            for x, y in mark.points / MM_PER_PT:
                canvas.circle(x, height_mm / MM_PER_PT - y, mark.radius_mm / MM_PER_PT, stroke=0, fill=1)
        else:
            _draw_paths(canvas, mark, height_mm)


def counting_canvas(sheet: Sheet | None = None) -> type[Canvas]:
    """Return a canvas class that writes "n / m" on pages, m being known only at the end.

    Pages are numbered whose `sheet` attribute is set when they end.
    """
    from reportlab.pdfgen.canvas import Canvas

    class CountingCanvas(Canvas):  # type: ignore[misc]
        def __init__(self, *args: Any, **options: Any) -> None:
            super().__init__(*args, **options)
            self.sheet = sheet
            self._kept: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802  the base class calls it so
            self._kept.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            for number, state in enumerate(self._kept, 1):
                self.__dict__.update(state)
                if self.sheet is not None:
                    words = page_number(self.sheet, number, len(self._kept))
                    draw_marks(self, [words], height_mm=self.sheet.height_mm)
                super().showPage()
            super().save()

    return CountingCanvas


def _draw_words(canvas: Canvas, mark: Words, height_mm: float) -> None:
    canvas.setFillColor(mark.fill)
    canvas.setFont(FONT_BOLD if mark.bold else FONT, mark.size_pt)
    x, y = mark.x / MM_PER_PT, (height_mm - mark.y) / MM_PER_PT
    draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    draw[mark.anchor](x, y, mark.text)


def _draw_picture(canvas: Canvas, mark: Picture, height_mm: float) -> None:
    from reportlab.lib.utils import ImageReader

    x, y = mark.x / MM_PER_PT, (height_mm - mark.y - mark.height) / MM_PER_PT
    image = ImageReader(io.BytesIO(mark.data))
    canvas.drawImage(image, x, y, mark.width / MM_PER_PT, mark.height / MM_PER_PT)


def _draw_paths(canvas: Canvas, mark: Area | Lines, height_mm: float) -> None:
    closed = isinstance(mark, Area)
    paths = mark.rings if isinstance(mark, Area) else mark.paths
    fill = mark.fill if isinstance(mark, Area) else None
    if not paths or (mark.stroke is None and fill is None):
        return
    path = canvas.beginPath()
    for points in paths:
        xs, ys = points[:, 0] / MM_PER_PT, (height_mm - points[:, 1]) / MM_PER_PT
        path.moveTo(xs[0], ys[0])
        for x, y in zip(xs[1:], ys[1:], strict=True):
            path.lineTo(x, y)
        if closed:
            path.close()
    if mark.stroke is not None:
        canvas.setStrokeColor(mark.stroke)
        canvas.setLineWidth(mark.width_pt)
        canvas.setDash(*([list(mark.dash_pt)] if mark.dash_pt else [[]]))
        canvas.setLineJoin(1)
    if fill is not None:
        canvas.setFillColor(fill)
    canvas.drawPath(path, stroke=mark.stroke is not None, fill=fill is not None, fillMode=0)
