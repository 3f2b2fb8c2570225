"""``palette swatches``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("swatches")(swatches)


def swatches(
    daylight: Annotated[
        Path, typer.Argument(help="Photo of the swatch board in daylight.", show_default=False)
    ],
    corners: Annotated[
        str,
        typer.Option(help='Board corners from top left clockwise: "x,y x,y x,y x,y".', show_default=False),
    ],
    names: Annotated[
        str,
        typer.Option(
            help='Row by row, commas between; the card is "gray card" or "white card".', show_default=False
        ),
    ],
    out: Annotated[Path, typer.Option(help="The paint file to write (TOML).", show_default=False)],
    blacklight: Annotated[
        Path | None, typer.Option(help="The same board under the lamps.", show_default=False)
    ] = None,
    blacklight_corners: Annotated[
        str | None, typer.Option(help="Its corners there, if they differ.", show_default=False)
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of sentences.")
    ] = False,
) -> None:
    """Make a paint file from photos of painted swatches with a gray or white card among them.

    Example: `palette swatches board.jpg --corners "80,60 1500,70 1490,1120 90,1110"
    --names "moss, coral, gray card" --blacklight glow.jpg --out paints.toml`
    """
    lit = blacklight_corners
    reading = palette.read_swatches(
        palette.read_photo(daylight),
        palette.parse_corners(corners, where="--corners"),
        [name.strip() for name in names.split(",")],
        blacklight=palette.read_photo(blacklight) if blacklight is not None else None,
        blacklight_corners=palette.parse_corners(lit, where="--blacklight-corners")
        if lit is not None
        else None,
    )
    file = palette.write_atomically(out, palette.swatches_to_toml(reading).encode())
    if json:
        document = {"file": str(file), "paints": list(reading.names), "warnings": list(reading.warnings)}
        print_json(document, "answer-swatches")
    else:
        tell(f"{len(reading.names)} paints written: {file}")
        for warning in reading.warnings:
            tell(f"note   {warning}")
