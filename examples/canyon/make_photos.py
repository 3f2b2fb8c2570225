"""Stand-ins for two phone photos of the canyon wall: white.jpg, primed, and painted.jpg, done.

Drawn, not taken: the wall in its proven scheme, with one slab in the wrong paint, or all white, lit
from a window on the left, brushed, seen from the side by a phone whose white balance is a little
off. Beside them corners.txt: the wall's corners in both. Everything here is invented.

Run it from anywhere: ``python examples/canyon/make_photos.py``.
"""

from pathlib import Path

import cv2
import numpy as np
from PIL import Image

import palette

HERE = Path(__file__).resolve().parent
PHOTO_PX = (1400, 1050)
CORNERS = np.array([[172.0, 118.0], [1236.0, 176.0], [1208.0, 936.0], [196.0, 992.0]])
WRONG = ("ledge east", "lintel")  # the first was given the second's paint


def decode(codes: np.ndarray) -> np.ndarray:
    """Return linear light of 8-bit sRGB (IEC 61966-2-1)."""
    value = codes / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def encode(linear: np.ndarray) -> np.ndarray:
    """Return 8-bit sRGB of linear light."""
    value = np.clip(linear, 0, 1)
    steep = 1.055 * np.maximum(value, 1e-9) ** (1 / 2.4) - 0.055
    return np.round(255 * np.where(value <= 0.0031308, 12.92 * value, steep)).astype(np.uint8)


def photograph(face: np.ndarray, seed: int) -> Image.Image:
    """Return a flat panel, linear, shape (H, W, 3), as a phone would see it in the hall."""
    random = np.random.default_rng(seed)
    height, width = face.shape[:2]
    strokes = cv2.GaussianBlur(random.normal(1, 0.2, (height, width)), (0, 0), sigmaX=18, sigmaY=1.6)
    x, y = np.meshgrid(np.linspace(0, 1, width), np.linspace(0, 1, height))
    light = 1.0 / (1 + 0.55 * x**1.5 + 0.15 * (y - 0.4) ** 2)
    lit = (face * (1 + 1.6 * (strokes - 1))[..., None] * light[..., None]).astype(np.float32)
    wide, tall = PHOTO_PX
    rows = np.linspace(0, 1, tall)[:, None, None]
    room = np.broadcast_to(np.where(rows < 0.9, 0.24 - 0.08 * rows, 0.10), (tall, wide, 3)) * [
        1,
        0.97,
        0.92,
    ]
    frame = np.array([[0, 0], [width, 0], [width, height], [0, height]]) - 0.5
    finer = 2
    move = cv2.getPerspectiveTransform(np.float32(frame), np.float32(CORNERS * finer - 0.5))
    size = (wide * finer, tall * finer)
    seen = cv2.resize(cv2.warpPerspective(lit, move, size), PHOTO_PX, interpolation=cv2.INTER_AREA)
    cover = cv2.warpPerspective(np.ones((height, width), np.float32), move, size)
    mask = cv2.resize(cover, PHOTO_PX, interpolation=cv2.INTER_AREA)[..., None]
    image = (seen * mask + room * (1 - mask)) * [1.05, 1.0, 0.93] * 0.85
    image = cv2.GaussianBlur(image, (0, 0), 0.9)
    image = image + random.normal(0, 1, image.shape) * np.sqrt(0.0002 * np.clip(image, 0, None) + 4e-6)
    return Image.fromarray(encode(image))


def main() -> None:
    """Draw and write the photos."""
    brief = palette.read_brief(HERE / "brief.toml")
    outcome = palette.run(brief)
    paint_of = dict(outcome.scheme.paint_of)
    slab, twin = WRONG
    paint_of[slab] = paint_of[twin]
    scheme = palette.Scheme(paint_of=paint_of)
    flat = palette.draw_preview(outcome.survey, scheme, brief.lights[0], width_px=2000).image
    photograph(decode(flat), 1).save(HERE / "painted.jpg", quality=88)
    photograph(np.full(flat.shape, 0.82), 2).save(HERE / "white.jpg", quality=88)
    told = " ".join(f"{x:.0f},{y:.0f}" for x, y in CORNERS)
    (HERE / "corners.txt").write_text(told + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
