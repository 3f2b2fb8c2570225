"""What is drawn: numbers inside their sections, ink that can be read, arrows that lead somewhere."""

from __future__ import annotations

import pytest
import shapely

import palette
from palette.page.drawing import Spot, ink_on, nearest_in_direction, path_of, spots_of

from .conftest import CANYON


def test_every_number_stands_inside_its_section():
    panel = palette.read_layout(CANYON / "wall.svg")
    spots = spots_of(panel)
    for section in panel.sections:
        spot = spots[section.id]
        assert section.outline.contains(shapely.Point(spot.x, spot.y).buffer(spot.height * 0.4))


# Contrast ratios as WCAG 2.2 defines them: white on black is 21, mid grey #767676 on white 4.54
# (its "minimum contrast" example value, from memory).
@pytest.mark.parametrize(
    ("colour", "ink"),
    [("#000000", "#ffffff"), ("#ffffff", "#000000"), ("#ffff00", "#000000"), ("#0000ff", "#ffffff")],
)
def test_ink_is_the_one_that_contrasts(colour, ink):
    assert ink_on(colour) == ink


def relative_luminance(colour):
    from colour import sRGB_to_XYZ

    return float(sRGB_to_XYZ([int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)])[1])


@pytest.mark.parametrize(
    "colour", [f"#{r:02x}{g:02x}{b:02x}" for r in (0, 90, 200) for g in (0, 120, 255) for b in (30, 160)]
)
def test_ink_reaches_the_contrast_wcag_asks_of_text(colour):
    pytest.importorskip("colour")
    light, dark = sorted((relative_luminance(colour), relative_luminance(ink_on(colour))), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_a_hole_is_drawn_as_a_hole():
    ring = shapely.Polygon([(0, 0), (9, 0), (9, 9), (0, 9)], [[(3, 3), (6, 3), (6, 6), (3, 6)]])
    assert path_of(ring).count("M") == path_of(ring).count("Z") == 2


def spot(x, y):
    return Spot(x=x, y=y, room=1, height=1, lines=(), name_height=1)


def test_arrows_lead_to_the_neighbour_on_that_side():
    spots = {"a": spot(0, 0), "b": spot(10, 1), "c": spot(30, 0), "d": spot(0, 10)}
    assert nearest_in_direction(spots, "a", (1, 0)) == "b"
    assert nearest_in_direction(spots, "b", (1, 0)) == "c"
    assert nearest_in_direction(spots, "a", (0, 1)) == "d"
    assert nearest_in_direction(spots, "a", (-1, 0)) is None
