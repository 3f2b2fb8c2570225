"""Rendered photos of painted panels with exact truth.

A plain renderer, independent of the code it tests: cells that tile the panel (rectangles in
courses, or Voronoi cells), shrunk by gap and trim, are painted, lit by a smooth uneven light,
dirtied (brush strokes, grain lines, knots, gloss spots, drips, hard shadows) and photographed
(perspective, lens distortion, white balance, blur, shot and read noise, a highlight shoulder,
sRGB, JPEG). Paints are invented; all other choices are common practice or guesses.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field

import cv2
import numpy as np
import shapely
from PIL import Image
from scipy.spatial import Voronoi
from shapely import Polygon, box

TEXTURE_MM_PER_PX = 1.6

# Linear sRGB in daylight and under the lamps, invented to behave like fluorescent paints do:
# beyond the screen's gamut by day, alike in places under the lamps.
PAINTS = {
    "lemon": ((0.85, 1.15, -0.03), (-0.20, 0.75, 0.01)),
    "lime": ((0.10, 0.95, 0.05), (-0.28, 0.55, 0.05)),
    "moss": ((-0.10, 0.35, 0.08), (-0.09, 0.17, 0.02)),
    "teal": ((-0.15, 0.40, 0.45), (-0.10, 0.22, 0.20)),
    "cobalt": ((0.02, 0.09, 0.70), (-0.02, 0.01, 0.50)),
    "violet": ((0.17, 0.03, 0.50), (0.19, -0.02, 0.36)),
    "magenta": ((0.90, 0.04, 0.50), (0.45, 0.00, 0.20)),
    "rose": ((1.20, 0.22, 0.42), (0.62, 0.03, 0.06)),
    "flame": ((1.60, 0.10, 0.02), (0.85, 0.03, -0.02)),
    "tangerine": ((1.85, 0.42, -0.01), (0.95, 0.22, -0.04)),
    "sun": ((1.40, 0.85, -0.05), (0.55, 0.50, -0.07)),
}


@dataclass(frozen=True, kw_only=True)
class Faults:
    """What is wrong with a photo, each from 0 (nothing) up."""

    light_ratio: float = 1.6
    balance: float = 0.08
    noise: float = 1.0
    blur_px: float = 0.8
    grain: bool = True
    gloss: int = 0
    drips: int = 0
    distortion: float = 0.0
    shadow: bool = False
    turn_degrees: float = 12.0


@dataclass(frozen=True, kw_only=True)
class Scene:
    """A photo, uint8 sRGB, and the truth about it."""

    photo: np.ndarray
    corners: np.ndarray
    size_mm: tuple[float, float]
    light: str
    sections: list[Polygon]
    paints: list[str]
    outlines_px: list[np.ndarray]
    neighbours: set[tuple[int, int]]
    borderline: set[tuple[int, int]] = field(default_factory=set)


def _courses(width: float, height: float, random: np.random.Generator) -> list[Polygon]:
    cells, y = [], 0.0
    while y < height - 1:
        step = random.uniform(0.12, 0.22) * max(width, height)
        bottom = height if height - y - step < 0.1 * max(width, height) else y + step
        x = 0.0
        while x < width - 1:
            across = random.uniform(0.16, 0.36) * max(width, height)
            right = width if width - x - across < 0.12 * max(width, height) else x + across
            cells.append(box(x, y, right, bottom))
            x = right
        y = bottom
    return cells


def _stones(width: float, height: float, count: int, random: np.random.Generator) -> list[Polygon]:
    points = np.column_stack([random.uniform(0, width, count), random.uniform(0, height, count)])
    frame = box(0, 0, width, height)
    for _ in range(6):  # Lloyd's relaxation: stones of like size
        cells = _voronoi(points, frame)
        points = np.array([cell.centroid.coords[0] for cell in cells])
    return _voronoi(points, frame)


def _voronoi(points: np.ndarray, frame: Polygon) -> list[Polygon]:
    width, height = frame.bounds[2:]
    mirrored = [points]
    for axis, wall in ((0, 0.0), (0, width), (1, 0.0), (1, height)):
        other = points.copy()
        other[:, axis] = 2 * wall - other[:, axis]
        mirrored.append(other)
    diagram = Voronoi(np.vstack(mirrored))
    regions = [diagram.regions[diagram.point_region[k]] for k in range(len(points))]
    return [Polygon(diagram.vertices[region]).intersection(frame) for region in regions]


def _truth_of_neighbours(
    cells: list[Polygon], band: float
) -> tuple[set[tuple[int, int]], set[tuple[int, int]]]:
    """Return sure and doubtful pairs by the length of the cells' common border, mm."""
    sure, doubtful = set(), set()
    for a in range(len(cells)):
        for b in range(a + 1, len(cells)):
            common = cells[a].intersection(cells[b]).length
            if common > 55 + 1.4 * band:
                sure.add((a, b))
            elif cells[a].distance(cells[b]) < 1.6 * band + 10:
                doubtful.add((a, b))
    return sure, doubtful


def _fill(target: np.ndarray, polygon: Polygon, colour: np.ndarray | float) -> None:
    points = np.asarray(polygon.exterior.coords) / TEXTURE_MM_PER_PX
    value = tuple(np.atleast_1d(np.asarray(colour, float)).tolist())
    cv2.fillPoly(target, [np.round(points * 16).astype(np.int32)], value, cv2.LINE_AA, 4)


def _grain(texture: np.ndarray, polygon: Polygon, random: np.random.Generator) -> None:
    left, top, right, bottom = (v / TEXTURE_MM_PER_PX for v in polygon.buffer(-8).bounds)
    shade = np.ones(texture.shape[:2], np.float32)
    for y in np.arange(top + random.uniform(8, 25), bottom - 5, random.uniform(28, 45)):
        x = np.arange(left, right, 4.0)
        line = y + 4 * np.sin(x / random.uniform(40, 90) + random.uniform(0, 6))
        pieces = np.split(np.column_stack([x, line]), random.integers(1, max(2, len(x)), 3))
        for piece in pieces:
            if len(piece) > 3 and random.random() < 0.75:
                points = [np.round(piece * 16).astype(np.int32)]
                cv2.polylines(shade, points, False, random.uniform(0.3, 0.6), 1, cv2.LINE_AA, 4)
    if random.random() < 0.5:
        x, y = random.uniform(left, right), random.uniform(top, bottom)
        for radius in (4, 9, 14):
            centre = (round(x), round(y))
            cv2.ellipse(shade, centre, (radius + 4, radius), 0, 0, 360, 0.45, 1, cv2.LINE_AA)
    inside = np.zeros(texture.shape[:2], np.float32)
    _fill(inside, polygon.buffer(-5), 1.0)
    texture *= (1 - inside * (1 - shade))[..., None]


def _smooth_light(shape: tuple[int, int], ratio: float, random: np.random.Generator) -> np.ndarray:
    rows, columns = np.mgrid[-1 : 1 : shape[0] * 1j, -1 : 1 : shape[1] * 1j]
    x, y = random.uniform(-1.2, 1.2, 2)
    far = 1 / (1 + random.uniform(0.4, 1.4) * ((columns - x) ** 2 + 0.6 * (rows - y) ** 2))
    low, high = far.min(), far.max()
    return (far / high) ** (np.log(ratio) / np.log(high / low))


def render(
    seed: int,
    *,
    light: str = "daylight",
    kind: str = "courses",
    gap_mm: float = 9.0,
    trim_mm: float = 0.0,
    faults: Faults | None = None,
    photo_px: tuple[int, int] = (1200, 1600),
    size_mm: tuple[float, float] = (1829.0, 2438.0),
    stones: int = 22,
    glowing_trim: bool = True,
    paints: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] | None = None,
) -> Scene:
    """Return a photo of an invented panel; the same seed gives the same photo."""
    random = np.random.default_rng(seed)
    faults = faults or Faults()
    paints = paints or PAINTS
    width, height = size_mm
    cells = _courses(width, height, random) if kind == "courses" else _stones(width, height, stones, random)
    # Stones do not run to the very edge: a dark margin frames the panel.
    inner = box(14, 14, width - 14, height - 14)
    sections = [
        cell.intersection(inner).buffer(-(gap_mm / 2 + trim_mm), join_style="mitre") for cell in cells
    ]
    usable = [k for k, s in enumerate(sections) if s.geom_type == "Polygon" and s.area > 9000]
    voids = set(random.choice(usable, 1).tolist()) if len(usable) > 8 and random.random() < 0.5 else set()
    usable = [k for k in usable if k not in voids]
    names = list(paints)
    chosen = [names[k] for k in random.integers(0, len(names), len(cells))]
    column = 0 if light == "daylight" else 1
    black = np.array([0.035, 0.034, 0.035] if column == 0 else [0.002, 0.0005, 0.004])
    board = np.array([0.74, 0.72, 0.68] if column == 0 else [0.16, 0.15, 0.55])
    if column and not glowing_trim:
        board = np.array([0.012, 0.002, 0.03])
    shape = (round(height / TEXTURE_MM_PER_PX), round(width / TEXTURE_MM_PER_PX))
    texture = np.empty((*shape, 3), np.float32)
    texture[:] = black
    for k in usable:
        if trim_mm:
            frame = cells[k].intersection(inner).buffer(-gap_mm / 2, join_style="mitre")
            _fill(texture, frame, board)
        _fill(texture, sections[k], np.array(paints[chosen[k]][column]))
        if faults.grain and random.random() < 0.6:
            _grain(texture, sections[k], random)
    for _ in range(faults.drips):
        k = int(random.choice(usable))
        left, _, right, _bottom = sections[k].bounds
        x = random.uniform(left + 0.3 * (right - left), right - 0.3 * (right - left))
        start = shapely.intersection(sections[k], box(x - 1, 0, x + 1, height)).bounds
        if start:
            drip = box(x - 4, start[3] - 40, x + 4, min(start[3] + random.uniform(15, 60), height))
            _fill(texture, drip, np.array(paints[chosen[k]][column]))
    stroke = random.normal(1, 0.12, shape).astype(np.float32)
    stroke = cv2.GaussianBlur(stroke, (0, 0), sigmaX=14, sigmaY=1.2)
    texture *= (1 + 1.6 * (stroke - 1))[..., None]
    amount = _smooth_light(shape, faults.light_ratio, random).astype(np.float32)
    lit = texture * amount[..., None]
    if faults.shadow:
        x = random.uniform(0.2, 0.9) * shape[1]
        bar = np.zeros(shape, np.float32)
        corners = [[x, 0], [x + 60, 0], [x - 60, shape[0]], [x - 140, shape[0]]]
        cv2.fillPoly(bar, [np.array(corners, np.int32)], 1.0)
        bar = cv2.GaussianBlur(bar, (0, 0), 2)[..., None]
        lit *= 1 - bar * (1 - np.array([0.34, 0.38, 0.46], np.float32))
    for _ in range(faults.gloss):
        at = (round(random.uniform(0, shape[1])), round(random.uniform(0, shape[0])))
        spot = np.zeros(shape, np.float32)
        cv2.ellipse(
            spot, at, (int(random.integers(8, 30)), int(random.integers(4, 12))), 20, 0, 360, 1.0, -1
        )
        lit += 0.7 * cv2.GaussianBlur(spot, (0, 0), 4)[..., None]
    photo, corners, back = _photograph(lit, light, faults, photo_px, size_mm, random)
    band = gap_mm + 2 * trim_mm
    sure, doubtful = _truth_of_neighbours(cells, band)
    number = {k: n for n, k in enumerate(usable)}
    renumber = lambda pairs: {(number[a], number[b]) for a, b in pairs if a in number and b in number}  # noqa: E731
    return Scene(
        photo=photo,
        corners=corners,
        size_mm=size_mm,
        light=light,
        sections=[sections[k] for k in usable],
        paints=[chosen[k] for k in usable],
        outlines_px=[back(np.asarray(sections[k].segmentize(40).exterior.coords)) for k in usable],
        neighbours=renumber(sure),
        borderline=renumber(doubtful),
    )


def _photograph(lit, light, faults, photo_px, size_mm, random):
    wide, tall = photo_px
    width, height = size_mm
    fill = 0.74 * min(wide / width, tall / height)
    w, h = width * fill / 2, height * fill / 2
    turn = np.radians(random.uniform(-faults.turn_degrees, faults.turn_degrees))
    tip = np.radians(random.uniform(-6, 6))
    roll = np.radians(random.uniform(-2, 2))
    focal = 1.3 * max(photo_px)
    flat = np.array([[-w, -h, 0], [w, -h, 0], [w, h, 0], [-w, h, 0]], float)
    about_y = np.array([[np.cos(turn), 0, np.sin(turn)], [0, 1, 0], [-np.sin(turn), 0, np.cos(turn)]])
    about_x = np.array([[1, 0, 0], [0, np.cos(tip), -np.sin(tip)], [0, np.sin(tip), np.cos(tip)]])
    about_z = np.array([[np.cos(roll), -np.sin(roll), 0], [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
    placed = flat @ (about_z @ about_x @ about_y).T
    seen = placed[:, :2] * (focal / (focal + placed[:, 2:]))
    corners = seen + np.array([wide, tall]) / 2 + random.uniform(-12, 12, 2)
    shape = lit.shape[:2]
    texture_corners = np.float32([[0, 0], [shape[1], 0], [shape[1], shape[0]], [0, shape[0]]]) - 0.5
    forward = cv2.getPerspectiveTransform(texture_corners, np.float32(corners - 0.5))
    finer = 2
    grow = np.array([[finer, 0, (finer - 1) / 2], [0, finer, (finer - 1) / 2], [0, 0, 1.0]])
    wall = np.array([0.32, 0.31, 0.29] if light == "daylight" else [0.02, 0.002, 0.045], np.float32)
    rows, columns = np.mgrid[0:tall, 0:wide].astype(np.float32)
    ground = wall * (0.75 + 0.5 * rows[..., None] / tall)
    big = cv2.warpPerspective(
        lit.astype(np.float32), grow @ forward, (wide * finer, tall * finer), flags=cv2.INTER_LINEAR
    )
    cover = cv2.warpPerspective(
        np.ones(shape, np.float32), grow @ forward, (wide * finer, tall * finer), flags=cv2.INTER_LINEAR
    )
    image = cv2.resize(big, (wide, tall), interpolation=cv2.INTER_AREA)
    cover = cv2.resize(cover, (wide, tall), interpolation=cv2.INTER_AREA)[..., None]
    image = image + ground * (1 - cover)
    centre = np.array([wide, tall]) / 2
    scale = max(photo_px) / 2
    if faults.distortion:
        radius = ((columns - centre[0]) ** 2 + (rows - centre[1]) ** 2) / scale**2
        stretch = 1 + faults.distortion * radius
        image = cv2.remap(
            image.astype(np.float32),
            ((columns - centre[0]) * stretch + centre[0]).astype(np.float32),
            ((rows - centre[1]) * stretch + centre[1]).astype(np.float32),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )

    def bend(points: np.ndarray) -> np.ndarray:
        """Undo the map above: where a point of the undistorted picture is seen."""
        offset = (points - centre) / scale
        found = offset.copy()
        for _ in range(8):
            found = offset / (1 + faults.distortion * (found**2).sum(axis=1, keepdims=True))
        return found * scale + centre

    balance = np.exp(random.uniform(-faults.balance, faults.balance, 3)).astype(np.float32)
    exposure = 0.72 if light == "daylight" else random.uniform(0.7, 1.3)
    image = cv2.GaussianBlur(image * balance * exposure, (0, 0), faults.blur_px)
    image = image + 0.004 * image.mean()
    amount = np.clip(image, 0, None)
    image = image + random.normal(0, 1, image.shape) * np.sqrt(0.0002 * amount + 0.000004) * faults.noise
    image = np.clip(image, 0, None)
    image = np.where(image > 0.8, 0.8 + 0.2 * np.tanh((image - 0.8) / 0.2), image)
    coded = np.where(
        image <= 0.0031308, 12.92 * image, 1.055 * np.clip(image, 1e-9, 1) ** (1 / 2.4) - 0.055
    )
    buffer = io.BytesIO()
    Image.fromarray(np.round(np.clip(coded, 0, 1) * 255).astype(np.uint8)).save(buffer, "JPEG", quality=90)
    photo = np.asarray(Image.open(io.BytesIO(buffer.getvalue())).convert("RGB"))

    def back(outline_mm: np.ndarray) -> np.ndarray:
        texture = outline_mm / TEXTURE_MM_PER_PX - 0.5
        straight = cv2.perspectiveTransform(texture[None].astype(float), forward)[0] + 0.5
        return bend(straight)

    return photo, bend(corners), back
