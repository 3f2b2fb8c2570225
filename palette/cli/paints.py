"""``palette paints``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.completing import complete_lights
from palette.cli.showing import print_json, print_table, tell, tell_paint_notes

__all__ = ["register"]

_USUAL_LIGHTS = ["D65", "led-365", "led-395"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("paints")(paints)


def paints(
    file: Annotated[
        Path | None,
        typer.Argument(
            metavar="PAINTS",
            help="A paint file (TOML); palette's own generic paints if left out.",
            show_default=False,
        ),
    ] = None,
    light: Annotated[
        list[str] | None,
        typer.Option(
            help="A light: D65, D50, overcast, A, led-white, led-365, led-385, led-395, led-405, "
            "tube-368; an LED as peak/width in nm (365/12); a mixture (365/12 + 0.02*led-white); or a "
            "lamp file. May be given several times.",
            show_default="D65, led-365, led-395",
            autocompletion=complete_lights,
        ),
    ] = None,
    fitted: Annotated[
        bool,
        typer.Option(
            "--fitted",
            help="Replace each measured matrix with parameters fitted to it, and say them in the JSON.",
        ),
    ] = False,
    card: Annotated[
        Path | None, typer.Option(help="Draw the swatch card into this PNG.", show_default=False)
    ] = None,
    width: Annotated[int, typer.Option(help="Width of the card in pixels, 300 to 8192.")] = 2400,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")] = False,
) -> None:
    """Show every paint in every light: colours, look-alikes, brightness, coats.

    Example: `palette paints examples/canyon/paints.toml --light D65 --light 395/15 --card card.png`
    """
    shelf = palette.generic_paints() if file is None else palette.read_paints(file)
    shelf = palette.fit_paints(shelf) if fitted else shelf
    lights = [palette.light_by_name(word, where="--light") for word in light or _USUAL_LIGHTS]
    study = palette.study_paints(shelf, lights)
    if card is not None:
        written = palette.save_preview(palette.draw_swatch_card(study, width_px=width), card)
    tell_paint_notes(study.paints)
    if json:
        document = palette.study_to_dict(study)
        print_json({**document, "card": str(written)} if card is not None else document, "answer-paints")
        return
    _print_looks(study)
    _print_findings(study)
    if card is not None:
        tell(f"Written: {written}")


def _print_looks(study: palette.SwatchStudy) -> None:
    table = study.appearance
    for column, light in enumerate(table.lights):
        brightness = table.relative_luminance(light)
        rows = [
            (
                paint,
                *(f"{value:.1f}" for value in table.lab[row, column]),
                f"{100 * brightness[row]:.0f} %",
            )
            for row, paint in enumerate(table.paints)
        ]
        print_table(f"Under {light}", ("paint", "L*", "a*", "b*", "of the brightest"), rows)


def _print_findings(study: palette.SwatchStudy) -> None:
    if study.lookalikes:
        tell("Look-alikes:", *(f"  {pair.sentence()}." for pair in study.lookalikes))
    elif len(study.paints) > 1:
        tell("No two paints look alike under any of these lights.")
    rows = [
        (
            advice.paint,
            str(advice.even_from) if advice.even_from else "more than 6",
            str(advice.enough_at) if advice.enough_at else "more than 6",
        )
        for advice in study.advice
    ]
    if rows:
        print_table("Coats over white", ("paint", "even from", "enough at"), rows)
