"""``palette check``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("check")(check)


def check(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    scheme: Annotated[
        Path, typer.Argument(help="A scheme.json, also one edited by hand.", show_default=False)
    ],
    json: Annotated[bool, typer.Option(help="Print one JSON object instead of sentences.")] = False,
) -> None:
    """Judge a scheme against the rules, without the solver.

    Exit code 0: every rule is kept; 1: something is broken.

    Example: `palette check examples/canyon/brief.toml canyon-out/scheme.json`
    """
    wanted = palette.read_brief(brief)
    outcome = palette.judge(wanted, palette.read_scheme(scheme))
    if json:
        print_json(palette.verdict_to_dict(outcome.verdict))
    else:
        for rule in wanted.rules:
            broken = [breach for breach in outcome.verdict.breaches if breach.rule == rule.kind]
            tell(f"{'kept  ' if not broken else 'BROKEN'}  {rule.sentence()}")
            tell(*(f"        {breach.sentence}" for breach in broken))
        weakest = outcome.verdict.weakest
        if weakest is not None:
            tell(
                f'The two neighbours most alike are "{weakest.a}" and "{weakest.b}": '
                f"{weakest.difference:.1f} CIEDE2000 under {weakest.light}."
            )
    if not outcome.verdict.kept:
        raise typer.Exit(1)
