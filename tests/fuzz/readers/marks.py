"""Marks drawn over a photo, in SVG."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuzz.desk import lay
from fuzz.readers import svg
from palette.photos import read_marks
from palette.tracing.photo import Photo

WORDS = svg.WORDS

_PHOTO = Photo(pixels=np.zeros((300, 400, 3), np.uint8), width_px=800, height_px=600, source="wall.jpg")


def target(data: bytes) -> object:
    """Read marks over a photo of 800 x 600 pixels."""
    found = read_marks(lay("marks.svg", data), _PHOTO)
    assert found.shapes
    for mark in found.shapes:
        assert mark.points.ndim == 2
        assert mark.points.shape[1] == 2
        assert len(mark.points) == 1 or len(mark.points) >= 3
        assert np.isfinite(mark.points).all()
        assert mark.name.isprintable()
    return found


def seeds() -> list[bytes]:
    """Return drawings with clicks, polygons and curves, and the layouts' own."""
    head = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300">'
    bodies = (
        '<polygon id="lintel" points="10,20 110,20 110,80 10,80"/><g transform="translate(100 50)"><circle cx="20" cy="30" r="4"/></g>',
        '<path d="M10 10h80v60H10z"><title>sill</title></path><ellipse id="e" cx="9" cy="9" rx="3" ry="2"/>',
        '<rect id="r" x="5" y="5" width="20" height="10"/><path d="M10 10 C 20 10 40 30 10 40 Z"/><polyline points="1 1 9 1 5 9"/>',
    )
    return [*(f"{head}{body}</svg>".encode() for body in bodies), *svg.seeds()[:2]]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield the same drawings as for layouts."""
    return svg.heavy()
