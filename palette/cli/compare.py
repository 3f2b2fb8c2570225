"""``palette compare``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.completing import complete_lights
from palette.cli.showing import print_json, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("compare")(compare)


def compare(
    photo: Annotated[Path, typer.Argument(help="Photo of the painted panel.", show_default=False)],
    scheme: Annotated[Path, typer.Argument(help="Its scheme.json.", show_default=False)],
    brief: Annotated[
        Path, typer.Option(help="The brief: layout and paint list come from it.", show_default=False)
    ],
    light: Annotated[
        str, typer.Option(help="The light it was taken under.", autocompletion=complete_lights)
    ] = "daylight",
    corners: Annotated[
        str | None,
        typer.Option(help='Panel corners from top left clockwise: "x,y x,y x,y x,y".', show_default=False),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Write the marked photo here (PNG).", show_default=False)
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of sentences.")
    ] = False,
) -> None:
    """Compare a photo of the finished panel with its scheme: wrong paint, thin or blotchy coats.

    Exit code 0: all as planned; 1: something is not.

    Example: `palette compare wall.jpg canyon-out/scheme.json --brief examples/canyon/brief.toml`
    """
    wanted = palette.read_brief(brief)
    reading = palette.read_panel(
        palette.read_photo(photo),
        palette.light_by_name(light, where="--light"),
        paints=wanted.paints,
        corners=palette.parse_corners(corners, where="--corners") if corners is not None else None,
        layout=wanted.panel,
    )
    comparison = palette.compare_with_scheme(reading, palette.read_scheme(scheme))
    if out is not None:
        palette.save_preview(palette.draw_findings(reading, palette.judge_reading(reading)), out)
    if json:
        document = {**palette.comparison_to_dict(comparison), "warnings": list(reading.warnings)}
        print_json(document, "answer-compare")
    else:
        for note in comparison.notes:
            tell(note.sentence)
        if comparison.as_planned:
            tell(f"All {comparison.sections} sections are as planned.")
        for warning in reading.warnings:
            tell(f"note   {warning}")
    if not comparison.as_planned:
        raise typer.Exit(1)
