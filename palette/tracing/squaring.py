"""From four corners to a panel seen square on."""

from __future__ import annotations

import numpy as np

from palette.colour import Array
from palette.errors import InputError
from palette.tracing.photo import Photo, SquaredPhoto

__all__ = [
    "ASSUMED_SIDE_MM",
    "apply_homography",
    "check_corners",
    "proportions",
    "solve_homography",
    "square_photo",
]

WORKING_PX = 1400
"""Longer side of a squared panel: 1.7 mm a pixel on an 8 ft panel, so that a 6 mm gap is still a
line, and fine enough that a sharper photo no longer changes what is found."""

ASSUMED_SIDE_MM = 2438.4
"""8 ft, the longer side of a common board: stands in where nobody gave a size."""

_OUTSIDE = 0.02
"""Of the photo's longer side: corners may lie this far outside it."""


def solve_homography(source: Array, target: Array) -> Array:
    """Return the homography, shape (3, 3) with h33 = 1, that takes four points to four others.

    Parameters
    ----------
    source, target : ndarray, shape (4, 2)

    Raises
    ------
    InputError
        Three of the four points lie on one line.
    """
    source, target = np.asarray(source, float), np.asarray(target, float)
    if min(_least_triangle(source), _least_triangle(target)) < 1e-9:
        mend = "give the panel's four corners, from the top left clockwise"
        raise InputError("corners", "three of the four points lie on one line", mend)
    rows = np.zeros((8, 8))
    for k, ((x, y), (u, v)) in enumerate(zip(source, target, strict=True)):
        rows[2 * k] = [x, y, 1, 0, 0, 0, -u * x, -u * y]
        rows[2 * k + 1] = [0, 0, 0, x, y, 1, -v * x, -v * y]
    return np.append(np.linalg.solve(rows, target.ravel()), 1.0).reshape(3, 3)


def _least_triangle(points: Array) -> float:
    """Return the least area of three of four points, as a part of the square of their extent."""
    extent = float(np.ptp(points, axis=0).max()) or 1.0
    least = np.inf
    for left_out in range(4):
        a, b, c = np.delete(points, left_out, axis=0)
        least = min(least, abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2)
    return float(least) / extent**2


def apply_homography(homography: Array, points: Array) -> Array:
    """Return points, shape (N, 2), taken through a homography."""
    points = np.asarray(points, float)
    taken = np.column_stack([points, np.ones(len(points))]) @ homography.T
    mapped: Array = taken[:, :2] / taken[:, 2:]
    return mapped


def check_corners(corners: Array, photo: Photo, *, where: str) -> None:
    """Raise InputError unless four corners make a sound outline of a panel within the photo."""
    corners = np.asarray(corners, float)
    order = "give the panel's corners from the top left clockwise, in pixels of the upright photo"
    slack = _OUTSIDE * max(photo.width_px, photo.height_px)
    for name, (x, y) in zip(("first", "second", "third", "fourth"), corners, strict=True):
        if not (-slack <= x <= photo.width_px + slack and -slack <= y <= photo.height_px + slack):
            size = f"{photo.width_px} x {photo.height_px} pixels"
            what = f"the {name} corner ({x:g}, {y:g}) lies outside the photo, which has {size}"
            raise InputError(where, what, "correct it, or shoot again with the whole panel in the picture")
    turn = np.roll(corners, -1, axis=0) - corners
    after = np.roll(turn, -1, axis=0)
    cross = turn[:, 0] * after[:, 1] - turn[:, 1] * after[:, 0]
    extent = float(np.ptp(corners, axis=0).max())
    if _least_triangle(corners) < 1e-4:
        raise InputError(where, "three of the four corners lie on one line", order)
    if np.all(cross < 0):
        raise InputError(where, "the corners run counter-clockwise", order)
    if not np.all(cross > 0):
        raise InputError(where, "the lines between the corners cross each other or bend inwards", order)
    area = 0.5 * abs(float(np.sum(corners[:, 0] * np.roll(corners[:, 1], -1)
                                  - corners[:, 1] * np.roll(corners[:, 0], -1))))  # fmt: skip
    if area < 0.01 * photo.width_px * photo.height_px or extent * photo.shrink < 120:
        what = "the panel between the corners is too small to read"
        raise InputError(where, what, "shoot again from nearer, or crop the photo less")


def proportions(corners: Array, photo: Photo) -> float:
    """Return width by height of the rectangle behind four corners.

    Notes
    -----
    For square pixels and a lens that looks at the photo's middle, from the two vanishing points;
    for a panel seen square on, where there are none, from the sides' lengths. Source: Z. Zhang and
    L.-W. He, "Whiteboard scanning and image enhancement", Digital Signal Processing 17 (2007),
    section 4.
    """
    corners = np.asarray(corners, float)
    centred = corners - np.array([photo.width_px, photo.height_px]) / 2
    m1, m2, m4, m3 = (np.append(point, 1.0) for point in centred)
    k2 = np.dot(np.cross(m1, m4), m3) / np.dot(np.cross(m2, m4), m3)
    k3 = np.dot(np.cross(m1, m4), m2) / np.dot(np.cross(m3, m4), m2)
    n2, n3 = k2 * m2 - m1, k3 * m3 - m1
    top, right, bottom, left = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    plain = (top + bottom) / (left + right)
    if abs(n2[2]) < 1e-4 or abs(n3[2]) < 1e-4:
        return float(plain)
    squared_focal = -(n2[0] * n3[0] + n2[1] * n3[1]) / (n2[2] * n3[2])
    longest = max(photo.width_px, photo.height_px)
    if not (0.5 * longest) ** 2 < squared_focal < (8 * longest) ** 2:
        return float(plain)

    def length(n: Array) -> float:
        return float(np.sqrt((n[0] ** 2 + n[1] ** 2) / squared_focal + n[2] ** 2))

    found = length(n2) / length(n3)
    # The formula is shaky for weak perspective: it may correct the sides' lengths, not replace them.
    return float(np.clip(found, 0.75 * plain, 1.35 * plain))


def square_photo(
    photo: Photo,
    corners: Array,
    *,
    size_mm: tuple[float, float] | None = None,
    working_px: int = WORKING_PX,
    where: str = "corners",
) -> SquaredPhoto:
    """Return the panel between four corners, seen square on.

    Parameters
    ----------
    photo : Photo
    corners : ndarray, shape (4, 2)
        From the panel's top left clockwise, in pixels of the upright photo.
    size_mm : (width, height) or None
        When it is None the proportions come from the perspective, and the longer side is taken to
        be `ASSUMED_SIDE_MM`.
    working_px : int
        At most so many pixels along the longer side.
    where : str
        For messages.

    Raises
    ------
    InputError
        As `check_corners` says.
    """
    import cv2

    corners = np.asarray(corners, float)
    check_corners(corners, photo, where=where)
    if size_mm is None:
        ratio = proportions(corners, photo)
        known, (width_mm, height_mm) = False, _of_ratio(ratio)
    else:
        known, (width_mm, height_mm) = True, size_mm
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1) * photo.shrink
    area = (sides[0] + sides[2]) * (sides[1] + sides[3]) / 4
    # As many pixels as the panel has in the photo, shared out by its true proportions.
    per_mm = min(np.sqrt(area / (width_mm * height_mm)), working_px / max(width_mm, height_mm))
    width, height = max(32, round(width_mm * per_mm)), max(32, round(height_mm * per_mm))
    frame = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    to_photo = solve_homography(frame * [width_mm, height_mm], corners)
    # OpenCV counts pixel centres: both ends move by half a pixel.
    move = solve_homography(frame * [width, height] - 0.5, corners * photo.shrink - 0.5)
    source = photo.pixels
    excess = float(np.sqrt(area / (width * height)))
    if excess > 1.3:
        source = np.asarray(cv2.GaussianBlur(source, (0, 0), 0.45 * excess), np.uint8)
    pixels = cv2.warpPerspective(
        source, move, (width, height),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return SquaredPhoto(
        pixels=np.asarray(pixels, np.uint8),
        width_mm=float(width_mm),
        height_mm=float(height_mm),
        size_known=known,
        corners=corners,
        to_photo=to_photo,
    )


def _of_ratio(ratio: float) -> tuple[float, float]:
    if ratio >= 1:
        return ASSUMED_SIDE_MM, ASSUMED_SIDE_MM / ratio
    return ASSUMED_SIDE_MM * ratio, ASSUMED_SIDE_MM
