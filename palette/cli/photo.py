"""``palette photo``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.options import AsJson, Corners, Depth, LayoutFile, PaintFile, PhotoLight, Size
from palette.cli.showing import print_json, print_table, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("photo")(photo)


def photo(
    photo: Annotated[Path, typer.Argument(help="JPEG, PNG or HEIC.", show_default=False)],
    paints: PaintFile = None,
    light: PhotoLight = "daylight",
    corners: Corners = None,
    size: Size = None,
    labels: Annotated[
        Path | None,
        typer.Option(
            help="Corrections: a label PNG, or an SVG of polygons and clicks.", show_default=False
        ),
    ] = None,
    layout: LayoutFile = None,
    depth: Depth = False,
    out: Annotated[
        Path | None,
        typer.Option(
            help="Folder for the marked photo, the table, JSON and a panel file.", show_default=False
        ),
    ] = None,
    json: AsJson = False,
) -> None:
    """Read a painted panel from a photo and say which neighbours clash.

    Exit code 0: nothing clashes; 1: something does.

    Example: `palette photo wall.jpg --paints paints.toml --light daylight --size "72 in x 96 in"`
    """
    request = palette.PhotoRequest(
        photo=photo,
        light=light,
        paints=paints,
        corners=palette.parse_corners(corners, where="--corners") if corners is not None else None,
        size_mm=palette.parse_size(size, where="--size") if size is not None else None,
        labels=labels,
        layout=layout,
        depth=depth,
    )
    reading, verdict = palette.inspect_photo(request)
    files = palette.save_reading(reading, verdict, out) if out is not None else ()
    if json:
        print_json(palette.photo_to_dict(reading, verdict), "photo")
    else:
        _show(reading, verdict)
        if files:
            tell("Written: " + ", ".join(str(file) for file in files))
    if not verdict.sound:
        raise typer.Exit(1)


def _show(reading: palette.PhotoReading, verdict: palette.PhotoVerdict) -> None:
    rows = [
        (found.id, found.paint or "none of the list", f"{100 * found.confidence:.0f} %")
        for found in reading.findings
    ]
    print_table(reading.photo.source, ("section", "paint", "sure"), rows)
    tell(f"{len(rows)} sections, {len(reading.adjacency.neighbours)} borders.")
    for clash in verdict.clashes:
        told = palette.clash_sentence(reading, clash.a, clash.b, clash.difference, clash.light)
        tell(f"CLASH  {told}.")
    for clash in verdict.possible:
        told = palette.clash_sentence(reading, clash.a, clash.b, clash.difference, clash.light)
        tell(f"maybe  {told}, but hex stops at the screen's limit: write those swatches as [L, a, b].")
    for near in verdict.near_hues:
        angle = f"{near.hue_angle:.0f} degrees of hue apart under {near.light}"
        tell(f"near   {near.a} and {near.b} stand only {angle}.")
    for breach in verdict.depth:
        tell(f"DEPTH  {breach.sentence}")
    if verdict.hatch is not None and verdict.hatch.shows:
        tell("HATCH  The hatch's outline is plainer to see than the other gaps.")
    for warning in reading.warnings:
        tell(f"note   {warning}")
