"""``palette plan``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import console, print_json, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("plan")(plan)


def plan(
    schemes: Annotated[
        list[Path],
        typer.Argument(help="scheme.json of a panel, or of a run from left to right.", show_default=False),
    ],
    out: Annotated[Path, typer.Option(help="Folder for the papers.", show_default=False)],
    brief: Annotated[
        Path | None, typer.Option(help="The brief, if the scheme names none.", show_default=False)
    ] = None,
    settings: Annotated[
        Path | None,
        typer.Option(
            "--plan", help="The plan file; plan.toml beside the brief if left out.", show_default=False
        ),
    ] = None,
    paper: Annotated[
        str | None, typer.Option(help="A4, A3, Letter or Tabloid.", show_default=False)
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of sentences.")
    ] = False,
) -> None:
    """Write the papers of the paint day: maps, labels, quantities, days, lamps, cautions.

    Writes overview.pdf, paint-map.pdf and .svg with the tick list, by-can.pdf (one page for
    each can), tracing.pdf at full size, labels.pdf, work-plan.pdf, quantities.csv, sections.csv,
    shopping.csv where the plan file lists containers, and days.ics where it has a start date.
    Exit code 2: something in the plan file could not be used; the rest is written all the same.

    Example: `palette plan canyon-out/scheme.json --out canyon-papers`
    """
    told = _bar if len(schemes) > 1 else palette.silent
    job = palette.read_plan(schemes, brief=brief, plan_file=settings, paper=paper, on_progress=told)
    files = palette.save_plan(job, out, on_progress=told)
    remarks = palette.plan_remarks(job)
    if json:
        document = {"title": job.title, "files": [str(file) for file in files], "remarks": list(remarks)}
        print_json(document, "answer-plan")
    else:
        for remark in remarks:
            sys.stderr.write(f"{remark}\n")
        litres = sum(need.short_l or 0.0 for need in job.needs)
        bought = sum(count for purchase in job.purchases for _, count in purchase.counts)
        tell(
            f"{job.title}: {len(job.panels)} panel{'s' if len(job.panels) > 1 else ''}, "
            f"{len(job.used_paints)} paints in use, {litres:.2f} L to buy"
            + (f" in {bought} cans" if bought else "")
            + f", about {job.timetable.person_hours:.0f} hours of work."
        )
        console().print("Written: " + ", ".join(str(file) for file in files), markup=False)
    if job.left_out:
        raise typer.Exit(2)


def _bar(step: palette.Step) -> None:
    """Keep one line on the terminal; a pipe is left alone."""
    if sys.stderr.isatty():
        end = "\n" if step.done == step.total else ""
        sys.stderr.write(f"\r\033[K{step.room} {step.done}/{step.total} {step.note}{end}")
