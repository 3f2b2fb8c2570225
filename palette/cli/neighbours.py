"""``palette neighbours``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, print_table, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("neighbours")(neighbours)


def neighbours(
    layout: Annotated[
        Path, typer.Argument(help="SVG, tape-measure TOML or label PNG.", show_default=False)
    ],
    reach: Annotated[
        str, typer.Option(help="Sections farther apart than this are no neighbours.")
    ] = "160 mm",
    min_border: Annotated[str, typer.Option(help="Shorter borders count as corners.")] = "25 mm",
    size: Annotated[
        str | None, typer.Option(help='Size of a label image: "96 in x 72 in".', show_default=False)
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Write a picture of the borders here (PNG).", show_default=False)
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of the table.")
    ] = False,
) -> None:
    """Show which sections face each other across gaps and trim, and for how long.

    Example: `palette neighbours examples/canyon/wall.svg --reach "160 mm"`
    """
    panel = palette.read_layout(
        layout, size=palette.parse_size(size, where="--size") if size is not None else None
    )
    adjacency = palette.find_neighbours(
        panel,
        reach_mm=palette.parse_length(reach, where="--reach"),
        min_border_mm=palette.parse_length(min_border, where="--min-border"),
    )
    if out is not None:
        palette.save_preview(palette.draw_neighbours(panel, adjacency), out)
    if json:
        print_json(palette.adjacency_to_dict(adjacency), "answer-neighbours")
        return
    rows = [
        (contact.a, contact.b, f"{contact.border_mm:.0f}", f"{contact.gap_mm:.1f}",
         "corner" if contact.corner else "")
        for contact in adjacency.contacts
    ]  # fmt: skip
    print_table(panel.name, ("section", "section", "border mm", "gap mm", ""), rows)
    tell(f"{len(adjacency.neighbours)} borders, {len(adjacency.corners)} corners.")
