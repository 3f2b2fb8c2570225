"""``palette buy``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, print_table

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("buy")(buy)


def buy(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    offers: Annotated[
        Path, typer.Argument(help="A paint file of what could be bought.", show_default=False)
    ],
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of the table.")
    ] = False,
) -> None:
    """Say which single paint would make a scheme possible, or improve its weakest pair most.

    Example: `palette buy examples/canyon/brief.toml offers.toml`
    """
    found = palette.advise_shopping(palette.read_brief(brief), offers)
    if json:
        keys = ("paint", "possible", "weakest", "gain")
        told = [{key: getattr(one, key) for key in keys} for one in found]
        print_json({"offers": told}, "answer-buy")
        return
    rows = [
        (
            one.paint,
            "yes" if one.possible else "no",
            "" if one.weakest is None else f"{one.weakest:.1f}",
            "" if one.gain is None else f"{one.gain:+.1f}",
        )
        for one in found
    ]
    headings = ("paint", "a scheme with it", "weakest pair CIEDE2000", "gain CIEDE2000")
    print_table("What to buy, best first", headings, rows)
