"""``palette preview``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("preview")(preview)


def preview(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    scheme: Annotated[Path, typer.Argument(help="A scheme.json.", show_default=False)],
    light: Annotated[
        str, typer.Option(help="One of the brief's lights, or both.", show_default=False)
    ] = "both",
    out: Annotated[
        Path | None, typer.Option(help="The picture (PNG); named after the light if left out.")
    ] = None,
    width: Annotated[int, typer.Option(help="Width in pixels, 300 to 8192.")] = 1600,
    names: Annotated[bool, typer.Option(help="Write section names on the picture.")] = False,
    json: Annotated[bool, typer.Option(help="Print one JSON object instead of a line.")] = False,
) -> None:
    """Draw the panel as it will look under a light.

    Example: `palette preview examples/canyon/brief.toml canyon-out/scheme.json --light blacklight`
    """
    wanted = palette.read_brief(brief)
    outcome = palette.judge(wanted, palette.read_scheme(scheme))
    picture = palette.draw_under(outcome, light, width_px=width, names=names)
    file = palette.save_preview(picture, out or Path(f"{light}.png"))
    if json:
        height, broad = picture.image.shape[:2]
        print_json({"file": str(file), "light": light, "width_px": broad, "height_px": height,
                    "mm_per_px": picture.mm_per_px})  # fmt: skip
    else:
        tell(f"Written: {file}")
