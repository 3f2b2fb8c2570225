"""``palette assign``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

import palette
from palette.cli.options import Alternatives, AsJson, Keep, Seconds, SectionNames, Width
from palette.cli.reasons import show_reasons
from palette.cli.showing import (
    console,
    print_json,
    print_table,
    tell,
    tell_paint_notes,
)
from palette.errors import NoScheme

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("assign")(assign)


def assign(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    out: Annotated[Path, typer.Option(help="Folder for the scheme and the pictures.", show_default=False)],
    width: Width = 1600,
    names: SectionNames = False,
    alternatives: Alternatives = 1,
    keep: Keep = 1,
    started: Annotated[
        Path | None,
        typer.Option(help="A scheme of some sections that stay as they are.", show_default=False),
    ] = None,
    seconds: Seconds = None,
    proof: Annotated[
        Path | None,
        typer.Option(
            help="Write a proof (DRAT) here and its formula (DIMACS) beside it, as .cnf.",
            show_default=False,
        ),
    ] = None,
    json: AsJson = False,
) -> None:
    """Give every section a paint, the best way the rules allow, and prove it.

    Writes scheme.json, daylight.png, blacklight.png (one picture for each light), both.png and
    neighbours.png; with several alternatives also alternatives.png and alternative-2.json and on.
    Exit code 1: the rules cannot all hold; why, and what would help, is told and drawn in
    reasons.png. Ctrl-C ends the search with the best scheme so far.

    Example: `palette assign examples/canyon/brief.toml --out canyon-out --alternatives 4`
    """
    wanted = palette.read_brief(brief)
    tell_paint_notes(wanted.paints)
    options = palette.AssignOptions(
        width_px=width, names=names, alternatives=alternatives, keep=keep, seconds=seconds
    )
    begun = palette.read_scheme(started) if started is not None else None
    document: dict[str, Any] = {}
    try:
        assigned = palette.assign_brief(wanted, out, options=options, started=begun)
    except NoScheme as fault:
        show_reasons(wanted, fault, out=out, proof=proof, json=json)
        raise typer.Exit(1) from None
    outcome, files = assigned.outcome, list(assigned.files)
    if proof is not None:
        certificate = palette.certify_brief(wanted, outcome.scheme)
        files += palette.save_certificate(certificate, proof)
        document["proven"] = certificate.claim
    if json:
        document = outcome.scheme.to_dict() | document
        document["weakest"] = palette.verdict_to_dict(outcome.verdict)["weakest"]
        document["alternatives"] = [
            {"paint_of": dict(one.scheme.paint_of), "difference": one.difference, "best_at": one.best_at}
            for one in assigned.alternatives[1:]
        ]
        document["cost"] = {
            aim: {"started": here, "free": free} for aim, (here, free) in assigned.cost.items()
        }
        document["files"] = [str(file) for file in files]
        print_json(document, "answer-assign")
        return
    _tell(assigned)
    if "proven" in document:
        tell(f"Proof: {document['proven']}")
    console().print("Written: " + ", ".join(str(file) for file in files), markup=False)


def _tell(assigned: palette.Assigned) -> None:
    outcome = assigned.outcome
    rows = [(section, paint) for section, paint in outcome.scheme.paint_of.items()]
    print_table(outcome.brief.name, ("section", "paint"), rows)
    if outcome.scheme.proof is not None:
        tell(*palette.describe_proof(outcome.scheme.proof))
    weakest = outcome.verdict.weakest
    if weakest is not None:
        tell(
            f'The two neighbours most alike are "{weakest.a}" and "{weakest.b}": '
            f"{weakest.difference:.1f} CIEDE2000 under {weakest.light}."
        )
    for breach in outcome.verdict.missed:
        tell(f"Preferred, but not to be had: {breach.sentence}")
    for aim, (here, free) in assigned.cost.items():
        if abs(here - free) > 1e-6:
            tell(f"What is painted already costs {aim}: {here:.1f} instead of {free:.1f}.")
    for number, one in enumerate(assigned.alternatives[1:], 2):
        tell(f"Alternative {number}: {one.difference:.0%} of the sections different; {one.best_at}.")
