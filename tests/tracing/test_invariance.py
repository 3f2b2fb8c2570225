"""The same panel, lying on its side or in half as many pixels, gets the same verdict."""

import cv2
import numpy as np
import pytest
import scenes
from scoring import read_scene

import palette

CASES = {
    "day": {"kind": "stones", "faults": scenes.Faults(light_ratio=1.8)},
    "night": {"kind": "courses", "light": "blacklight", "faults": scenes.Faults(light_ratio=3.0)},
}


@pytest.fixture(scope="module", params=list(CASES))
def scene(request):
    return scenes.render(7, **CASES[request.param])


@pytest.fixture(scope="module")
def upright(scene):
    return read_scene(scene)


def other_view(scene, view):
    """Return the photo, corners and size of a view, and a map of its points back."""
    pixels, corners = scene.photo, scene.corners
    height, width = pixels.shape[:2]
    if view == "half":
        small = cv2.resize(pixels, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        return small, corners / 2, scene.size_mm, lambda p: p * 2
    if view == "quarter turn":
        turned = np.ascontiguousarray(np.rot90(pixels, -1))
        moved = np.roll(np.column_stack([height - corners[:, 1], corners[:, 0]]), 1, axis=0)
        return turned, moved, scene.size_mm[::-1], lambda p: np.column_stack([p[:, 1], height - p[:, 0]])
    turned = np.ascontiguousarray(np.rot90(pixels, 2))
    moved = np.roll([width, height] - corners, 2, axis=0)
    return turned, moved, scene.size_mm, lambda p: [width, height] - p


@pytest.mark.parametrize("view", ["half", "quarter turn", "half turn"])
def test_a_view_changes_no_verdict(scene, upright, view):
    pixels, corners, size, back = other_view(scene, view)
    moved = scenes.Scene(**{**{k: getattr(scene, k) for k in scene.__dataclass_fields__},
                            "photo": pixels, "corners": corners, "size_mm": size})  # fmt: skip
    reading = read_scene(moved)
    assert len(reading.findings) == len(upright.findings)
    middles = {f.id: f.polygon.mean(axis=0) for f in upright.findings}
    same = {}
    for found in reading.findings:
        at = np.asarray(back(found.polygon)).mean(axis=0)
        same[found.id] = min(middles, key=lambda k: np.linalg.norm(middles[k] - at))
    assert len(set(same.values())) == len(same)
    for found in reading.findings:
        assert found.paint == upright.finding(same[found.id]).paint
    # A border as long as the least that counts may fall on either side of it: one working pixel.
    firm = {frozenset((c.a, c.b)) for c in upright.adjacency.contacts if abs(c.border_mm - 25) > 12}
    here = {frozenset((c.a, c.b)) for c in upright.adjacency.neighbours} & firm
    there = {frozenset((same[c.a], same[c.b])) for c in reading.adjacency.neighbours} & firm
    assert here == there
    clashes = lambda r, names: {  # noqa: E731
        (frozenset((names[c.a], names[c.b])), c.light)
        for c in palette.judge_reading(r).clashes
        if frozenset((names[c.a], names[c.b])) in firm
    }
    assert clashes(upright, {k: k for k in middles}) == clashes(reading, same)


def test_the_same_photo_gives_the_same_answer(scene, upright):
    again = read_scene(scene)
    first = palette.photo_to_dict(upright, palette.judge_reading(upright))
    assert palette.photo_to_dict(again, palette.judge_reading(again)) == first
