"""Colours and words of the cans on paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from palette.colour import D65_WHITE, chroma_and_hue, lab_of_xyz
from palette.light import LightKind
from palette.paint import Paint
from palette.preview.tone import screen_colours

__all__ = ["CanLook", "look_of_cans"]

DARK_LIGHTNESS = 55.0
"""Below this L* black lines are lost in a fill, and white ones are drawn."""

# Hue angles of CIELAB where one plain word gives way to the next (common usage, not a standard).
_HUES = ((20, "pink"), (45, "red"), (72, "orange"), (105, "yellow"), (125, "yellow-green"), (180, "green"),
         (235, "turquoise"), (306, "blue"), (330, "violet"), (360, "pink"))  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class CanLook:
    """How a can's paint is shown: hex fills in both lights, pattern ink and plain colour words."""

    number: int
    name: str
    daylight: str
    blacklight: str
    ink: str
    by_day: str
    glows: str


def look_of_cans(paints: Mapping[str, int], shelf: tuple[Paint, ...]) -> Mapping[str, CanLook]:
    """Return the look of every paint by id."""
    return MappingProxyType({paint.id: _look(paint, paints[paint.id]) for paint in shelf})


def _look(paint: Paint, number: int) -> CanLook:
    day, glow = _hex(paint, "daylight"), _hex(paint, "blacklight")
    lightness = float(lab_of_xyz(paint.swatch["daylight"])[0]) if "daylight" in paint.swatch else 100.0
    return CanLook(
        number=number,
        name=paint.id,
        daylight=day,
        blacklight=glow,
        ink="#000000" if lightness >= DARK_LIGHTNESS else "#ffffff",
        by_day=_word(paint, "daylight"),
        glows=_word(paint, "blacklight"),
    )


def _hex(paint: Paint, kind: LightKind) -> str:
    look = paint.swatch.get(kind)
    if look is None:
        return "#ffffff"
    # Fitted as the pictures are, so that a can's chip and the wall agree.
    red, green, blue = screen_colours(look, white=D65_WHITE)
    return f"#{red:02x}{green:02x}{blue:02x}"


def _word(paint: Paint, kind: LightKind) -> str:
    look = paint.swatch.get(kind)
    if look is None:
        return "not known"
    lab = lab_of_xyz(look)
    chroma, hue = (float(value) for value in chroma_and_hue(lab))
    if chroma < 12:
        return "white" if lab[0] > 80 else "grey" if lab[0] > 25 else "black"
    word = next(word for limit, word in _HUES if hue <= limit)
    return f"dark {word}" if lab[0] < 35 else word
