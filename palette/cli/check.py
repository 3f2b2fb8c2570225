"""``palette check``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, print_table, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("check")(check)


def check(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    scheme: Annotated[
        Path, typer.Argument(help="A scheme.json, also one edited by hand.", show_default=False)
    ],
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of sentences.")
    ] = False,
) -> None:
    """Judge a scheme against the rules, without the solver.

    Exit code 0: every rule is kept; 1: something is broken.

    Example: `palette check examples/canyon/brief.toml canyon-out/scheme.json`
    """
    wanted = palette.read_brief(brief)
    outcome = palette.judge(wanted, palette.read_scheme(scheme), where=str(scheme))
    proof = palette.read_proof(scheme)
    void = proof and palette.find_void_claims(outcome.survey, outcome.scheme, outcome.verdict, proof)
    if json:
        told = {**palette.verdict_to_dict(outcome.verdict), "void_claims": list(void or ())}
        print_json(told, "answer-check")
    else:
        for rule, broken in zip(wanted.rules, outcome.verdict.of_rule, strict=True):
            found = {"must": "BROKEN", "prefer": "missed"}[rule.strength] if broken else "kept  "
            tell(f"{found}  {rule.sentence()}")
            tell(*(f"        {breach.sentence}" for breach in broken))
        _show_clashes(outcome.verdict)
        weakest = outcome.verdict.weakest
        if weakest is not None:
            tell(
                f'The two neighbours most alike are "{weakest.a}" and "{weakest.b}": '
                f"{weakest.difference:.1f} CIEDE2000 under {weakest.light}."
            )
        if void:
            tell("The proof in the file is of another scheme:", *(f"        {told}" for told in void))
            tell("Delete it there, or assign anew for a new one.")
    if not outcome.verdict.kept:
        raise typer.Exit(1)


def _show_clashes(verdict: palette.Verdict) -> None:
    clashes = palette.verdict_to_dict(verdict)["clashes"]
    if not clashes:
        return
    lights = list(clashes[0]["difference"])
    headings = (
        "section",
        "paint",
        "section",
        "paint",
        "border mm",
        *(f"{light} CIEDE2000" for light in lights),
    )
    print_table(
        "Neighbours that clash",
        headings,
        [
            (
                clash["a"], clash["paints"][0], clash["b"], clash["paints"][1], f"{clash['border_mm']:.0f}",
                *(f"{clash['difference'].get(light, float('nan')):.1f}" for light in lights),
            )
            for clash in clashes
        ],
    )  # fmt: skip
