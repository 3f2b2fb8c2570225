"""``palette assign``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import console, describe_proof, print_json, print_table, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("assign")(assign)


def assign(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    out: Annotated[Path, typer.Option(help="Folder for the scheme and the pictures.", show_default=False)],
    width: Annotated[int, typer.Option(help="Width of each picture in pixels, 300 to 8192.")] = 1600,
    names: Annotated[bool, typer.Option(help="Write section names on the pictures.")] = False,
    json: Annotated[bool, typer.Option(help="Print one JSON object instead of the table.")] = False,
) -> None:
    """Give every section a paint, the best way the rules allow, and prove it.

    Writes scheme.json, daylight.png, blacklight.png (one picture for each light), both.png and
    neighbours.png. Exit code 1: the rules cannot all hold.

    Example: `palette assign examples/canyon/brief.toml --out canyon-out`
    """
    wanted = palette.read_brief(brief)
    outcome = palette.run(wanted)
    pictures = palette.draw_outcome(outcome, width_px=width, names=names)
    files = palette.save_outcome(outcome.scheme, pictures, out, brief=brief)
    if json:
        document = outcome.scheme.to_dict()
        document["weakest"] = palette.verdict_to_dict(outcome.verdict)["weakest"]
        document["files"] = [str(file) for file in files]
        print_json(document)
        return
    rows = [(section, paint) for section, paint in outcome.scheme.paint_of.items()]
    print_table(wanted.name, ("section", "paint"), rows)
    if outcome.scheme.proof is not None:
        tell(*describe_proof(outcome.scheme.proof))
    weakest = outcome.verdict.weakest
    if weakest is not None:
        tell(
            f'The two neighbours most alike are "{weakest.a}" and "{weakest.b}": '
            f"{weakest.difference:.1f} CIEDE2000 under {weakest.light}."
        )
    console().print("Written: " + ", ".join(str(file) for file in files), markup=False)
