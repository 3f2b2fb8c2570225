"""Pictures made on the spot, as data a browser shows or saves."""

from __future__ import annotations

import base64
import io

import palette

__all__ = ["jpeg_uri", "outcome_of", "picture_png"]


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
    from PIL import Image

    picture = palette.draw_under(outcome, light, width_px=width_px)
    buffer = io.BytesIO()
    Image.fromarray(picture.image).save(buffer, "JPEG", quality=88)
    return "data:image/jpeg;base64," + base64.b64encode(buffer.getvalue()).decode()
