"""A wall to be assigned: a brief, or a layout by a brief that many walls share."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Literal

from palette.batch.named_files import list_files
from palette.batch.result import JobResult, Shown, Weakest
from palette.batch.shared_brief import brief_for_layout
from palette.brief import Brief, Outcome, read_brief
from palette.choosing import AssignOptions, assign_brief, save_reasons
from palette.coating import coating_notes
from palette.errors import InputError, NoScheme
from palette.filing import write_folder
from palette.references import file_name

__all__ = ["BriefJob"]

_BRIEF = "brief.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefJob:
    """One wall to be assigned.

    Parameters
    ----------
    id : str
        The name of its folder.
    brief : Path
    layout : Path or None
        The wall's layout where the brief is one that many walls share.
    options : AssignOptions
    """

    id: str
    brief: Path
    layout: Path | None = None
    options: AssignOptions

    @property
    def kind(self) -> Literal["assign"]:
        """Which command answers it."""
        return "assign"

    @property
    def source(self) -> Path:
        """The file it begins with."""
        return self.layout or self.brief

    def files(self) -> tuple[Path, ...]:
        """Return the brief, the layout, and every file the brief names."""
        return list_files(self.brief) if self.layout is None else (self.layout, *list_files(self.brief))

    def settings(self) -> Mapping[str, Any]:
        """Return the options as JSON values."""
        return asdict(self.options)

    def do(self, folder: Path) -> JobResult:
        """Find the wall's scheme and write what ``palette assign`` writes."""
        brief, made = self._read(folder)
        notes = tuple(note for paint in brief.paints for note in coating_notes(paint))
        try:
            assigned = assign_brief(brief, folder, options=self.options)
        except NoScheme as fault:
            reasons, picture = save_reasons(brief, fault, folder)
            ways = tuple("It would help: " + " and ".join(way.changes) for way in reasons.ways_out)
            return JobResult(
                id=self.id,
                kind="assign",
                name=brief.name,
                source=self.source.as_posix(),
                state="no-scheme",
                sections=len(brief.panel.sections),
                sentence=str(fault),
                notes=(*ways, *notes),
                files=(*made, picture.name),
                pictures=(Shown(file=picture.name),),
            )
        outcome, verdict = assigned.outcome, assigned.outcome.verdict
        used = set(outcome.scheme.paint_of.values())
        ends = dict.fromkeys(light.id for light in (brief.lights[0], brief.lights[-1]))
        return JobResult(
            id=self.id,
            kind="assign",
            name=brief.name,
            source=self.source.as_posix(),
            state="good" if verdict.kept else "broken",
            sections=len(outcome.survey.panel.sections),
            paints=tuple(paint.id for paint in brief.paints if paint.id in used),
            weakest=_weakest(outcome),
            rules_kept=sum(1 for breaches in verdict.of_rule if not breaches),
            rules_broken=sum(1 for breaches in verdict.of_rule if breaches),
            clashes=sum(1 for each in (*verdict.breaches, *verdict.missed) if each.rule == "clash"),
            sentence=" ".join(breach.sentence for breach in verdict.breaches),
            notes=(*(f"Preferred, but not to be had: {each.sentence}" for each in verdict.missed), *notes),
            files=(*made, *(file.name for file in assigned.files)),
            pictures=tuple(Shown(file=f"{file_name(light)}.png") for light in ends),
        )

    def _read(self, folder: Path) -> tuple[Brief, tuple[str, ...]]:
        """Return the wall's brief, and the name of its file where it was made for this."""
        if self.layout is None:
            return read_brief(self.brief), ()
        made = folder / _BRIEF
        write_folder(folder, {_BRIEF: brief_for_layout(self.brief, self.layout, folder)})
        try:
            return read_brief(made), (_BRIEF,)
        except InputError as fault:
            # A person mends the brief that is shared; the one in the folder is written anew each time.
            InputError.gather(
                InputError(self._shared_place(each.where, made), each.what, each.mend)
                for each in fault.each()
            )
            raise

    def _shared_place(self, where: str, made: Path) -> str:
        """Return a place in the made brief, or in a file it names, as seen from the shared one."""
        if where.startswith(str(made)):
            return str(self.brief) + where.removeprefix(str(made))
        return os.path.normpath(where) if where.startswith(str(made.parent)) else where


def _weakest(outcome: Outcome) -> Weakest | None:
    pair, proof = outcome.verdict.weakest, outcome.scheme.proof
    if pair is None:
        return None
    levels = proof.levels if proof is not None else ()
    level = next((each for each in levels if each.aim == "weakest-pair"), None)
    return Weakest(
        a=pair.a,
        b=pair.b,
        light=pair.light,
        difference=round(pair.difference, 3),
        bound=None if level is None else round(level.bound, 3),
        proven=None if level is None else level.proven,
    )
