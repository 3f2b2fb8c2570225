"""What a sound result is, stated without the readers' own checks."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping

import numpy as np
import shapely

import palette
from palette.panel import Panel

_SMALL = 12
"""Panels of so few sections are also asked who is whose neighbour."""

_EDGE_MM = 0.6
_SHARED_MM2 = 1e-2


def assert_sound_panel(panel: Panel) -> None:
    """Assert what `palette.panel` promises of a panel, and that its neighbours can be found."""
    assert math.isfinite(panel.width_mm)
    assert math.isfinite(panel.height_mm)
    assert panel.width_mm > 0
    assert panel.height_mm > 0
    assert panel.sections
    assert len(set(panel.ids)) == len(panel.ids)
    assert panel.name == panel.name.strip() != ""
    face = shapely.box(-_EDGE_MM, -_EDGE_MM, panel.width_mm + _EDGE_MM, panel.height_mm + _EDGE_MM)
    for section in panel.sections:
        assert section.id == section.id.strip() != ""
        assert section.id.isprintable()
        assert_sound_outline(section.outline, face)
        assert section.depth is None or math.isfinite(section.depth)
    for feature in panel.features:
        assert_sound_outline(feature.outline, face)
    if panel.hatch is not None:
        assert_sound_outline(panel.hatch, face)
    if len(panel.sections) > _SMALL:
        return
    for number, section in enumerate(panel.sections):
        for other in panel.sections[:number]:
            assert (
                section.outline.intersection(other.outline).area < _SHARED_MM2 + 1e-9 * section.outline.area
            )
    found = palette.find_neighbours(panel)
    for contact in found.contacts:
        assert math.isfinite(contact.border_mm)
        assert contact.border_mm >= 0
        assert contact.a in panel.ids
        assert contact.b in panel.ids


def assert_sound_outline(outline: shapely.Polygon, face: shapely.Polygon) -> None:
    """Assert a valid polygon with an area, inside the face."""
    assert isinstance(outline, shapely.Polygon)
    assert outline.is_valid
    assert outline.area > 0
    assert np.isfinite(shapely.get_coordinates(outline)).all()
    assert face.covers(outline)


def assert_sound_light(light: palette.Light) -> None:
    """Assert a spectrum with power, all of it finite, and a white to see it against."""
    from palette.light import light_unit, spectrum_of, white_of

    spectrum = spectrum_of(light)
    assert spectrum.shape == (49,)
    assert np.isfinite(spectrum).all()
    assert (spectrum >= 0).all()
    assert spectrum.sum() > 0
    assert light.kind in ("daylight", "blacklight")
    assert 0 < light_unit(light) < math.inf
    assert np.isfinite(white_of(light)).all()


def assert_finite(value: object, where: str = "result") -> None:
    """Assert that no number in a value, its parts and their parts is beyond all measure or none at all."""
    if isinstance(value, float):
        assert math.isfinite(value), where
    elif isinstance(value, np.ndarray):
        assert value.dtype.kind != "f" or np.isfinite(value).all(), where
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            assert_finite(getattr(value, field.name), f"{where}.{field.name}")
    elif isinstance(value, Mapping):
        for key, each in value.items():
            assert_finite(each, f"{where}[{key!r:.40}]")
    elif isinstance(value, (tuple, list)):
        for number, each in enumerate(value):
            assert_finite(each, f"{where}[{number}]")
