"""The files of one reading: the marked photo, the table, JSON, and the panel for later years."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from palette.filing import write_folder
from palette.inspection.document import photo_to_dict, scheme_of_reading
from palette.inspection.marking import draw_findings
from palette.inspection.reading import PhotoReading
from palette.inspection.verdict import PhotoVerdict
from palette.layouts import panel_to_svg
from palette.saving import json_bytes, png_bytes, scheme_bytes

__all__ = ["save_reading"]


def save_reading(reading: PhotoReading, verdict: PhotoVerdict, folder: Path) -> tuple[Path, ...]:
    """Write what a photo says into a folder, all of it or nothing.

    panel.svg is an ordinary layout and scheme.json an ordinary scheme: last year's panel can be a
    fixed neighbour of this year's.

    Parameters
    ----------
    reading : PhotoReading
    verdict : PhotoVerdict
    folder : Path
        Made if it is not there.

    Returns
    -------
    tuple of Path

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; an old reading stands.
    """
    marked = draw_findings(reading, verdict)
    files = {
        "marked.png": png_bytes(marked.image, marked.mm_per_px),
        "photo.json": json_bytes(photo_to_dict(reading, verdict)),
        "sections.csv": _table(reading).encode(),
        "panel.svg": panel_to_svg(reading.panel).encode(),
    }
    scheme = scheme_of_reading(reading)
    if scheme is not None:
        files["scheme.json"] = scheme_bytes(scheme, folder=folder)
    return tuple(write_folder(folder, files))


def _table(reading: PhotoReading) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["section", "paint", "confidence", "next best", "area m2"])
    for found in reading.findings:
        area = reading.panel.section(found.id).outline.area / 1e6
        writer.writerow(
            [found.id, found.paint or "", f"{found.confidence:.2f}", found.second or "", f"{area:.3f}"]
        )
    return text.getvalue()
