"""Options that a command for one wall or photo shares with the one for many."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from palette.cli.completing import complete_lights

__all__ = [
    "Alternatives", "AsJson", "Corners", "Depth", "Keep", "LayoutFile", "PaintFile", "PhotoLight",
    "SectionNames", "Seconds", "Size", "Width",
]  # fmt: skip

Width = Annotated[int, typer.Option(help="Width of each picture in pixels, 300 to 8192.")]
SectionNames = Annotated[bool, typer.Option("--names", help="Write section names on the pictures.")]
Alternatives = Annotated[
    int, typer.Option(help="How many schemes to choose from, the best one among them.", min=1)
]
Keep = Annotated[
    int, typer.Option(help="How many aims, from the first, the alternatives reach as well.", min=0)
]
Seconds = Annotated[
    float | None,
    typer.Option(help="Stop improving after so long; the best so far is kept.", show_default=False),
]
PaintFile = Annotated[
    Path | None,
    typer.Option(help="Paint file (TOML); without it sections are grouped by colour."),
]
PhotoLight = Annotated[
    str, typer.Option(help="The light it was taken under.", autocompletion=complete_lights)
]
Corners = Annotated[
    str | None,
    typer.Option(help='Panel corners from top left clockwise, px: "x,y x,y x,y x,y".', show_default=False),
]
Size = Annotated[str | None, typer.Option(help='The panel\'s size: "72 in x 96 in".', show_default=False)]
LayoutFile = Annotated[
    Path | None, typer.Option(help="The panel's layout, if there is one.", show_default=False)
]
Depth = Annotated[bool, typer.Option("--depth", help='Also check "darker toward the top".')]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]
