"""Whole readings of rendered photos, truth known by construction (see scenes.py)."""

import pytest
import scenes
from scenes import Faults
from scoring import read_scene, score_scene

DAY = {
    "courses": {"kind": "courses"},
    "stones, 2:1": {"kind": "stones", "faults": Faults(light_ratio=2.0)},
    "stones with boards": {"kind": "stones", "trim_mm": 34, "faults": Faults(light_ratio=2.0)},
    "boards and a hard shadow": {
        "kind": "courses",
        "trim_mm": 30,
        "gap_mm": 6,
        "faults": Faults(light_ratio=1.5, shadow=True),
    },
    "gloss, drips, a bent lens": {
        "kind": "stones",
        "faults": Faults(light_ratio=1.8, gloss=12, drips=6, distortion=0.03),
    },
    "noise, blur, wrong balance": {
        "kind": "courses",
        "faults": Faults(light_ratio=2.0, noise=2.5, blur_px=1.4, balance=0.15),
    },
}
NIGHT = {
    "stones, 4:1": {"kind": "stones", "faults": Faults(light_ratio=4.0, noise=1.5)},
    "boards that glow": {"kind": "courses", "trim_mm": 40, "gap_mm": 6, "faults": Faults(light_ratio=4.0)},
    "boards that do not": {
        "kind": "stones",
        "trim_mm": 34,
        "glowing_trim": False,
        "faults": Faults(light_ratio=3.0),
    },
    "noise, drips, a bent lens": {
        "kind": "stones",
        "faults": Faults(light_ratio=3.0, noise=2.0, drips=5, distortion=-0.03, balance=0.12),
    },
}


def total(cases, light, seeds):
    scores = []
    for seed, case in enumerate(cases.values()):
        for more in seeds:
            scene = scenes.render(10 * more + seed, light=light, **case)
            scores.append(score_scene(scene, read_scene(scene)))
    return sum(scores[1:], scores[0])


@pytest.fixture(scope="module")
def by_day():
    return total(DAY, "daylight", seeds=(0,))


@pytest.fixture(scope="module")
def by_night():
    return total(NIGHT, "blacklight", seeds=(0,))


def test_daylight_sections_are_found(by_day):
    assert by_day.recall >= 0.97
    assert by_day.precision >= 0.97


def test_daylight_paints_are_named(by_day):
    assert by_day.naming >= 0.97


def test_daylight_neighbours_are_found(by_day):
    assert by_day.f1 >= 0.97


def test_blacklight_sections_are_found(by_night):
    assert by_night.recall >= 0.95
    assert by_night.precision >= 0.95


def test_blacklight_paints_are_named(by_night):
    assert by_night.naming >= 0.92


def test_blacklight_neighbours_are_found(by_night):
    assert by_night.f1 >= 0.95


@pytest.mark.slow
@pytest.mark.parametrize(("cases", "light"), [(DAY, "daylight"), (NIGHT, "blacklight")])
def test_the_bars_hold_over_many_scenes(cases, light):
    found = total(cases, light, seeds=range(1, 9))
    assert min(found.recall, found.precision, found.naming, found.f1) >= 0.97
