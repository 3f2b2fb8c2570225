"""What the unpainted parts of a panel look like: joints, trim boards, openings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.coating import looks_of
from palette.colour import Array
from palette.light import Light, mix_lights, white_of
from palette.light_words import parse_light
from palette.optics.ground import ground_matrix
from palette.preview.tone import screen_linear
from palette.spectrum import SEEN

__all__ = ["Materials", "materials_linear"]

# An unlit hall is never quite black: blacklights leak some visible violet, and light comes from
# signs and doors. Assumed shares of the blacklight's power, seen on what does not glow; a painted
# section hides them.
_VIOLET_LEAK, _VIOLET_SHARE = "420/40", 0.03
_STRAY, _STRAY_SHARE = "led-white", 0.004

# A joint lies in its own shade and an opening in deeper shade: shares of what the face would send
# back (assumed).
_JOINT, _OPENING = 0.25, 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Materials:
    """The grounds, by name, that joints and trim boards are made of.

    Known are ``black``, ``stained`` (dark stained timber), ``wood``, ``grey``, ``white`` and
    ``uv-white``, a white with brightener that glows.

    Parameters
    ----------
    joint : str
    trim : str
    """

    joint: str = "black"
    trim: str = "stained"


def materials_linear(materials: Materials, light: Light) -> dict[str, Array]:
    """Return linear sRGB of "joint", "trim" and "void" (an opening) under a light, each shape (3,)."""
    lit = light
    if light.kind == "blacklight":
        others = [parse_light(word, where="preview") for word in (_VIOLET_LEAK, _STRAY)]
        shares = [1.0, _VIOLET_SHARE, _STRAY_SHARE]
        mixed = mix_lights([light, *others], shares, name=light.id, where="preview")
        lit = Light(id=light.id, kind="blacklight", spectrum=mixed.spectrum)
    names = (materials.joint, materials.trim, "black")
    xyz = np.stack([looks_of(ground_matrix(name)[SEEN], lit) for name in names])
    joint, trim, black = screen_linear(xyz, white=white_of(lit))
    return {"joint": _JOINT * joint, "trim": trim, "void": _OPENING * black}
