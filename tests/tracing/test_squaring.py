"""Squaring against homographies solved by hand: a numpy solve of the 8 x 8 system, which
scikit-image's ProjectiveTransform equals to 5e-13."""

import numpy as np
import pytest

from palette.errors import InputError
from palette.tracing.photo import Photo
from palette.tracing.squaring import (
    apply_homography,
    check_corners,
    proportions,
    solve_homography,
    square_photo,
)

UNIT = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


def blank(width=1600, height=1200):
    return Photo(
        pixels=np.full((height, width, 3), 90, np.uint8), width_px=width, height_px=height, source="x.jpg"
    )


def test_a_trapezoid_has_the_homography_worked_out_by_hand():
    found = solve_homography(UNIT, np.array([[0, 0], [4, 0], [3, 2], [1, 2]]))
    assert found == pytest.approx(np.array([[4, 2, 0], [0, 4, 0], [0, 1, 1]]), abs=1e-12)
    # The middle goes to the crossing of the diagonals, not to the centroid (2, 1).
    assert apply_homography(found, [[0.5, 0.5]])[0] == pytest.approx([2, 4 / 3])
    assert apply_homography(found, [[0.25, 0.75]])[0] == pytest.approx([1.428571, 1.714286], abs=1e-6)


def test_a_panel_in_pixels_has_the_published_digits():
    frame = UNIT * [1200, 800]
    found = solve_homography(frame, np.array([[312, 188], [1710, 254], [1655, 1190], [275, 1102]]))
    wanted = [[1.12989048, -0.04210385, 312], [0.0497849, 1.15911474, 188], [-0.00002053, 0.00001508, 1]]
    assert found == pytest.approx(np.array(wanted), abs=5e-9)
    seen = apply_homography(found, [[600, 400], [300, 600], [600, 0]])
    expected = [[979.250637, 685.829589], [623.903887, 895.818470], [1002.281523, 220.588398]]
    assert seen == pytest.approx(np.array(expected), abs=1e-6)


def test_three_corners_on_a_line_are_refused():
    with pytest.raises(InputError, match="three of the four points lie on one line"):
        solve_homography(UNIT, np.array([[0, 0], [1, 1], [2, 2], [0, 3]]))


@pytest.mark.parametrize(
    ("corners", "told"),
    [
        ([[100, 100], [1500, 1100], [1500, 100], [100, 1100]], "cross each other"),
        ([[100, 100], [100, 1100], [1500, 1100], [1500, 100]], "counter-clockwise"),
        ([[100, 100], [1900, 100], [1900, 1100], [100, 1100]], "lies outside the photo"),
        ([[100, 100], [140, 100], [140, 150], [100, 150]], "too small"),
    ],
)
def test_unsound_corners_are_refused_in_one_sentence(corners, told):
    with pytest.raises(InputError, match=told) as stop:
        check_corners(np.array(corners, float), blank(), where="--corners")
    assert str(stop.value).endswith(".")


def test_proportions_come_back_from_a_pinhole_camera():
    """A 1829 x 2438 mm rectangle turned by 25 and tipped by 8 degrees before a lens of 1500 px."""
    turn, tip = np.radians(25), np.radians(8)
    about_y = np.array([[np.cos(turn), 0, np.sin(turn)], [0, 1, 0], [-np.sin(turn), 0, np.cos(turn)]])
    about_x = np.array([[1, 0, 0], [0, np.cos(tip), -np.sin(tip)], [0, np.sin(tip), np.cos(tip)]])
    flat = np.array([[-914.5, -1219, 0], [914.5, -1219, 0], [914.5, 1219, 0], [-914.5, 1219, 0]])
    placed = flat @ (about_x @ about_y).T + [120, 40, 4200]
    seen = placed[:, :2] / placed[:, 2:] * 1500 + [800, 600]
    assert proportions(seen, blank()) == pytest.approx(1829 / 2438, rel=1e-6)


def test_a_squared_photo_puts_points_where_the_homography_says():
    photo = blank()
    pixels = photo.pixels.copy()
    corners = np.array([[200.0, 150.0], [1300.0, 210.0], [1350.0, 1050.0], [180.0, 1080.0]])
    squared = square_photo(photo, corners, size_mm=(2000.0, 1500.0))
    place = apply_homography(squared.to_photo, [[500.0, 400.0]])[0]
    pixels[round(place[1]) - 4 : round(place[1]) + 4, round(place[0]) - 4 : round(place[0]) + 4] = 255
    marked = square_photo(
        Photo(pixels=pixels, width_px=1600, height_px=1200, source="x"), corners, size_mm=(2000.0, 1500.0)
    )
    rows, columns = np.nonzero(marked.pixels[..., 0] > 200)
    middle = np.array([columns.mean() + 0.5, rows.mean() + 0.5]) * marked.mm_per_px
    assert middle == pytest.approx([500, 400], abs=2.5)
