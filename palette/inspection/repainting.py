"""A scheme shown on a photo of the bare or white panel, its shading and texture kept."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.appearance import Appearance
from palette.colour import Array, encode_srgb
from palette.errors import InputError
from palette.inspection.reading import listed_colours
from palette.light import Light
from palette.panel import Panel
from palette.preview import Preview
from palette.scheme import Scheme
from palette.tracing import Photo, solve_homography
from palette.tracing.pixels import LINEAR_OF_CODE
from palette.tracing.squaring import check_corners

__all__ = ["repaint_photo"]

_MAP_PX = 2400  # longer side of the flat paint map that is laid into the photo
_BLACK = 0.035  # reflectance of matt black joints, common practice
_TRIM = 0.8  # reflectance of white trim, common practice
_ROOM_AT_NIGHT = 0.02  # what stray lamp light leaves of the room, by eye
_GLOW = 0.8  # exposure of the glow, so that its strongest colours keep their texture
_SPILL = np.array([0.30, 0.04, 0.95])  # violet of a blacklight lamp's visible spill, by eye
_SHOULDER = 0.55  # linear, where bright paint begins to be held back


def repaint_photo(
    photo: Photo,
    corners: Array,
    panel: Panel,
    scheme: Scheme,
    appearance: Appearance,
    light: Light,
) -> Preview:
    """Return the photo with the scheme painted on its panel.

    Parameters
    ----------
    photo : Photo
        Of the bare, primed or white panel, in daylight.
    corners : ndarray, shape (4, 2)
        From the panel's top left clockwise, in pixels of the upright photo.
    panel : Panel
    scheme : Scheme
        Complete for the panel.
    appearance : Appearance
        Of the paints under `light`.
    light : Light
        In daylight the photo's own light falls on the paint; under lamps the room is dark, the
        paint glows, and of the photo only the panel's texture stays.

    Returns
    -------
    Preview

    Raises
    ------
    InputError
        The corners are unsound, the panel in the photo is not light and plain, or the scheme lacks a
        section or a paint.
    """
    check_corners(corners, photo, where="--corners")
    paint_map, cover = _flat_map(panel, scheme, appearance, light)
    laid, mask = _lay_into(photo, corners, panel, paint_map, cover)
    linear = LINEAR_OF_CODE[photo.pixels].astype(np.float32)
    shade, white = _shading(linear, mask[..., 0], photo)
    if light.kind == "daylight":
        painted = laid * shade[..., None] * (white / white.mean())
        painted = painted * float(white.mean()) / 0.85
        scene = linear
    else:
        import cv2

        # Lamps light the wall anew: the photo's slow shading goes, its texture stays.
        smooth = cv2.GaussianBlur(shade, (0, 0), 0.03 * max(shade.shape))
        texture = np.clip(shade / np.maximum(smooth, 1e-3), 0.6, 1.4)
        painted = laid * (_GLOW * texture[..., None])
        grey = linear.mean(axis=2, keepdims=True)
        scene = (_ROOM_AT_NIGHT * grey * _SPILL * 3.0).astype(np.float32)
    whole = scene * (1 - mask) + _held_back(painted) * mask
    side = float(np.linalg.norm(corners[1] - corners[0])) * photo.shrink
    return Preview(image=encode_srgb(whole), mm_per_px=panel.width_mm / side, light=light.id)


def _flat_map(
    panel: Panel, scheme: Scheme, appearance: Appearance, light: Light
) -> tuple[NDArray[np.float32], float]:
    """Return linear sRGB of the flat painted panel, shape (H, W, 3), and its pixels per mm."""
    import cv2

    missing = [section.id for section in panel.sections if section.id not in scheme.paint_of]
    if missing:
        raise InputError("scheme", f'the section "{missing[0]}" has no paint', "add it to paint_of")
    place = {paint: k for k, paint in enumerate(appearance.paints)}
    unknown = [paint for paint in scheme.paint_of.values() if paint not in place]
    if unknown:
        raise InputError(
            "scheme", f'the paint list has no "{unknown[0]}"', "give the list it was made with"
        )
    listed = listed_colours(appearance, light)
    per_mm = _MAP_PX / max(panel.width_mm, panel.height_mm)
    shape = (round(panel.height_mm * per_mm), round(panel.width_mm * per_mm))
    day = light.kind == "daylight"
    flat = np.empty((*shape, 3), np.float32)
    flat[:] = _BLACK if day else 0.002

    def fill(outline: object, colour: Array | float) -> None:
        rings = [outline.exterior, *outline.interiors]  # type: ignore[attr-defined]
        points = [
            np.round((np.asarray(ring.coords)[:, :2] * per_mm - 0.5) * 16).astype(np.int32)
            for ring in rings
        ]
        value = np.broadcast_to(np.asarray(colour, float), 3)
        cv2.fillPoly(flat, points, tuple(value.tolist()), cv2.LINE_AA, 4)

    for feature in panel.features:
        board = _TRIM if day else 0.02 * _SPILL
        fill(feature.outline, board if feature.role == "trim" else 0.0)
    for section in panel.sections:
        fill(section.outline, np.maximum(listed[place[scheme.paint_of[section.id]]], 0.0))
    return flat, per_mm


def _lay_into(
    photo: Photo, corners: Array, panel: Panel, flat: NDArray[np.float32], per_mm: float
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the map as the camera sees it and where it covers the photo, 0 to 1, smooth-edged."""
    import cv2

    height, width = photo.pixels.shape[:2]
    frame = np.array(
        [[0.0, 0.0], [panel.width_mm, 0.0], [panel.width_mm, panel.height_mm], [0.0, panel.height_mm]]
    )
    # Twice as fine, then averaged, so that slanted joints are smooth.
    finer = 2
    move = solve_homography(frame * per_mm - 0.5, corners * photo.shrink * finer - 0.5)
    size = (width * finer, height * finer)
    laid = cv2.warpPerspective(flat, move, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    cover = cv2.warpPerspective(np.ones(flat.shape[:2], np.float32), move, size, flags=cv2.INTER_LINEAR)
    small = (width, height)
    mask = cv2.resize(cover, small, interpolation=cv2.INTER_AREA)
    picture = cv2.resize(laid, small, interpolation=cv2.INTER_AREA)
    return np.asarray(picture, np.float32), np.asarray(mask, np.float32)[..., None]


def _shading(
    linear: NDArray[np.float32], mask: NDArray[np.float32], photo: Photo
) -> tuple[NDArray[np.float32], Array]:
    """Return light on the panel, its 90th percentile 1, shape (H, W), and the white's linear sRGB."""
    inside = linear[mask > 0.99]
    if not inside.size:
        raise InputError(photo.source, "the panel covers nothing of the photo", "correct the corners")
    amount = inside.mean(axis=1)
    high = float(np.percentile(amount, 90))
    white = np.asarray(np.median(inside[amount > np.percentile(amount, 60)], axis=0), float)
    mend = "photograph it primed or painted white, in even daylight"
    if high < 0.03:
        raise InputError(photo.source, "the panel is too dark to repaint", mend)
    colourful = (inside.max(axis=1) - inside.min(axis=1)) > 0.55 * inside.max(axis=1)
    if float(np.mean(colourful)) > 0.4:
        raise InputError(photo.source, "the panel is already painted in colours", mend)
    return np.asarray(linear.mean(axis=2) / high, np.float32), white


def _held_back(linear: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return light whose highlights bend off below the screen's white instead of breaking off.

    A colour bends as a whole, by its strongest channel, so that orange does not turn yellow.
    """
    top = np.maximum(linear.max(axis=2, keepdims=True), 1e-6)
    room = 1.0 - _SHOULDER
    over = np.maximum(top - _SHOULDER, 0.0) / room
    # Slow enough that brush strokes still show in paint twice as bright as white.
    bent = np.minimum(top, _SHOULDER) + room * over / (1.0 + over)
    held: NDArray[np.float32] = (linear * (bent / top)).astype(np.float32)
    return held
