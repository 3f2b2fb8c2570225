"""Photos from disk."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.errors import InputError
from palette.picture_files import TORN, opened_picture
from palette.reading import no_such_file
from palette.tracing.photo import Photo

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["MOST_MEGAPIXELS", "parse_corners", "read_photo"]

MOST_MEGAPIXELS = 60
"""A larger picture is no phone photo; it is refused before it is unpacked."""

_WORKING_SIDE_PX = 2000  # finer is not looked at
_FORMATS = ("JPEG", "PNG", "HEIF")
_LONGEST_TO_SHORTEST = 20  # no panorama of a wall is longer; judgement
_ORIENTATION = 0x0112
_SHOOT = (
    "shoot again: square on, the whole panel in the picture, exposure locked on its brightest section, "
    "a gray card in a corner"
)


def read_photo(path: str | Path) -> Photo:
    """Return a photo, upright, in sRGB, at a working size.

    JPEG, PNG and HEIC; turned as its EXIF data say, its colours taken from the phone's own colour
    space to sRGB. A picture of 50 megapixels is never held at its full size when it is a JPEG.

    Parameters
    ----------
    path : str or Path

    Returns
    -------
    Photo

    Raises
    ------
    InputError
        It is no photo, damaged, too large, or shows nothing.
    """
    from PIL import Image, UnidentifiedImageError

    path = Path(path)
    _register_heic()
    _refuse_no_file(path)
    try:
        with opened_picture(path, formats=_FORMATS) as opened:
            full = opened.width * opened.height
            if full > MOST_MEGAPIXELS * 1_000_000:
                what = f"it has {full / 1e6:.0f} megapixels, more than the {MOST_MEGAPIXELS} allowed"
                raise InputError(path.name, what, "save a smaller copy")
            if min(opened.size) < 100:
                what = f"it has only {opened.width} x {opened.height} pixels"
                raise InputError(path.name, what, "use the photo as the phone took it")
            if max(opened.size) > _LONGEST_TO_SHORTEST * min(opened.size):
                what = f"it has {opened.width} x {opened.height} pixels, a strip and no photo"
                raise InputError(path.name, what, "use the photo as the phone took it")
            before = opened.size
            factor = max(1, round(max(before) / _WORKING_SIDE_PX))
            opened.draft("RGB", (-(-before[0] // factor), -(-before[1] // factor)))
            left = max(1, round(factor * opened.width / before[0]))
            profile = opened.info.get("icc_profile")
            turn = _turn_of(opened)
            picture = _in_srgb(_as_rgb(opened.reduce(left) if left > 1 else opened), profile)
            picture = picture.transpose(Image.Transpose[turn]) if turn else picture
    except UnidentifiedImageError:
        raise InputError(
            path.name, "this is not a JPEG, PNG or HEIC photo", "save it as one of these"
        ) from None
    except Image.DecompressionBombError:
        what = f"it has far more than the {MOST_MEGAPIXELS} megapixels allowed"
        raise InputError(path.name, what, "save a smaller copy") from None
    except TORN as fault:
        what = f"the file is damaged or cut short ({str(fault)[:80] or 'no more data'})"
        raise InputError(path.name, what, "copy it from the phone once more") from None
    pixels = np.asarray(picture, np.uint8)
    _refuse_blank(pixels, path.name)
    width, height = before[::-1] if turn in _SIDEWAYS else before
    return Photo(pixels=pixels, width_px=width, height_px=height, source=path.name)


def _refuse_no_file(path: Path) -> None:
    try:
        if not path.exists():
            raise no_such_file(path)
        if path.is_dir():
            raise InputError(str(path), "this is a folder", "name the photo inside it")
        # A device or a pipe may never end, or never begin.
        if not path.is_file():
            raise InputError(str(path), "this is no ordinary file", "name a photo on the disk")
    except OSError as fault:
        what = f"the file cannot be read ({fault.strerror})"
        raise InputError(str(path), what, "check its name and that you may read it") from None


def _register_heic() -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()


def _as_rgb(picture: Image) -> Image:
    """Return a picture in 8-bit RGB, what is transparent in it white."""
    from PIL import Image

    if picture.mode == "RGB":
        return picture.copy()
    if picture.mode.startswith("I;16") or picture.mode == "I":
        grey = (np.asarray(picture, np.int64) >> 8).clip(0, 255).astype(np.uint8)
        return Image.fromarray(grey).convert("RGB")
    if "A" in picture.mode or "transparency" in picture.info:
        layer = picture.convert("RGBA")
        ground = Image.new("RGBA", layer.size, "white")
        return Image.alpha_composite(ground, layer).convert("RGB")
    return picture.convert("RGB")


# CIPA DC-008 (Exif), "Orientation": 1 is upright, the others by what turns them back, in Pillow's words.
_TURNS = {2: "FLIP_LEFT_RIGHT", 3: "ROTATE_180", 4: "FLIP_TOP_BOTTOM", 5: "TRANSPOSE", 6: "ROTATE_270",
          7: "TRANSVERSE", 8: "ROTATE_90"}  # fmt: skip
_SIDEWAYS = ("TRANSPOSE", "ROTATE_270", "TRANSVERSE", "ROTATE_90")


def _turn_of(opened: Image) -> str:
    """Return how the picture is turned upright, by the orientation its phone noted in EXIF."""
    try:
        noted = opened.getexif().get(_ORIENTATION, 1)
    except Exception:  # noqa: BLE001 - notes so torn that Pillow stumbles: as it stands is the best guess
        return ""
    return _TURNS.get(noted, "")


def _in_srgb(picture: Image, profile: bytes | None) -> Image:
    """Return a picture taken from its own colour space to sRGB; phones use a wider one."""
    import io

    from PIL import ImageCms

    if profile:
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            if "sRGB" not in ImageCms.getProfileDescription(own):
                converted = ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"))
                picture = converted if converted is not None else picture
        except ImageCms.PyCMSError:
            # A broken profile: the colours as they stand are the best guess.
            pass
    return picture


def _refuse_blank(pixels: NDArray[np.uint8], name: str) -> None:
    brightest = pixels.max(axis=2)
    if np.percentile(brightest, 99.7) < 16:
        raise InputError(name, "the photo is black: nothing can be read in it", _SHOOT)
    if np.percentile(pixels.min(axis=2), 15) > 250:
        raise InputError(name, "the photo is blown out: nearly all of it is white", _SHOOT)


def parse_corners(text: str, *, where: str = "corners") -> Array:
    """Return four corners from ``x,y x,y x,y x,y``.

    Parameters
    ----------
    text : str
    where : str
        For messages.

    Returns
    -------
    ndarray, shape (4, 2)
        Pixels.

    Raises
    ------
    InputError
        The text is not four pairs of numbers.
    """
    mend = 'write four corners from the top left clockwise, like "120,80 1010,95 1000,1500 130,1490"'
    try:
        found = np.array([[float(v) for v in pair.split(",")] for pair in text.split()])
    except ValueError:
        raise InputError(where, f'"{text}" is not four corners', mend) from None
    if found.shape != (4, 2) or not np.all(np.isfinite(found)):
        raise InputError(where, f'"{text}" is not four corners', mend)
    return found
