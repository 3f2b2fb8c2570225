"""Corners found without help, on rendered photos."""

import numpy as np
import pytest
import scenes
from scoring import photo_of

from palette.errors import InputError
from palette.tracing import find_corners

CASES = [
    {"kind": "courses"},
    {"kind": "stones", "trim_mm": 34},
    {"kind": "stones", "faults": scenes.Faults(gloss=10, drips=5, distortion=0.03)},
    {"kind": "stones", "light": "blacklight", "faults": scenes.Faults(light_ratio=4.0)},
    {"kind": "courses", "light": "blacklight", "trim_mm": 40},
]


def test_four_of_five_are_near_and_the_rest_own_up():
    near = 0
    for seed, case in enumerate(CASES):
        scene = scenes.render(20 + seed, **case)
        guess = find_corners(photo_of(scene.photo), size_mm=scene.size_mm)
        width = np.linalg.norm(scene.corners[1] - scene.corners[0])
        off = np.linalg.norm(guess.corners - scene.corners, axis=1).max() / width
        near += off <= 0.015
        assert off <= 0.015 or not guess.sure
    assert near >= 0.8 * len(CASES)


def test_a_plain_wall_has_no_panel():
    wall = np.full((600, 800, 3), 140, np.uint8)
    with pytest.raises(InputError, match="no painted panel stands out"):
        find_corners(photo_of(wall))


def test_a_wrong_size_raises_a_doubt():
    scene = scenes.render(20, kind="courses")
    assert not find_corners(photo_of(scene.photo), size_mm=(2438.0, 1829.0)).sure
