"""Two lights in one picture: a split, and the change from one to the other."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.preview.canvas import Preview
from palette.preview.develop import decode_image, encode_linear

__all__ = ["Change", "draw_change", "draw_split"]

_STEPS = 18  # pictures each way; these three are set by eye
_STEP_MS, _HOLD_MS = 90, 1400


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Change:
    """A moving picture from one light to another.

    Parameters
    ----------
    frames : tuple of ndarray of uint8, shape (H, W, 3)
        sRGB.
    milliseconds : tuple of int
        How long each frame stays, ms.
    light : str
        What it shows.
    """

    frames: tuple[NDArray[np.uint8], ...]
    milliseconds: tuple[int, ...]
    light: str

    def to_png(self) -> bytes:
        """Return it as an animated PNG that runs for ever."""
        from PIL import Image

        pictures = [Image.fromarray(frame) for frame in self.frames]
        buffer = io.BytesIO()
        pictures[0].save(
            buffer,
            "PNG",
            save_all=True,
            append_images=pictures[1:],
            duration=list(self.milliseconds),
            loop=0,
        )
        return buffer.getvalue()


def draw_split(left: Preview, right: Preview) -> Preview:
    """Return one panel whose left half shows one light and whose right half the other.

    The cut leans, so that it is not taken for a joint. Both must have the same size and scale.

    Parameters
    ----------
    left : Preview
    right : Preview

    Returns
    -------
    Preview

    Raises
    ------
    ValueError
        The previews differ in size.
    """
    _check_alike(left, right)
    height, width = left.image.shape[:2]
    lean = 0.12 * height
    edge = width / 2 + lean * (0.5 - (np.arange(height) + 0.5) / height)
    column = np.arange(width) + 0.5
    # A line one screen pixel broad at 1600 px separates them, smoothly drawn.
    beyond = np.clip(column[None, :] - edge[:, None] + 0.5, 0.0, 1.0)[..., None]
    line = np.clip(max(1.0, width / 800) / 2 + 0.5 - np.abs(column[None, :] - edge[:, None]), 0.0, 1.0)
    one, other = decode_image(left.image), decode_image(right.image)
    mixed = one + beyond.astype(np.float32) * (other - one)
    mixed += line[..., None].astype(np.float32) * (0.7 - mixed)
    return Preview(
        image=encode_linear(mixed), mm_per_px=left.mm_per_px, light=f"{left.light} / {right.light}"
    )


def draw_change(day: Preview, dark: Preview) -> Change:
    """Return the hall light going out over a panel and coming back.

    Light is added, not colour codes: the room light fades first, and the glow comes up as the eye
    gets used to the dark. Both must have the same size and scale.
    """
    _check_alike(day, dark)
    one, other = decode_image(day.image), decode_image(dark.image)
    going = []
    for step in range(1, _STEPS):
        passed = step / _STEPS
        room, glow = 1 - _eased(passed / 0.75), _eased((passed - 0.15) / 0.85)
        going.append(encode_linear(np.float32(room) * one + np.float32(glow) * other))
    frames = (day.image, *going, dark.image, *reversed(going))
    stays = (_HOLD_MS, *[_STEP_MS] * len(going), _HOLD_MS, *[_STEP_MS] * len(going))
    return Change(frames=frames, milliseconds=stays, light=f"{day.light} to {dark.light}")


def _eased(passed: float) -> float:
    part = min(max(passed, 0.0), 1.0)
    return part * part * (3 - 2 * part)


def _check_alike(one: Preview, other: Preview) -> None:
    if one.image.shape != other.image.shape:
        raise ValueError("the two previews differ in size")
