"""Pictures made on the spot, as data a browser shows or saves."""

from __future__ import annotations

import base64
import io

import palette
from palette.errors import InputError
from palette.page.folder import memory_of
from palette.page.history import Files
from palette.page.photo_reading import open_photo

__all__ = ["jpeg_uri", "outcome_of", "photo_uri", "picture_png"]


def outcome_of(ground: object, paint_of: dict[str, str], verdict: palette.Verdict) -> palette.Outcome:
    """Return the outcome the pictures are drawn from."""
    return palette.Outcome(
        brief=ground.brief,  # type: ignore[attr-defined]
        survey=ground.survey,  # type: ignore[attr-defined]
        scheme=palette.Scheme(paint_of=paint_of),
        verdict=verdict,
    )


def picture_png(outcome: palette.Outcome, light: str, width_px: int, *, names: bool = False) -> bytes:
    """Return a picture as PNG that carries its true size."""
    from PIL import Image

    picture = palette.draw_under(outcome, light, width_px=width_px, names=names)
    buffer = io.BytesIO()
    dpi = 25.4 / picture.mm_per_px
    Image.fromarray(picture.image).save(buffer, "PNG", dpi=(dpi, dpi))
    return buffer.getvalue()


def jpeg_uri(outcome: palette.Outcome, light: str, width_px: int) -> str:
    """Return a picture as a data address: small enough to send to a phone at once."""
    return _as_uri(palette.draw_under(outcome, light, width_px=width_px))


def photo_uri(outcome: palette.Outcome, files: Files, light: str) -> str:
    """Return the project's own photo with the scheme painted on it.

    Raises
    ------
    InputError
        There is no photo, or the wall on it is not bare enough to paint on.
    """
    import numpy as np

    memory = memory_of(files)
    noted = memory.get("photo", {})
    name = str(noted.get("taken", ""))
    if name not in files or "corners" not in memory:
        raise InputError("The photo", "this wall has none", "begin with a photo in step 1")
    known = {each.id: each for each in outcome.brief.lights}
    picture = palette.repaint_photo(
        open_photo(name, files[name]),
        np.array(memory["corners"], float),
        outcome.survey.panel,
        outcome.scheme,
        outcome.survey.appearance,
        known[light],
    )
    return _as_uri(picture)


def _as_uri(picture: palette.Preview) -> str:
    from PIL import Image

    shown = Image.fromarray(picture.image)
    shown.thumbnail((1920, 1920))
    buffer = io.BytesIO()
    shown.save(buffer, "JPEG", quality=88)
    return "data:image/jpeg;base64," + base64.b64encode(buffer.getvalue()).decode()
