"""A photo of a painted panel to be read and judged."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from palette.batch.named_files import list_files
from palette.batch.result import JobResult, Shown, Weakest
from palette.inspection import (
    PhotoReading,
    PhotoRequest,
    PhotoVerdict,
    clash_sentence,
    inspect_photo,
    save_reading,
    weakest_neighbours,
)
from palette.spectral_files import LAMP_SUFFIXES

__all__ = ["PhotoJob"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoJob:
    """One photo to be read and judged.

    Parameters
    ----------
    id : str
        Unique in its batch; names its folder.
    request : PhotoRequest
    name : str
        The panel's, where it is not the photo's own.
    """

    id: str
    request: PhotoRequest
    name: str = ""

    @property
    def kind(self) -> Literal["photo"]:
        """Which command answers it."""
        return "photo"

    @property
    def source(self) -> Path:
        """The file it begins with."""
        return self.request.photo

    def files(self) -> tuple[Path, ...]:
        """Return the photo, and all files that are known with it."""
        request = self.request
        found = [file for file in (request.photo, request.labels, request.layout) if file is not None]
        if request.paints is not None:
            found += list_files(request.paints)
        if request.light.lower().endswith(LAMP_SUFFIXES):
            found.append(Path(request.light))
        return tuple(found)

    def settings(self) -> Mapping[str, Any]:
        """Return what is known beside the files, as JSON values."""
        request = self.request
        return {
            "name": self.name,
            "light": request.light,
            "corners": None if request.corners is None else request.corners.tolist(),
            "size_mm": request.size_mm,
            "depth": request.depth,
            # Which file is which: a layout given as labels is another job.
            "given": [key for key in ("paints", "labels", "layout") if getattr(request, key) is not None],
        }

    def do(self, folder: Path) -> JobResult:
        """Read and judge the photo and write what ``palette photo`` writes."""
        reading, verdict = inspect_photo(self.request)
        files = save_reading(reading, verdict, folder)
        found = {each.paint for each in reading.findings if each.paint is not None}
        listed = reading.appearance.paints if reading.appearance is not None else sorted(found)
        kept = _kept_rules(self.request, verdict)
        pair = weakest_neighbours(reading)
        return JobResult(
            id=self.id,
            kind="photo",
            name=self.name or reading.panel.name,
            source=self.source.as_posix(),
            state="good" if verdict.sound else "broken",
            sections=len(reading.findings),
            paints=tuple(paint for paint in listed if paint in found),
            weakest=None
            if pair is None
            else Weakest(a=pair.a, b=pair.b, light=pair.light, difference=round(pair.difference, 3)),
            rules_kept=sum(kept),
            rules_broken=len(kept) - sum(kept),
            clashes=len(verdict.clashes),
            sentence=_sentence(reading, verdict),
            notes=reading.warnings,
            files=tuple(file.name for file in files),
            pictures=(
                Shown(file="marked.png", aspect=round(reading.photo.height_px / reading.photo.width_px, 6)),
            ),
        )


def _kept_rules(request: PhotoRequest, verdict: PhotoVerdict) -> list[bool]:
    """Return for each rule that a photo is judged by whether it holds."""
    kept = [not verdict.clashes]
    if request.depth:
        kept.append(not verdict.depth)
    if verdict.hatch is not None:
        kept.append(not verdict.hatch.shows)
    return kept


def _sentence(reading: PhotoReading, verdict: PhotoVerdict) -> str:
    """Return all that is wrong, each as a sentence."""
    told = [
        clash_sentence(reading, each.a, each.b, each.difference, each.light) + "."
        for each in verdict.clashes
    ]
    told += [breach.sentence for breach in verdict.depth]
    if verdict.hatch is not None and verdict.hatch.shows:
        told.append("The hatch's outline is plainer to see than the other gaps.")
    return " ".join(told)
