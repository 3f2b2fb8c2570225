"""``palette preview``."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.completing import complete_eyes, complete_grounds, complete_views
from palette.cli.showing import print_json, tell, tell_paint_notes

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("preview")(preview)


def preview(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    scheme: Annotated[Path, typer.Argument(help="A scheme.json.", show_default=False)],
    light: Annotated[
        str,
        typer.Option(
            help="One of the brief's lights; both, the first and last side by side; split, the two in "
            "one panel; change, a moving picture from one to the other.",
            autocompletion=complete_views,
        ),
    ] = "both",
    out: Annotated[
        Path | None, typer.Option(help="The picture (PNG); named after the light if left out.")
    ] = None,
    width: Annotated[int, typer.Option(help="Width in pixels, 300 to 8192.")] = 1600,
    names: Annotated[bool, typer.Option("--names", help="Write section names on the picture.")] = False,
    flat: Annotated[
        bool, typer.Option("--flat", help="Exact flat colours: no glare, brushwork, edges or fall-off.")
    ] = False,
    grain: Annotated[
        int | None,
        typer.Option(help="Show brushwork, by day too; the number is its seed.", show_default=False),
    ] = None,
    trim: Annotated[
        str,
        typer.Option(
            help="What trim is: stained, wood, black, grey, white or uv-white.",
            autocompletion=complete_grounds,
        ),
    ] = "stained",
    lamps: Annotated[
        Path | None,
        typer.Option(
            help="A plan file whose lamps light the wall; two assumed floodlights if left out.",
            show_default=False,
        ),
    ] = None,
    eye: Annotated[
        str | None,
        typer.Option(
            help="As a colour-blind eye sees it: protan, deutan or tritan, with a severity if wanted "
            "(deutan/0.6).",
            show_default=False,
            autocompletion=complete_eyes,
        ),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object instead of a line.")] = False,
) -> None:
    """Draw the panel as it will look under a light.

    Example: `palette preview examples/canyon/brief.toml canyon-out/scheme.json --light blacklight`
    """
    outcome = palette.judge(palette.read_brief(brief), palette.read_scheme(scheme))
    tell_paint_notes(outcome.brief.paints)
    style = _style(flat, grain, trim, eye, None if lamps is None else _lit(lamps, outcome.brief.panel))
    out = out or Path(f"{light}.png")
    if light == "change":
        change = palette.draw_change_of(outcome, width_px=width, names=names, style=style)
        file = palette.write_atomically(out, change.to_png())
        height, broad = change.frames[0].shape[:2]
        mm_per_px = outcome.brief.panel.width_mm / broad
    else:
        picture = palette.draw_under(outcome, light, width_px=width, names=names, style=style)
        file = palette.save_preview(picture, out)
        height, broad = picture.image.shape[:2]
        mm_per_px = picture.mm_per_px
    if json:
        print_json({"file": str(file), "light": light, "width_px": broad, "height_px": height,
                    "mm_per_px": mm_per_px}, "answer-preview")  # fmt: skip
    else:
        tell(f"Written: {file}")


def _lit(plan: Path, panel: palette.Panel) -> palette.IrradianceMap:
    """Return what the lamps of a plan file put on the wall."""
    said = palette.read_plan_file(plan)
    if not said.settings.lamps:
        raise palette.InputError(str(plan), "it lists no lamp", "add a [[lamp]] table")
    return palette.map_irradiance(said.settings.lamps, panel.width_mm, panel.height_mm)


def _style(
    flat: bool, grain: int | None, trim: str, eye: str | None, lit: palette.IrradianceMap | None
) -> palette.Style | None:
    """Return the style asked for, or None where each light shall have its usual one."""
    usual = not flat and grain is None and trim == "stained" and eye is None and lit is None
    if usual:
        return None
    base = palette.PLAIN if flat else palette.LIT
    return replace(
        base,
        grain=base.grain if grain is None else palette.Grain(seed=grain),
        lamps=base.lamps if lit is None else lit.relative(),
        materials=palette.Materials(trim=trim),
        eye=None if eye is None else palette.parse_eye(eye, where="--eye"),
    )
