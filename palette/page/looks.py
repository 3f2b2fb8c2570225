"""What each paint looks like on the screen, under a light, to an eye."""

from __future__ import annotations

from functools import lru_cache

import palette

__all__ = ["colours_under"]


@lru_cache(maxsize=64)
def colours_under(appearance: palette.Appearance, light: str, eye: str = "") -> tuple[str, ...]:
    """Return ``#rrggbb`` of every paint; `eye` is "" for the usual one, else like ``deutan``.

    The same fitting to the screen as in the pictures, so that page and picture agree.
    """
    table = appearance.seen_by(palette.parse_eye(eye, where="eye")) if eye else appearance
    column = table.light_index(light)
    seen = palette.screen_colours(table.xyz[:, column], white=table.white_xyz[column])
    return tuple(f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in seen)
