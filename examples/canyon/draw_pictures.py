"""Draw the pictures that README.md shows, from the demo itself.

Run in the project's folder: ``python examples/canyon/draw_pictures.py``.
"""

import tempfile
from pathlib import Path

import numpy as np
from make_hall import write_hall
from PIL import Image

import palette

HERE = Path(__file__).resolve().parent
STEP = 4
"""Codes are rounded to so many, which hardly shows and keeps each picture below 250 KB."""
FOOT = 0.935
"""Where the foot of a contact sheet begins, as a share of its height."""


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
        save(picture.image, folder / f"{name}.png")


def draw_hall(folder: Path) -> None:
    """Write contact-sheet.png: the twelve walls of a hall by one brief, as ``palette batch`` shows them."""
    with tempfile.TemporaryDirectory() as place:
        walls, out = Path(place) / "walls", Path(place) / "Glow canyon"
        write_hall(walls)
        jobs = palette.list_layouts(
            [walls], HERE / "brief.toml", options=palette.AssignOptions(width_px=800)
        )
        palette.save_batch(palette.run_batch(jobs, out, workers=1))
        with Image.open(out / "contact-sheet.png") as sheet:
            drawn = np.argwhere(np.asarray(sheet.convert("L")) < 250)
            # The margin of the paper is the web page's own; the cautions at its foot stand elsewhere there.
            (top, left), (_, right) = drawn.min(axis=0), drawn.max(axis=0)
            bottom = round(sheet.height * FOOT)
            cut = sheet.crop((left - 10, top - 10, right + 10, bottom))
            small = cut.resize((760, round(760 * cut.height / cut.width)), Image.Resampling.LANCZOS)
    save(np.asarray(small), folder / "contact-sheet.png")


def save(pixels: np.ndarray, path: Path) -> None:
    """Write a picture with its codes rounded."""
    rounded = (pixels // STEP * STEP + pixels // (256 // STEP)).astype(np.uint8)
    Image.fromarray(rounded).save(path, optimize=True)


if __name__ == "__main__":
    draw(HERE / "pictures")
    draw_hall(HERE / "pictures")
