"""Several schemes on one sheet, each under the first and the last light, with a line about it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.light import Light
from palette.preview.canvas import Preview, load_font, require_width
from palette.preview.develop import usual_style
from palette.preview.looks import draw_preview, draw_side_by_side
from palette.preview.sheet import INK, PAPER
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["draw_contact_sheet"]


def draw_contact_sheet(
    survey: Survey,
    schemes: Sequence[Scheme],
    lights: Sequence[Light],
    captions: Sequence[str],
    *,
    width_px: int = 1600,
) -> Preview:
    """Return the schemes in rows of two, each with its caption below.

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    from PIL import Image, ImageDraw

    require_width(width_px)
    columns = 2 if len(schemes) > 1 else 1
    pad = max(8, width_px // 80)
    cell = (width_px - pad * (columns + 1)) // columns
    ends = (lights[0], lights[-1]) if len(lights) > 1 else (lights[0],)
    pictures = []
    for scheme in schemes:
        looks = [
            draw_preview(
                survey, scheme, light, width_px=max(300, cell // len(ends)), style=usual_style(light)
            )
            for light in ends
        ]
        both = looks[0] if len(looks) == 1 else draw_side_by_side(*looks)
        image = Image.fromarray(both.image)
        pictures.append(image.resize((cell, max(1, round(image.height * cell / image.width)))))
    line = max(14, cell // 34)
    tall = max(picture.height for picture in pictures) + 2 * line + pad
    rows = -(-len(pictures) // columns)
    sheet = Image.new("RGB", (width_px, rows * tall + pad), PAPER)
    pen = ImageDraw.Draw(sheet)
    for number, (picture, caption) in enumerate(zip(pictures, captions, strict=True)):
        x = pad + (number % columns) * (cell + pad)
        y = pad + (number // columns) * tall
        sheet.paste(picture, (x, y))
        font = load_font(line, caption)
        while line > 8 and pen.textlength(caption, font=font) > cell:
            line -= 1
            font = load_font(line, caption)
        pen.text((x, y + picture.height + line // 2), caption, fill=INK, font=font)
    mm_per_px = survey.panel.width_mm * len(ends) / cell
    return Preview(image=np.asarray(sheet), mm_per_px=mm_per_px, light="alternatives")
