"""Draw the pictures that README.md shows, from the demo itself.

Run in the project's folder: ``python examples/canyon/draw_pictures.py``.
"""

from pathlib import Path

import numpy as np
from PIL import Image

import palette

HERE = Path(__file__).resolve().parent
STEP = 4
"""Codes are rounded to so many, which hardly shows and keeps each picture below 250 KB."""


def draw(folder: Path) -> None:
    """Write both.png, neighbours.png and swatch-card.png."""
    outcome = palette.run(palette.read_brief(HERE / "brief.toml"))
    study = palette.study_paints(
        palette.read_paints(HERE / "paints.toml"),
        [palette.light_by_name(word, where="README") for word in ("D65", "led-365", "led-395")],
    )
    survey = outcome.survey
    pictures = {
        "both": palette.draw_under(outcome, "both", width_px=1400),
        "neighbours": palette.draw_neighbours(
            survey.panel, survey.adjacency, survey=survey, scheme=outcome.scheme, width_px=1100
        ),
        "swatch-card": palette.draw_swatch_card(study, width_px=1400),
    }
    folder.mkdir(exist_ok=True)
    for name, picture in pictures.items():
        rounded = (picture.image // STEP * STEP + picture.image // (256 // STEP)).astype(np.uint8)
        Image.fromarray(rounded).save(folder / f"{name}.png", optimize=True)


if __name__ == "__main__":
    draw(HERE / "pictures")
