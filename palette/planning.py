"""From schemes to a plan, and from a plan to a folder of papers: the walk of ``palette plan``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from palette.brief import Outcome, read_brief
from palette.errors import InputError
from palette.filing import write_folder
from palette.paint import Paint
from palette.panel import Panel
from palette.papers import count_papers, draw_papers
from palette.papers.paint_map import scale_remark
from palette.papers.sheet import sheet_of
from palette.plan import Plan, make_plan
from palette.plan.settings import Settings
from palette.plan_file import PlanFile, read_plan_file
from palette.progress import OnProgress, Step, silent
from palette.scheme import Scheme
from palette.scheme_file import brief_of_scheme, read_scheme

__all__ = ["plan_outcomes", "plan_remarks", "read_plan", "save_plan"]

PLAN_FILE = "plan.toml"


def read_plan(
    schemes: Sequence[Path],
    *,
    brief: Path | None = None,
    plan_file: Path | None = None,
    paper: str | None = None,
    on_progress: OnProgress = silent,
) -> Plan:
    """Return the plan of one scheme file, or of a run of them from left to right.

    Parameters
    ----------
    schemes : sequence of Path
        Files written by ``palette assign``; each names its brief.
    brief : Path, optional
        The brief of a scheme that names none, or another one.
    plan_file : Path, optional
        ``plan.toml`` beside the first brief, if there is one, where this is left out.
    paper : str, optional
        A page size in place of the plan file's.
    on_progress : callable
        Told after each panel.

    Returns
    -------
    Plan

    Raises
    ------
    InputError
        A file is missing or wrong, or two briefs disagree about a paint.
    """
    if not schemes:
        raise InputError("plan", "no scheme is named", "name the scheme.json of at least one panel")
    if brief is not None and len(schemes) > 1:
        what = f"one brief is given for {len(schemes)} schemes"
        raise InputError("plan", what, "leave --brief out: each scheme names its own")
    panels: list[tuple[Panel, Scheme]] = []
    shelf: list[Paint] = []
    title, file = "", None
    for place, path in enumerate(schemes):
        on_progress(Step(room="plan", done=place, total=len(schemes), note=f"reading {path.name}"))
        scheme = read_scheme(path)
        found = brief or brief_of_scheme(path)
        wanted = read_brief(found)
        panels.append((wanted.panel, scheme))
        _add_to_shelf(shelf, wanted.paints, where=str(found))
        title = title or wanted.name
        file = file or (found.parent / PLAN_FILE if (found.parent / PLAN_FILE).exists() else None)
    said = _said(plan_file or file)
    if paper is not None:
        sheet_of(paper)
        said = replace(said, settings=said.settings.on_paper(paper))
    return _plan_of(panels, shelf, said, title=title, on_progress=on_progress)


def plan_outcomes(
    outcomes: Sequence[Outcome], *, plan_file: Path | None = None, on_progress: OnProgress = silent
) -> Plan:
    """Return the plan of one outcome, or of a run of them from left to right, without scheme files.

    Parameters
    ----------
    outcomes : sequence of Outcome
    plan_file : Path, optional
        What the shop, the shelf, the hall and the helpers are like; the defaults otherwise.
    on_progress : callable
        Told after each panel.

    Returns
    -------
    Plan

    Raises
    ------
    InputError
        The plan file is missing or wrong, there is no outcome, or two disagree about a paint.
    """
    if not outcomes:
        raise InputError("plan", "it has no panel", "name at least one outcome")
    shelf: list[Paint] = []
    for outcome in outcomes:
        _add_to_shelf(shelf, outcome.brief.paints, where=str(outcome.brief.path))
    panels = [(outcome.brief.panel, outcome.scheme) for outcome in outcomes]
    title = outcomes[0].brief.name
    return _plan_of(panels, shelf, _said(plan_file), title=title, on_progress=on_progress)


def _said(plan_file: Path | None) -> PlanFile:
    return PlanFile(settings=Settings()) if plan_file is None else read_plan_file(plan_file)


def _plan_of(
    panels: Sequence[tuple[Panel, Scheme]],
    shelf: Sequence[Paint],
    said: PlanFile,
    *,
    title: str,
    on_progress: OnProgress,
) -> Plan:
    title = title if len(panels) == 1 else f"{title} and {len(panels) - 1} more"
    plan = make_plan(
        panels, shelf, said.settings, title=title, left_out=said.left_out, on_progress=on_progress
    )
    scales = (scale_remark(plan, each) for each in plan.panels)
    return replace(plan, left_out=(*plan.left_out, *(remark for remark in scales if remark)))


def save_plan(plan: Plan, folder: Path, *, on_progress: OnProgress = silent) -> tuple[Path, ...]:
    """Write all papers of a plan into a folder, all of them or none, and return their paths.

    Parameters
    ----------
    plan : Plan
    folder : Path
        Made if it is not there.
    on_progress : callable
        Told of each step.

    Returns
    -------
    tuple of Path

    Raises
    ------
    InputError
        The folder cannot be made, or a file not written; what was there before stands.
    """
    total = count_papers(plan)
    drawn: dict[str, bytes] = {}
    for paper in draw_papers(plan):
        drawn[paper.name] = paper.data
        on_progress(Step(room="papers", done=len(drawn), total=total, note=paper.name))
    return tuple(write_folder(folder, drawn))


def plan_remarks(plan: Plan) -> tuple[str, ...]:
    """Return every sentence a person should read before trusting the plan.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    tuple of str
        Sentences.
    """
    return (*plan.left_out, *plan.remarks)


def _add_to_shelf(shelf: list[Paint], paints: Sequence[Paint], *, where: str) -> None:
    known = {paint.id: paint for paint in shelf}
    for paint in paints:
        other = known.get(paint.id)
        if other is None:
            shelf.append(paint)
        elif (other.coats, other.spread_m2_per_l, other.stock_l) != (
            paint.coats, paint.spread_m2_per_l, paint.stock_l,
        ):  # fmt: skip
            what = f'the paint "{paint.id}" has other coats, coverage or stock than in an earlier brief'
            raise InputError(where, what, "let all briefs of the run share one paint file")
