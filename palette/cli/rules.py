"""``palette rules``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.completing import complete_kinds
from palette.cli.showing import print_json, print_table, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("rules")(rules)


def rules(
    brief: Annotated[
        Path | None, typer.Argument(help="A brief; without one, all kinds of rules.", show_default=False)
    ] = None,
    kind: Annotated[
        str | None,
        typer.Option(
            help="Show the options of one kind of rule.", show_default=False, autocompletion=complete_kinds
        ),
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of sentences.")
    ] = False,
) -> None:
    """Print the rules of a brief as sentences, or the kinds there are and their options.

    Example: `palette rules examples/canyon/brief.toml`
    """
    if kind is not None:
        options = palette.describe_options(kind)
        if json:
            rows = [dict(zip(_HEADINGS, row, strict=True)) for row in options]
            print_json({"kind": kind, "options": rows}, "answer-rules")
        else:
            print_table(f'kind = "{kind}"', _HEADINGS, options)
        return
    if brief is None:
        told = {name: palette.describe_kind(name) for name in palette.RULE_KINDS}
    else:
        wanted = palette.read_brief(brief)
        sentences = [palette.state_rule(rule) for rule in wanted.rules]
        if json:
            print_json({"rules": sentences, "aims": [aim.name for aim in wanted.aims]}, "answer-rules")
        else:
            tell(*sentences)
            tell(*(f"Aim {n}: {palette.AIMS[aim.name]}." for n, aim in enumerate(wanted.aims, 1)))
        return
    if json:
        print_json({"kinds": told}, "answer-rules")
    else:
        print_table("Rules a brief can state", ("kind", "says"), list(told.items()))


_HEADINGS = ("key", "takes", "does")
