"""``palette lamps``."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.showing import print_json, print_table, tell

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("lamps")(lamps)


def lamps(
    layout: Annotated[Path, typer.Argument(help="The panel's layout file.", show_default=False)],
    settings: Annotated[
        Path, typer.Option("--plan", help="The plan file with the lamps.", show_default=False)
    ],
    mean: Annotated[
        float | None,
        typer.Option(
            help="Wanted mean on the wall, µW/cm²; as in the plan file, else 100.",
            min=0.1,
            show_default=False,
        ),
    ] = None,
    evenness: Annotated[
        float | None,
        typer.Option(
            help="Wanted least over mean; as in the plan file, else 0.4.",
            min=0.0,
            max=0.95,
            show_default=False,
        ),
    ] = None,
    most: Annotated[
        int | None,
        typer.Option(
            help="Lamps at most; as in the plan file, else 12.", min=1, max=60, show_default=False
        ),
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print one JSON object instead of the table.")
    ] = False,
) -> None:
    """Find how many lamps like the plan file's first one are needed, and where to hang them.

    They hang above the panel, and below it too where the plan file's [wanted_light] says how far.
    With it stands what the light means at the visitor's and the painter's place, beside the limits
    of ICNIRP 2004: an estimate.

    Exit code 1: that many lamps cannot give the wanted light; the best there is is shown.

    Example: `palette lamps examples/canyon/wall.svg --plan examples/canyon/plan.toml --mean 80`
    """
    panel = palette.read_layout(layout)
    said = palette.read_plan_file(settings)
    if not said.settings.lamps:
        faults = [fault for fault in said.left_out if "lamp" in fault.where]
        if faults:
            raise faults[0]
        raise palette.InputError(str(settings), "it lists no lamp", "add a [[lamp]] table")
    wish = said.settings.lamp_wish or palette.LampWish(mean_w_m2=1.0, evenness=0.4, most=12)
    wish = replace(
        wish,
        mean_w_m2=wish.mean_w_m2 if mean is None else mean / 100,
        evenness=wish.evenness if evenness is None else evenness,
        most=wish.most if most is None else most,
    )
    found = palette.place_lamps(said.settings.lamps[0], wish, panel.width_mm, panel.height_mm)
    exposures = palette.expose_people(panel, found.lamps, said.settings.people)
    if json:
        document = {
            "reached": found.reached, "mean_uw_cm2": found.mean_w_m2 * 100, "evenness": found.evenness,
            "lamps": [
                {"name": lamp.id, "x_mm": lamp.x_mm, "y_mm": lamp.y_mm, "out_mm": lamp.out_mm,
                 "aim_x_mm": lamp.aim_x_mm, "aim_y_mm": lamp.aim_y_mm}
                for lamp in found.lamps
            ],
            "people": [
                {"place": each.place, "uva_uw_cm2": each.uva_w_m2 * 100, "eye_limit_s": each.eye_s,
                 "skin_limit_s": each.skin_s}
                for each in exposures
            ],
        }  # fmt: skip
        print_json(document, "answer-lamps")
    else:
        rows = [
            (lamp.id, *(f"{value:.0f}" for value in (lamp.x_mm, lamp.y_mm, lamp.out_mm, lamp.aim_y_mm)))
            for lamp in found.lamps
        ]
        heads = ("lamp", "from the left mm", "down from the top mm", "before the wall mm", "aimed down mm")
        print_table(f"{panel.name}: {len(found.lamps)} lamps", heads, rows)
        tell(
            f"Mean {found.mean_w_m2 * 100:.0f} µW/cm², evenness {found.evenness:.2f}: "
            + ("as wanted." if found.reached else "less than wanted; allow more lamps or stronger ones."),
            *(palette.exposure_words(each) for each in exposures),
            *filter(None, [palette.violet_words(found.lamps)]),
            "An estimate: keep eyes off the lamps; the lamp's own data and local rules decide.",
        )
    if not found.reached:
        raise typer.Exit(1)
