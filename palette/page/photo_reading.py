"""A phone photo becomes a wall: kept beside it, squared, and read. Plain values."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import palette
from palette.errors import InputError
from palette.page.folder import memory_of, with_memory
from palette.page.history import Files
from palette.page.private_folder import PrivateFolder
from palette.page.starting import PAINTS, panel_name, with_panel
from palette.page.wall_edits import Point, add_outline

__all__ = [
    "Corners",
    "ReadPhoto",
    "grow_section",
    "open_photo",
    "picture_uri",
    "propose_corners",
    "read_wall",
    "square_photo",
]

Corners = Sequence[Point]
"""From top left clockwise, in pixels of the upright photo."""

PHOTO, SQUARE = "photo", "wall-photo.jpg"
KINDS = (".jpg", ".jpeg", ".png", ".heic", ".heif", ".webp")
_SHOWN_PX = 1600


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadPhoto:
    """The project after a photo was read, and what should be minded."""

    files: dict[str, bytes]
    sections: int
    warnings: tuple[str, ...]


def open_photo(name: str, data: bytes) -> palette.Photo:
    """Return a photo somebody dropped.

    Raises
    ------
    InputError
        It is no photo, damaged, too large, or shows nothing.
    """
    suffix = Path(name).suffix.lower()
    if suffix not in KINDS:
        raise InputError(name, "this is not a photo", "drop a JPEG, PNG or HEIC from the phone")
    with PrivateFolder() as private:
        path = private.path / f"photo{suffix}"
        private.lay_out({path.name: data})
        try:
            return palette.read_photo(path)
        except InputError as fault:
            plain = [part.replace(str(path), name).replace(path.name, name)
                     for part in (fault.where, fault.what, fault.mend)]  # fmt: skip
            raise InputError(*plain) from None


def propose_corners(photo: palette.Photo) -> tuple[Corners, str]:
    """Return corners to begin with, and a doubt about them, empty where they can be relied on."""
    try:
        guess = palette.find_corners(photo)
    except InputError:
        width, height = photo.width_px, photo.height_px
        inset = [(0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)]
        return [(x * width, y * height) for x, y in inset], "The wall was not found by itself"
    doubt = "" if guess.sure else f"The corners are not sure, because {guess.doubt or 'little shows of it'}"
    return [(float(x), float(y)) for x, y in guess.corners], doubt


def picture_uri(pixels: Any, *, most_px: int = _SHOWN_PX) -> str:
    """Return pixels as a data address, no wider than the page can use."""
    return "data:image/jpeg;base64," + base64.b64encode(_jpeg(pixels, most_px)).decode()


def _jpeg(pixels: Any, most_px: int) -> bytes:
    from PIL import Image

    picture = Image.fromarray(pixels)
    picture.thumbnail((most_px, most_px))
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=86)
    return buffer.getvalue()


def read_wall(
    files: Files, name: str, data: bytes, photo: palette.Photo, corners: Corners, *, size: str, light: str
) -> ReadPhoto:
    """Return the project with the wall of a photo: its sections, its paints where they are known.

    Raises
    ------
    InputError
        The panel cannot be read from it; the sentence says how to shoot again.
    """
    import numpy as np

    size_mm = palette.parse_size(size, where="Size of the wall") if size else None
    paints = _shelf(files)
    reading = palette.read_panel(
        photo,
        palette.light_by_name(light, where="Light of the photo"),
        paints=paints,
        corners=np.array(corners, float),
        size_mm=size_mm,
    )
    suffix = Path(name).suffix.lower()
    drawing = palette.panel_to_svg(reading.panel).encode()
    panel_files = {"wall.svg": drawing, f"{PHOTO}{suffix}": data,
                   SQUARE: _jpeg(reading.squared.pixels, _SHOWN_PX)}  # fmt: skip
    changed = with_panel(files, panel_files, name=panel_name(name), entry="wall.svg")
    changed = with_memory(
        changed,
        photo={"taken": f"{PHOTO}{suffix}", "square": SQUARE},
        corners=[[round(x, 1), round(y, 1)] for x, y in reading.squared.corners],
        photo_light=light,
        photo_notes=list(reading.warnings) or None,
    )
    scheme = palette.scheme_of_reading(reading) if paints else None
    if scheme is not None:
        changed = _with_scheme(changed, dict(scheme.paint_of))
    return ReadPhoto(files=changed, sections=len(reading.panel.sections), warnings=reading.warnings)


def _with_scheme(files: Files, paint_of: dict[str, str]) -> dict[str, bytes]:
    import json

    document = palette.FORMATS["scheme"].stamp({"brief": "brief.toml", "paint_of": paint_of})
    return {**files, "scheme.json": (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode()}


def _shelf(files: Files) -> tuple[palette.Paint, ...]:
    """Return the shelf's paints, or the demo's before there is a project."""
    from palette.page.starting import demo_files

    held = files if PAINTS in files else demo_files()
    with PrivateFolder() as private:
        private.lay_out({name: held[name] for name in held if name.endswith((".toml", ".csv", ".txt"))})
        return palette.read_paints(private.path / PAINTS)


def square_photo(files: Files) -> tuple[str, int]:
    """Return the squared photo of the wall as a data address, and its width in pixels; "" and 0 without."""
    noted = memory_of(files).get("photo")
    name = noted.get("square") if isinstance(noted, dict) else None
    content = files.get(name) if isinstance(name, str) else None
    if not content or not content.startswith(b"\xff\xd8"):
        return "", 0
    from PIL import Image

    with Image.open(io.BytesIO(content)) as picture:
        width = picture.width
    return "data:image/jpeg;base64," + base64.b64encode(content).decode(), width


def grow_section(files: Files, panel: palette.Panel, point: Point) -> palette.Panel:
    """Return the panel with the coloured field round a point of its photo as one more section.

    Raises
    ------
    InputError
        There is no photo, or no edges are found round the point.
    """
    import numpy as np
    import shapely

    memory = memory_of(files)
    noted = memory.get("photo", {})
    name = str(noted.get("taken", ""))
    if name not in files or "corners" not in memory:
        raise InputError("Growing", "this wall has no photo", "mark its corners instead")
    photo = open_photo(name, files[name])
    corners = np.array(memory["corners"], float)
    spot = _on_photo(point, panel, corners)
    mark = palette.Mark(name="grown", where="That click", points=np.array([spot]))
    reading = palette.read_panel(
        photo,
        palette.light_by_name(str(memory.get("photo_light", "daylight")), where="Light of the photo"),
        corners=corners,
        size_mm=(panel.width_mm, panel.height_mm),
        marks=palette.Marks(shapes=(mark,)),
    )
    here = shapely.Point(point)
    found = next((s.outline for s in reading.panel.sections if s.outline.contains(here)), None)
    if found is None:
        raise InputError("That click", "no edges are found round it", "mark its corners instead")
    return add_outline(panel, found)


def _on_photo(point: Point, panel: palette.Panel, corners: Any) -> Point:
    """Return where a point of the panel, mm, lies on the photo: the projection through four corners."""
    import numpy as np

    unit = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    rows, values = [], []
    for (u, v), (x, y) in zip(unit, corners, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v], [0, 0, 0, u, v, 1, -y * u, -y * v]]
        values += [x, y]
    a, b, c, d, e, f, g, h = np.linalg.solve(np.array(rows, float), np.array(values, float))
    u, v = point[0] / panel.width_mm, point[1] / panel.height_mm
    w = g * u + h * v + 1
    return float((a * u + b * v + c) / w), float((d * u + e * v + f) / w)
