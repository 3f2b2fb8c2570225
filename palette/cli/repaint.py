"""``palette repaint``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("repaint")(repaint)


def repaint(
    photo: Annotated[
        Path, typer.Argument(help="Photo of the bare or white panel, by day.", show_default=False)
    ],
    scheme: Annotated[Path, typer.Argument(help="A scheme.json.", show_default=False)],
    brief: Annotated[
        Path, typer.Option(help="The brief: layout, paints and lights come from it.", show_default=False)
    ],
    corners: Annotated[
        str,
        typer.Option(help='Panel corners from top left clockwise: "x,y x,y x,y x,y".', show_default=False),
    ],
    out: Annotated[Path, typer.Option(help="Folder for the pictures.", show_default=False)],
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object instead of a line.")] = False,
) -> None:
    """Show a scheme on your own photo of the white panel, under each of the brief's lights.

    Example: `palette repaint white.jpg canyon-out/scheme.json --brief examples/canyon/brief.toml
    --corners "120,80 1010,95 1000,1500 130,1490" --out seen`
    """
    wanted = palette.read_brief(brief)
    picture = palette.read_photo(photo)
    placed = palette.parse_corners(corners, where="--corners")
    chosen = palette.read_scheme(scheme)
    looks = palette.appearance_of(wanted.paints, wanted.lights)
    previews = {
        f"on-photo-{palette.file_name(light.id)}.png":
            palette.repaint_photo(picture, placed, wanted.panel, chosen, looks, light)
        for light in wanted.lights
    }  # fmt: skip
    files = palette.save_previews(previews, out)
    if json:
        print_json({"files": [str(file) for file in files]}, "answer-repaint")
    else:
        tell("Written: " + ", ".join(str(file) for file in files))
