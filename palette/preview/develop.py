"""From flat colours to a picture with light in it: lamp fall-off, grain, glare."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.eyes import Eye
from palette.light import Light
from palette.preview.glare import Glare, add_glare
from palette.preview.grain import Grain, grain_field
from palette.preview.materials import Materials

__all__ = ["LIT", "PLAIN", "Style", "decode_image", "develop", "encode_linear", "usual_style"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Style:
    """What a picture shows beside flat colours.

    Parameters
    ----------
    glare : Glare or None
        None draws none.
    grain : Grain or None
        None draws flat fields.
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
    lamps: Array | None = None
    exposure: float = 1.0
    materials: Materials = field(default_factory=Materials)
    eye: Eye | None = None

    @property
    def is_flat(self) -> bool:
        """True where the picture is flat fields, drawn as they are."""
        return self.glare is None and self.grain is None and self.lamps is None


PLAIN = Style()
"""Flat fields: exact colours, for measuring and printing."""

LIT = Style(glare=Glare())
"""As an eye sees it three metres away."""


def usual_style(light: Light) -> Style:
    """Return the style a picture under a light has when nobody asks for another.

    By day an eye's glare is hardly seen; in a dark hall it makes the glow.
    """
    return LIT if light.kind == "blacklight" else PLAIN


def develop(image: NDArray[np.uint8], mm_per_px: float, style: Style) -> NDArray[np.uint8]:
    """Return a picture of flat sRGB fields, shape (H, W, 3), as it looks under real lamps.

    Order: the lamps light the film, the film is uneven, the eye scatters what comes back.
    """
    if style.is_flat:
        return image
    linear = decode_image(image)
    height, width = linear.shape[:2]
    if style.lamps is not None:
        linear *= _stretched(style.lamps, height, width)[..., None]
    if style.grain is not None:
        linear *= grain_field(style.grain, height, width, mm_per_px)[..., None]
    if style.glare is not None:
        linear = add_glare(linear, mm_per_px, style.glare)
    return encode_linear(linear)


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


_FINE = 4095


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
