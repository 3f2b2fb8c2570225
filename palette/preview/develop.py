"""From flat colours to a picture with light in it: lamp fall-off, grain, relief, glare."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.eyes import Eye
from palette.light import Light
from palette.preview.glare import Glare, add_glare
from palette.preview.grain import Grain, grain_field
from palette.preview.materials import Materials
from palette.preview.relief import Relief, relief_field

__all__ = [
    "BY_DAY",
    "LIT",
    "PLAIN",
    "Style",
    "by_day",
    "decode_image",
    "develop",
    "encode_linear",
    "usual_style",
]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Style:
    """What a picture shows beside flat colours.

    Parameters
    ----------
    glare : Glare or None
        None draws none.
    grain : Grain or None
        None draws flat fields.
    relief : Relief or None
        None draws no edges.
    lamps : ndarray, shape (H, W), or None
        Irradiance over the panel relative to its mean; None lights it evenly.
    exposure : float
        Brightness of everything, as a camera's.
    materials : Materials
    eye : Eye or None
        The colour-vision deficiency it is seen with.
    """

    glare: Glare | None = None
    grain: Grain | None = None
    relief: Relief | None = None
    lamps: Array | None = None
    exposure: float = 1.0
    materials: Materials = field(default_factory=Materials)
    eye: Eye | None = None

    @property
    def is_flat(self) -> bool:
        """True where the picture is flat fields, drawn as they are."""
        return not (self.glare or self.grain or self.relief) and self.lamps is None


PLAIN = Style()
"""Flat fields: exact colours, for measuring and printing."""


def _washed(rows: int = 60, columns: int = 80) -> Array:
    """Return irradiance of a wall that two floodlights wash from in front of it, shape (60, 80).

    Assumed, for pictures of walls whose lamps nobody told: a third weaker in the far corners.
    """
    down, across = np.linspace(0, 1, rows)[:, None], np.linspace(0, 1, columns)[None, :]
    spots = [np.exp(-(((across - x) / 0.55) ** 2 + ((down - 0.42) / 0.75) ** 2)) for x in (0.27, 0.73)]
    whole = 0.30 + np.asarray(spots[0] + spots[1])
    return np.asarray(whole / whole.mean())


LIT = Style(glare=Glare(), grain=Grain(), relief=Relief(slant=0.3, hollow=0.6), lamps=_washed())
"""As an eye sees it three metres away, in the dark, under two floodlights."""

BY_DAY = Style(relief=Relief())
"""Flat fields with the edges of boards."""


def usual_style(light: Light) -> Style:
    """Return the style a picture under a light has when nobody asks for another.

    By day an eye's glare is hardly seen, and colours are looked up in the picture: fields stay
    exact. In a dark hall glare makes the glow.
    """
    return LIT if light.kind == "blacklight" else BY_DAY


def by_day(style: Style) -> Style:
    """Return what is left of a style by day: the room's light drowns the lamps and the glare.

    Grain stays where it was asked for, that is where it is not the usual one of a dark hall.
    """
    grain = None if style.grain is LIT.grain else style.grain
    return replace(style, glare=None, lamps=None, grain=grain)


def develop(
    image: NDArray[np.uint8],
    mm_per_px: float,
    style: Style,
    *,
    boards: NDArray[np.float32] | None = None,
) -> NDArray[np.uint8]:
    """Return a picture of flat sRGB fields, shape (H, W, 3), as it looks under real lamps.

    Order: the lamps light the film, the film is uneven, its edges fall into the joints, the eye
    scatters what comes back. `boards`, shape (H, W), is 1 where a board is; relief needs it.
    """
    if style.is_flat:
        return image
    linear = decode_image(image)
    height, width = linear.shape[:2]
    uneven = np.ones((height, width), np.float32)
    if style.lamps is not None:
        # An eye gets used to the brighter part of the wall, not to its mean.
        adapted = max(float(np.quantile(style.lamps, _ADAPTED_TO)), 1e-9)
        uneven *= _stretched(style.lamps / adapted, height, width)
    if style.grain is not None:
        uneven *= grain_field(style.grain, height, width, mm_per_px)
    if style.relief is not None and boards is not None:
        uneven *= relief_field(style.relief, boards, mm_per_px)
    linear *= uneven[..., None]
    if style.glare is not None:
        linear = add_glare(linear, mm_per_px, style.glare)
    if style.grain is not None or style.lamps is not None:
        linear = _softened(linear)
    return encode_linear(linear)


_ADAPTED_TO = 0.85
"""The share of the wall that is darker than what the eye takes for fully lit; set by eye."""

_KNEE = 0.85  # linear; set by eye


def _softened(linear: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return light bent toward 1 above the knee, hue kept: unevenness shows in bright fields too."""
    most = np.maximum(np.maximum(linear[..., 0], linear[..., 1]), linear[..., 2])
    room = np.float32(1 - _KNEE)
    bent = 1 - room**2 / (np.maximum(most, np.float32(_KNEE)) - np.float32(_KNEE) + room)
    return linear * np.where(most > _KNEE, bent / np.maximum(most, np.float32(_KNEE)), 1)[..., None]


def decode_image(image: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Return linear sRGB of a picture, shape (H, W, 3)."""
    return _DECODED[image]


def encode_linear(linear: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return a picture of linear sRGB, shape (H, W, 3).

    What is too bright for the screen is dimmed as a whole, so that its hue stays.
    """
    most = np.maximum(np.maximum(linear[..., 0], linear[..., 1]), linear[..., 2])
    scale = np.float32(_FINE) / np.maximum(most, np.float32(1.0))
    return _CODED[(linear * scale[..., None]).astype(np.uint16)]


_FINE = 4095  # steps of the table, finer than 8 bits even at the dark end


def _decoded() -> NDArray[np.float32]:
    # IEC 61966-2-1:1999, for each of the 256 codes.
    coded = np.arange(256) / 255
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    return linear.astype(np.float32)


def _coded() -> NDArray[np.uint8]:
    linear = (np.arange(_FINE + 1) + 0.5) / _FINE
    coded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.round(np.clip(coded, 0, 1) * 255).astype(np.uint8)


_DECODED = _decoded()
_CODED = _coded()


def _stretched(lamps: Array, height: int, width: int) -> NDArray[np.float32]:
    from PIL import Image

    plane = Image.fromarray(np.asarray(lamps, np.float32))
    return np.asarray(plane.resize((width, height), Image.Resampling.BICUBIC)).clip(0).astype(np.float32)
