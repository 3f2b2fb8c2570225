"""Panels from files, and files from panels: each format is a module here and a line in `READERS`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from palette.errors import InputError
from palette.layouts import label_image, svg, tape
from palette.layouts.label_image import panel_from_label_image
from palette.layouts.tape import panel_from_tape
from palette.layouts.writing import panel_to_svg, panel_to_tape
from palette.reading import no_such_file
from palette.units import parse_size

if TYPE_CHECKING:
    from palette.panel import Panel

__all__ = [
    "READERS",
    "panel_from_label_image",
    "panel_from_tape",
    "panel_to_svg",
    "panel_to_tape",
    "read_layout",
]

READERS: dict[str, Callable[..., Panel]] = {
    **dict.fromkeys(svg.SUFFIXES, svg.read),
    **dict.fromkeys(tape.SUFFIXES, tape.read),
    **dict.fromkeys(label_image.SUFFIXES, label_image.read),
}


def read_layout(path: str | Path, *, size: str | tuple[float, float] | None = None) -> Panel:
    """Read a panel from a drawing, a tape-measure layout or a label image.

    Parameters
    ----------
    path : str or Path
        ``.svg``, ``.toml`` or ``.png``.
    size : str or (width_mm, height_mm), optional
        Width x height, like ``96 in x 72 in``, for a file that does not carry its size; a label
        image takes it over its own, a drawing or a tape-measure layout must agree with it.

    Returns
    -------
    Panel

    Raises
    ------
    InputError
        The file cannot be read, or what it holds is no sound panel; every fault is told at once.

    Examples
    --------
    >>> wall = palette.read_layout("examples/canyon/wall.svg")
    >>> len(wall.sections), wall.width_mm, wall.height_mm
    (18, 2438.4, 1828.8)
    """
    path = Path(path)
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        known = ", ".join(READERS)
        what = f'"{path.suffix}" is not a kind of layout' if path.suffix else "its kind is not known"
        raise InputError(str(path), what, f"use a file ending in {known}")
    asked = parse_size(size, where="size") if isinstance(size, str) else size
    try:
        if not path.exists():
            raise no_such_file(path)
        if path.is_dir():
            raise InputError(str(path), "it is a folder", "name a file in it")
        if not path.is_file():
            raise InputError(str(path), "it is no ordinary file", "name a file on the disk")
        return reader(path, size_mm=asked)
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise InputError(str(path), f"it cannot be read ({reason})", "check its permissions") from None
