"""The tape-measure layout: rectangles and polygons in TOML, lengths as people write them.

::

    name = "West wall"
    size = "8 ft x 6 ft"

    [[section]]
    name = "sill"
    left = "1/2 in"
    bottom = "3 1/4 in"
    width = "2 ft 6 in"
    height = "11 7/8 in"

    [[section]]
    name = "keystone"
    corners = [["40 in", "20 in"], ["55 1/2 in", "21 in"], ["48 in", "33 in"]]
    depth = 2

``[[trim]]``, ``[[void]]`` and one ``[hatch]`` are written in the same words. Everything is
measured from the lower left corner of the panel, to the right and up.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from palette.errors import InputError
from palette.formats import FORMATS
from palette.layouts.assembly import ROLES, Drawn, Role, assemble_panel, tidy_name
from palette.layouts.budget import MOST_HOLES, MOST_POINTS, MOST_RINGS, MOST_SHAPES
from palette.layouts.outlines import Face, join_rings, refuse_other_size
from palette.panel import Panel
from palette.reading import read_toml, refuse_unknown_keys
from palette.units import parse_length, parse_size

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["SUFFIXES", "panel_from_tape", "read"]

SUFFIXES = (".toml",)

_PANEL_KEYS = ("name", "size", *ROLES)
_RECTANGLE_KEYS = ("left", "bottom", "width", "height")
_SHAPE_KEYS = ("name", "depth", "corners", "holes", *_RECTANGLE_KEYS)


def read(path: Path, *, size_mm: tuple[float, float] | None = None) -> Panel:
    """Read a tape-measure layout.

    Raises
    ------
    InputError
        The file is not TOML, or what `panel_from_tape` finds.
    """
    document = FORMATS["wall"].newest(read_toml(path), where=str(path))
    if size_mm is not None:
        document.setdefault("size", f"{size_mm[0]:.6f} mm x {size_mm[1]:.6f} mm")
        refuse_other_size(parse_size(document["size"], where=f"{path}, size"), size_mm, source=str(path))
    return panel_from_tape({"name": path.stem, **document}, source=str(path))


def panel_from_tape(document: Mapping[str, Any], *, source: str) -> Panel:
    """Return the panel that a parsed tape-measure layout describes.

    Parameters
    ----------
    document : mapping
        ``name``, ``size``, and ``section``, ``trim``, ``void``, ``hatch`` as in the file.
    source : str
        What to call the document in messages, usually a file name.

    Raises
    ------
    InputError
        A key is unknown, a length cannot be read, or a check of `assemble_panel` fails.
    """
    if "size" not in document:
        raise InputError(source, "the panel has no size", 'add a line like size = "8 ft x 6 ft"')
    width, height = parse_size(document["size"], where=f"{source}, size")
    face = Face(width_mm=width, height_mm=height, source=source, measured_from="bottom")
    name = document.get("name", Path(source).stem)
    faults: list[InputError] = []
    try:
        refuse_unknown_keys(document, _PANEL_KEYS, where=source)
    except InputError as fault:
        faults += fault.each()
    if not isinstance(name, str) or not tidy_name(name):
        faults.append(InputError(f"{source}, name", f"{name!r} is not a name", "write it in quotes"))
    drawn = []
    for role in ROLES:
        for number, table in enumerate(_tables(document, role, source, faults), start=1):
            try:
                drawn.append(_read_shape(table, role, number, face))
            except InputError as fault:
                faults += fault.each()
    return assemble_panel(drawn, name=tidy_name(str(name)), face=face, faults=faults)


def _tables(
    document: Mapping[str, Any], role: Role, source: str, faults: list[InputError]
) -> list[Mapping[str, Any]]:
    tables = document.get(role, [])
    if isinstance(tables, Mapping):
        tables = [tables]
    if not isinstance(tables, list) or not all(isinstance(table, Mapping) for table in tables):
        heading = f"[{role}]" if role == "hatch" else f"[[{role}]]"
        faults.append(InputError(f"{source}, {role}", "it is not a table", f"write it under {heading}"))
        return []
    if len(tables) > MOST_SHAPES:
        what = f"it has {len(tables):,} {role} tables, more than {MOST_SHAPES:,}"
        raise InputError(source, what, "keep one for each section")
    holes = [table["holes"] for table in tables if isinstance(table.get("holes"), list)]
    if sum(map(len, holes)) > MOST_HOLES or max(map(len, holes), default=0) >= MOST_RINGS:
        what = f"an outline in it has {MOST_RINGS} holes or more, or all have more than {MOST_HOLES:,}"
        raise InputError(source, what, "make its pieces sections of their own")
    return tables


def _read_shape(table: Mapping[str, Any], role: Role, number: int, face: Face) -> Drawn:
    name = table.get("name", role if role == "hatch" else f"{role} {number}")
    if not isinstance(name, str) or not tidy_name(name):
        where = f"{face.source}, {role} {number}, name"
        raise InputError(where, f"{name!r} is not a name", "write it in quotes")
    name = tidy_name(name)
    where = f'{face.source}, {role} "{name}"'
    refuse_unknown_keys(table, _SHAPE_KEYS, where=where)
    depth = table.get("depth")
    sound = isinstance(depth, (int, float)) and not isinstance(depth, bool) and np.isfinite(depth)
    if depth is not None and not sound:
        what = f"{depth!r} is not a number"
        raise InputError(f"{where}, depth", what, "write depth = 0 for the nearest, larger for farther")
    present = [key for key in _RECTANGLE_KEYS if key in table]
    if "corners" in table:
        if present:
            what = f"it has corners and {present[0]} as well"
            raise InputError(where, what, "keep either the corners or the rectangle")
        rings = [_ring(table["corners"], face, where=f"{where}, corners")]
    else:
        missing = [key for key in _RECTANGLE_KEYS if key not in table]
        if missing:
            mend = "give left, bottom, width and height, or corners"
            raise InputError(where, f"it has no {missing[0]}", mend)
        rings = [_rectangle(table, face, where=where)]
    holes = table.get("holes", [])
    if not isinstance(holes, list):
        raise InputError(f"{where}, holes", "it is not a list", "write a list of lists of corners")
    rings += [_ring(hole, face, where=f"{where}, holes") for hole in holes]
    outline = join_rings(rings, "evenodd", where=where, face=face)
    return Drawn(name=name, role=role, outline=outline, depth=None if depth is None else float(depth))


def _rectangle(table: Mapping[str, Any], face: Face, *, where: str) -> NDArray[np.float64]:
    left, bottom, width, height = (
        parse_length(table[key], where=f"{where}, {key}") for key in _RECTANGLE_KEYS
    )
    across, up = [left, left + width], [bottom, bottom + height]
    corners = [(across[0], up[0]), (across[1], up[0]), (across[1], up[1]), (across[0], up[1])]
    return np.array([(x, face.height_mm - y) for x, y in corners])


def _ring(corners: object, face: Face, *, where: str) -> NDArray[np.float64]:
    mend = 'write at least three corners, like [["1 in", "2 in"], ["9 in", "2 in"], ["5 in", "8 in"]]'
    if not isinstance(corners, list) or len(corners) < 3:
        raise InputError(where, "it is not a list of three corners or more", mend)
    if len(corners) > MOST_POINTS:
        raise InputError(where, f"it has {len(corners):,} corners", f"write at most {MOST_POINTS:,}")
    points = []
    for number, corner in enumerate(corners, start=1):
        if not isinstance(corner, list) or len(corner) != 2:
            raise InputError(where, f"corner {number} is not a pair of lengths", mend)
        x, y = (parse_length(length, where=f"{where}, corner {number}") for length in corner)
        points.append((x, face.height_mm - y))
    return np.array(points)
