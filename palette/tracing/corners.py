"""Where the panel is in the photo, as a proposal that says how sure it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array, lab_of_xyz
from palette.errors import InputError
from palette.tracing.photo import Photo
from palette.tracing.pixels import LINEAR_OF_CODE, XYZ_OF_LINEAR
from palette.tracing.squaring import apply_homography, proportions, solve_homography

__all__ = ["CornerGuess", "find_corners"]

_LOOKED_AT_PX = 800  # longer side of the photo while corners are sought
_BAND = 0.075
"""Of the panel: how far outside its outermost sections the panel's edge is looked for. Margins of
trim and black board are narrower, by common practice."""

_BLOCKS = 48
"""Places along a side at which its edge must show."""

_STEP = 0.16
"""Natural logarithm of light: the wall beside the panel's dark rim is at least so much brighter."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CornerGuess:
    """Four corners of a panel as found on a photo.

    Parameters
    ----------
    corners : ndarray, shape (4, 2)
        From the top left clockwise, in pixels of the upright photo.
    sure : bool
        Whether they can be relied on.
    doubt : str
        If not, why, as a clause.
    """

    corners: Array
    sure: bool
    doubt: str = ""


def find_corners(photo: Photo, *, size_mm: tuple[float, float] | None = None) -> CornerGuess:
    """Return the panel's corners: round all strongly coloured fields, at the edge of the dark rim.

    Parameters
    ----------
    photo : Photo
    size_mm : (float, float) or None
        Width and height of the panel, mm, if known.

    Returns
    -------
    CornerGuess

    Raises
    ------
    InputError
        Nothing in the photo looks like painted sections.
    """
    import cv2

    shrink = min(1.0, _LOOKED_AT_PX / max(photo.pixels.shape[:2]))
    size = (round(photo.pixels.shape[1] * shrink), round(photo.pixels.shape[0] * shrink))
    small = np.asarray(cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA), np.uint8)
    scale = np.array([photo.width_px / small.shape[1], photo.height_px / small.shape[0]])
    hull = _hull_of_fields(small)
    if hull is None:
        what = "no painted panel stands out in the photo"
        raise InputError(photo.source, what, 'give its corners, like --corners "x,y x,y x,y x,y"')
    quad = _quad_round(hull)
    if quad is None:
        left, top = hull.min(axis=0)
        right, bottom = hull.max(axis=0)
        box = np.array([[left, top], [right, top], [right, bottom], [left, bottom]], float)
        return CornerGuess(corners=box * scale, sure=False, doubt="its sides are not straight in the photo")
    corners, doubts = _move_to_edges(small, quad)
    corners = corners * scale
    if np.any(corners < 0) or np.any(corners > [photo.width_px, photo.height_px]):
        doubts.append("a corner lies outside the photo")
    if size_mm is not None:
        ratio = proportions(corners, photo) / (size_mm[0] / size_mm[1])
        if not 0.94 < ratio < 1.06:
            doubts.append("its proportions are not those of the size given")
    return CornerGuess(corners=corners, sure=not doubts, doubt=" and ".join(doubts))


def _hull_of_fields(small: NDArray[np.uint8]) -> Array | None:
    """Return the convex hull of the largest crowd of strongly coloured fields, or None."""
    import cv2

    calm = cv2.medianBlur(small, 5)
    linear = LINEAR_OF_CODE[calm]
    bright = linear.max(axis=2)
    exposure = max(float(np.percentile(bright, 99.5)), 1e-3)
    lab = lab_of_xyz((linear / exposure).astype(float) @ XYZ_OF_LINEAR.T)
    chroma = np.hypot(lab[..., 1], lab[..., 2])
    hue = np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360
    # Timber, brick and skin are all orange and rather weak; a lamp's spill on a wall is violet and
    # dark. Fluorescent paint is neither.
    natural = (hue > 20) & (hue < 100)
    spill = (hue > 285) & (hue < 340)
    strong = (chroma > np.where(natural, 54, 27)) & (bright > np.where(spill, 0.1, 0.035) * exposure)
    strong &= lab[..., 0] > 12
    size = max(small.shape[:2])
    fields = cv2.morphologyEx(strong.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    count, found, figures, _ = cv2.connectedComponentsWithStats(fields, connectivity=4)
    kept = figures[:, cv2.CC_STAT_AREA] > 0.0006 * fields.size
    kept[0] = False
    # What runs along the photo's edge is the room, say a wall in the lamps' violet.
    rim = np.concatenate([found[0], found[-1], found[:, 0], found[:, -1]])
    kept &= np.bincount(rim, minlength=count) < 0.03 * rim.size
    if not kept.any():
        return None
    fields = kept[found].astype(np.uint8)
    reach = max(3, round(0.035 * size)) | 1
    crowd = cv2.dilate(fields, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    _, crowds = cv2.connectedComponents(crowd)
    weight = np.bincount(crowds.ravel(), weights=fields.ravel())
    weight[0] = 0
    fields &= (crowds == int(np.argmax(weight))).astype(np.uint8)
    if np.count_nonzero(fields) < 0.02 * fields.size:
        return None
    points = cv2.findNonZero(fields)
    # Pixel centres lie at .5.
    return np.asarray(cv2.convexHull(points)[:, 0, :], float) + 0.5


def _quad_round(hull: Array) -> Array | None:
    """Return the smallest four-cornered shape round a hull whose sides run along the hull's own.

    Corners from the top left clockwise, or None where no four sides make a plausible rectangle
    seen in perspective.
    """
    import cv2

    length = cv2.arcLength(hull.astype(np.float32), True)
    coarse = cv2.approxPolyDP(hull.astype(np.float32), 0.006 * length, True)[:, 0, :].astype(float)
    ends = np.roll(coarse, -1, axis=0)
    lengths = np.linalg.norm(ends - coarse, axis=1)
    order = np.sort(np.argsort(-lengths, kind="stable")[:14])
    order = order[lengths[order] > 0.03 * length]
    best: tuple[float, Array] | None = None
    for chosen in combinations(order.tolist(), 4):
        corners = _crossings([(coarse[k], ends[k]) for k in chosen], hull)
        if corners is None:
            continue
        area = cv2.contourArea(corners.astype(np.float32))
        if best is None or area < best[0]:
            best = (area, corners)
    return None if best is None else _from_top_left(best[1])


def _crossings(sides: list[tuple[Array, Array]], hull: Array) -> Array | None:
    """Return where four lines cross in turn, moved out until the hull lies inside them."""
    lines = []
    middle = hull.mean(axis=0)
    for a, b in sides:
        normal = np.array([b[1] - a[1], a[0] - b[0]]) / np.linalg.norm(b - a)
        if normal @ (middle - a) > 0:
            normal = -normal
        lines.append((normal, float((hull @ normal).max())))
    corners = []
    for k in range(4):
        (n1, c1), (n2, c2) = lines[k - 1], lines[k]
        matrix = np.array([n1, n2])
        if abs(np.linalg.det(matrix)) < 0.5:  # less than 30 degrees apart
            return None
        corners.append(np.linalg.solve(matrix, [c1, c2]))
    found = np.array(corners)
    turn = np.roll(found, -1, axis=0) - found
    after = np.roll(turn, -1, axis=0)
    cross = turn[:, 0] * after[:, 1] - turn[:, 1] * after[:, 0]
    lengths = np.linalg.norm(turn, axis=1)
    cosines = np.abs((turn * after).sum(axis=1)) / np.maximum(lengths * np.roll(lengths, -1), 1e-9)
    if not (np.all(cross > 0) or np.all(cross < 0)) or cosines.max() > 0.5:
        return None
    if max(lengths[0] / lengths[2], lengths[2] / lengths[0], lengths[1] / lengths[3],
           lengths[3] / lengths[1]) > 2.2:  # fmt: skip
        return None
    return found


def _from_top_left(corners: Array) -> Array:
    """Return corners clockwise as seen, beginning with the one nearest the photo's top left."""
    turn = np.roll(corners, -1, axis=0) - corners
    after = np.roll(turn, -1, axis=0)
    if (turn[:, 0] * after[:, 1] - turn[:, 1] * after[:, 0]).sum() < 0:
        corners = corners[::-1]
    return np.roll(corners, -int(np.argmin(corners.sum(axis=1))), axis=0)


def _move_to_edges(small: NDArray[np.uint8], quad: Array) -> tuple[Array, list[str]]:
    """Return the quad with each side moved out to where the dark rim ends, and what is in doubt."""
    import cv2

    sides = np.linalg.norm(np.roll(quad, -1, axis=0) - quad, axis=1)
    width, height = round((sides[0] + sides[2]) / 2), round((sides[1] + sides[3]) / 2)
    margin = max(6, round(_BAND * max(width, height)))
    frame = np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])
    to_small = solve_homography(frame, quad)
    shift = np.array([[1.0, 0.0, -margin], [0.0, 1.0, -margin], [0.0, 0.0, 1.0]])
    half = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
    move = np.linalg.inv(half) @ to_small @ shift @ half
    wide = cv2.warpPerspective(
        small, move, (width + 2 * margin, height + 2 * margin),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    light = LINEAR_OF_CODE[cv2.GaussianBlur(wide, (0, 0), 1.0)].sum(axis=2) / 3
    bright = float(np.percentile(light[margin:-margin, margin:-margin], 75))
    strips = list(_strips(light, margin))
    found = [_find_edge(strip, margin, bright, None) for strip in strips]
    known = [0.5 * (edge[0] + edge[1]) for edge in found if edge is not None]
    guess = float(np.median(known)) if known else 0.012 * max(width, height)
    if len(known) > 2:
        # A rim is as wide on one side as on the others: what lies far out is a shadow's edge.
        found = [_find_edge(strip, margin, bright, guess) for strip in strips]
    names = ("top", "right", "bottom", "left")
    missing = [name for name, edge in zip(names, found, strict=True) if edge is None]
    top, right, bottom, left = (
        edge if edge is not None else _without_rim(strip, margin, bright, guess)
        for strip, edge in zip(strips, found, strict=True)
    )
    lines = [
        np.array([[0.0, -top[0]], [width, -top[1]]]),
        np.array([[width + right[0], 0.0], [width + right[1], height]]),
        np.array([[width, height + bottom[1]], [0.0, height + bottom[0]]]),
        np.array([[-left[1], height], [-left[0], 0.0]]),
    ]
    corners = np.array([_meet(lines[k - 1], lines[k]) for k in range(4)])
    doubts = []
    if missing:
        doubts.append(_hidden(missing))
    return apply_homography(to_small, corners), doubts


def _hidden(sides: list[str]) -> str:
    if len(sides) == 4:
        return "its edges do not show against the wall"
    if len(sides) == 1:
        return f"its {sides[0]} edge does not show against the wall"
    return f"its {', '.join(sides[:-1])} and {sides[-1]} edges do not show against the wall"


def _strips(light: NDArray[np.float32], margin: int) -> Iterator[NDArray[np.float32]]:
    """Yield the band along each side, outermost row last: top, right, bottom, left.

    Each has 2 margins of rows, the hull's line between them, and runs along x or y.
    """
    inner = slice(margin, -margin)
    yield light[: 2 * margin, inner][::-1]
    yield light[inner, -2 * margin :].T
    yield light[-2 * margin :, inner]
    yield light[inner, : 2 * margin].T[::-1]


def _find_edge(
    strip: NDArray[np.float32], margin: int, bright: float, expected: float | None
) -> tuple[float, float] | None:
    """Return how far outside the hull's line the dark rim ends, at the side's two ends, in px.

    None where no such edge runs along the side, or none near the `expected` distance.
    """
    import cv2

    rows = strip.shape[0]
    blocks = cv2.resize(strip, (_BLOCKS, rows), interpolation=cv2.INTER_AREA)
    veil = 0.004 * bright + 2e-4
    logarithm = np.log(blocks + veil)
    reach = 2
    inside = np.stack([logarithm[k - reach : k].mean(axis=0) for k in range(reach, rows - reach)])
    outside = np.stack([logarithm[k : k + reach].mean(axis=0) for k in range(reach, rows - reach)])
    step = outside - inside
    dark = inside < np.log(0.22 * bright + veil)
    rise = np.where(dark, step, np.minimum(step, 0.0))
    first = margin - reach  # the row of `rise` at the hull's line
    far = rise.shape[0]
    slope = max(2, margin // 2)
    ends = np.array(
        [
            (start, end)
            for start in range(max(0, first - 1), far)
            for end in range(max(0, start - slope, first - 1), min(far, start + slope + 1))
        ]
    )
    share_along = (np.arange(_BLOCKS) + 0.5) / _BLOCKS
    lines = np.round(ends[:, :1] + (ends[:, 1:] - ends[:, :1]) * share_along).astype(int)
    along = rise[lines, np.arange(_BLOCKS)]
    share = np.mean(along > 0.5 * _STEP, axis=1)
    strength = np.median(along, axis=1)
    out = ends.mean(axis=1) - first
    # Near the sections beats far from them: behind the true edge come shadows and skirtings.
    score = share * np.minimum(strength, 0.6) - 0.6 * out / margin
    usable = (share >= 0.7) & (strength >= _STEP)
    if expected is not None:
        usable &= (out > 0.5 * expected - 2) & (out < 1.7 * expected + 2)
    if not usable.any():
        return None
    best = int(np.argmax(np.where(usable, score, -np.inf)))
    return float(ends[best, 0] - first), float(ends[best, 1] - first)


def _without_rim(
    strip: NDArray[np.float32], margin: int, bright: float, guess: float
) -> tuple[float, float]:
    """Return where a side ends that shows no dark rim against the wall.

    Where it is light just outside the sections there is no rim, and they run to the edge; where it
    is dark the rim is as wide as elsewhere.
    """
    beside = np.median(strip[margin + 2 : margin + 5], axis=0)
    out = 0.5 if float(np.mean(beside > 0.1 * bright)) > 0.6 else guess
    return out, out


def _meet(first: Array, second: Array) -> Array:
    """Return where two lines, each of two points, cross."""
    (a, b), (c, d) = first, second
    along = np.column_stack([b - a, c - d])
    share = np.linalg.solve(along, c - a)[0]
    crossing: Array = a + share * (b - a)
    return crossing
