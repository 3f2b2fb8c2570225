"""A hatch's outline on a photo, beside the other gaps: drawn broader or deeper it shows."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

import palette
from palette.inspection.hatch import judge_hatch

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"


@pytest.fixture(scope="module")
def reading():
    """Return the demo's wall, read from its photo with its layout, so that the hatch is known."""
    return palette.read_panel(
        palette.read_photo(CANYON / "painted.jpg"),
        palette.light_by_name("daylight", where="test"),
        paints=palette.read_paints(CANYON / "paints.toml"),
        layout=palette.read_layout(CANYON / "wall.svg"),
    )


def with_outline(reading, broad_mm):
    """Return the reading with its hatch's outline painted over as a black line so broad."""
    pixels = reading.squared.pixels.copy()
    scale = np.asarray(reading.squared.mm_per_px)
    ring = np.round(np.array(reading.panel.hatch.exterior.coords) / scale).astype(np.int32)
    cv2.polylines(pixels, [ring], True, (4, 4, 4), max(1, round(broad_mm / float(scale.mean()))))
    return replace(reading, squared=replace(reading.squared, pixels=pixels))


def test_an_outline_along_the_joints_is_no_plainer_than_they_are(reading):
    note = judge_hatch(reading)
    assert note is not None
    assert not note.shows
    assert note.across == 0.0


def test_a_broader_outline_shows(reading):
    note = judge_hatch(with_outline(reading, 20.0))
    assert note.shows
    assert note.width_ratio > 1.3


def test_an_outline_across_sections_shows(reading):
    moved = replace(
        reading, panel=replace(reading.panel, hatch=reading.panel.section("shoulder").outline.buffer(-90))
    )
    assert not judge_hatch(moved).shows
    note = judge_hatch(with_outline(moved, 6.35))
    assert note.shows
    assert note.across > 0.5


def test_a_wall_without_a_hatch_is_not_judged(reading):
    assert judge_hatch(replace(reading, panel=replace(reading.panel, hatch=None))) is None
