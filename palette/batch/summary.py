"""The summary of a batch: one table as CSV and JSON, and the contact sheet."""

from __future__ import annotations

import csv
import io
from importlib.metadata import version
from pathlib import Path
from typing import Any

from palette.batch.mark import SUMMARY
from palette.batch.result import JobResult
from palette.batch.running import Batch
from palette.batch.sheet import DPI, lay_contact_sheet
from palette.batch.telling import tell_states
from palette.filing import write_together
from palette.formats import FORMATS
from palette.papers.pdf import pdf_of
from palette.papers.raster import pixels_of
from palette.saving import json_bytes, png_bytes

__all__ = ["batch_to_dict", "save_batch"]

_SHEET = "contact-sheet"

_HEADINGS = (
    "folder", "name", "source", "state", "sections", "paints used", "weakest pair", "light",
    "difference CIEDE2000", "at best CIEDE2000", "rules kept", "rules broken",
    "clashes", "seconds", "what is wrong",
)  # fmt: skip


def batch_to_dict(batch: Batch) -> dict[str, Any]:
    """Return the summary as JSON values (`summary.schema.json`).

    Parameters
    ----------
    batch : Batch

    Returns
    -------
    dict
    """
    return FORMATS["summary"].stamp(
        {
            "palette": version("slabglow"),
            "said": tell_states([result.state for result in batch.results]),
            "kept": batch.kept,
            "jobs": [result.to_dict() for result in batch.results],
        }
    )


def save_batch(batch: Batch) -> list[Path]:
    """Write summary.json, summary.csv, contact-sheet.pdf and the sheet's pages as PNG; return their paths.

    One page is contact-sheet.png, several are contact-sheet-1.png and on.

    Parameters
    ----------
    batch : Batch

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        A file cannot be written; none of them is then.
    """
    title = batch.folder.resolve().name
    pages = lay_contact_sheet(batch.results, batch.thumbnails, title=title)
    files = {
        SUMMARY: json_bytes(batch_to_dict(batch)),
        "summary.csv": _table(batch).encode(),
        f"{_SHEET}.pdf": pdf_of(pages, title=f"{title}: contact sheet"),
    }
    for number, page in enumerate(pages, 1):
        name = f"{_SHEET}.png" if len(pages) == 1 else f"{_SHEET}-{number}.png"
        pixels = pixels_of(page, dpi=DPI, number=number, count=len(pages))
        files[name] = png_bytes(pixels, 25.4 / DPI)
    earlier = sorted(path.name for path in batch.folder.glob(f"{_SHEET}*.png"))
    return write_together(batch.folder, files, gone=[name for name in earlier if name not in files])


def _table(batch: Batch) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_HEADINGS)
    writer.writerows(_row(result) for result in batch.results)
    return text.getvalue()


def _row(result: JobResult) -> list[object]:
    weakest = result.weakest
    pair: list[object] = ["", "", "", ""]
    if weakest is not None:
        bound = "" if weakest.bound is None else f"{weakest.bound:.2f}"
        pair = [f"{weakest.a} | {weakest.b}", weakest.light, f"{weakest.difference:.2f}", bound]
    counts = (result.rules_kept, result.rules_broken, result.clashes)
    return [
        _cell(result.id),
        _cell(result.name),
        _cell(result.source),
        result.state,
        "" if result.sections is None else result.sections,
        len(result.paints) if result.sections is not None else "",
        _cell(str(pair[0])),
        *pair[1:],
        *("" if count is None else count for count in counts),
        f"{result.seconds:.2f}",
        _cell(result.sentence),
    ]


def _cell(text: str) -> str:
    # A spreadsheet takes a cell that begins like this for a formula; with an apostrophe it is text.
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
