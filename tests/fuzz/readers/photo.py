"""Photos as phones make them, up to upright pixels."""

from __future__ import annotations

import io
from collections.abc import Iterator

import numpy as np
from PIL import Image

from fuzz.desk import lay
from fuzz.pictures import blank_png, png, stones
from fuzz.pictures import mutate_picture as mutate
from palette import read_photo

__all__ = ["WORDS", "heavy", "mutate", "seeds", "target"]

WORDS = ("Exif", "ICC_PROFILE", "JFIF", "\xff\xd8", "\xff\xc0", "\xff\xda", "ftypheic", "meta", "ispe")


def target(data: bytes) -> object:
    """Read a photo, whatever its name says it is."""
    photo = read_photo(lay("photo.jpg", data))
    height, width, channels = photo.pixels.shape
    assert channels == 3
    assert photo.pixels.dtype == np.uint8
    assert min(height, width) >= 1
    assert photo.width_px >= 100
    assert photo.height_px >= 100
    # Turned, not stretched: the working picture has the shape of the whole one.
    assert abs(width / height * photo.height_px / photo.width_px - 1) < 0.05
    return photo


def _scene() -> np.ndarray:
    wall = np.full((110, 120, 3), 120, np.uint8)
    stone = stones(5, 5)
    wall[12 : 12 + stone.shape[0], 20 : 20 + stone.shape[1]] = stone
    return wall


def _saved(kind: str, **how: object) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(_scene()).save(buffer, kind, **how)
    return buffer.getvalue()


def seeds() -> list[bytes]:
    """Return one photo in each kind that is read, some turned, some with a colour space of their own."""
    from PIL import ImageCms
    from pillow_heif import register_heif_opener

    register_heif_opener()
    exif = Image.Exif()
    exif[0x0112] = 6
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    return [
        _saved("JPEG", quality=60, exif=exif),
        _saved("JPEG", quality=30, progressive=True),
        _saved("JPEG", quality=30, icc_profile=profile),
        _saved("HEIF", quality=40),
        png(_scene()),
        png(np.dstack([_scene(), np.full((110, 120), 90, np.uint8)])),
        png(_scene()[..., 0].astype(np.uint16) * 250),
    ]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield photos that are too much in one way each."""
    large = np.random.default_rng(0).integers(0, 255, (600, 800, 3), np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(large).resize((8000, 6000)).save(buffer, "JPEG", quality=70)
    yield "48 megapixels, JPEG", buffer.getvalue()
    yield "49 megapixels, PNG", png(np.resize(large, (7000, 7000, 3)))
    yield "90 megapixels, PNG", png(np.full((9000, 10_000), 9, np.uint8))
    yield "3,600 megapixels, one bit each", blank_png(60_000, 60_000)
    yield "49 megapixels, one bit each", blank_png(7000, 7000)
    yield "one line of 1,000,000 pixels", png(np.full((100, 1_000_000), 9, np.uint8))
