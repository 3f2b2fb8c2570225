"""The development photos with exact truth, by the scorer that comes with them.

They lie in a folder beside the checkout and are not part of the project.
"""

import importlib.util
import json
from pathlib import Path

import numpy as np
import pytest

import palette
from palette.colour import xyz_of_swatch
from palette.paint import Paint

PHOTOS = (Path(__file__).resolve().parents[2] / "../shared/data/photos").resolve()
pytestmark = pytest.mark.skipif(
    not (PHOTOS / "score_photos.py").exists(), reason="the development photos are not beside the checkout"
)
NAMES = sorted(path.stem for path in PHOTOS.glob("D*.json"))


def truth_of(name):
    return json.loads((PHOTOS / f"{name}.json").read_text())


@pytest.fixture(scope="module")
def scorer():
    spec = importlib.util.spec_from_file_location("score_photos", PHOTOS / "score_photos.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def listed(kind):
    """Return the paint list with its swatches as hex or as Lab."""
    document = json.loads((PHOTOS / "paints.json").read_text())
    paints = []
    for entry in document["paints"]:
        day, night = entry["daylight"], entry["blacklight"]
        if kind == "hex":
            values = day["srgb_hex"], night["srgb_hex"]
        else:
            values = [float(v) for v in day["Lab_D65"]], [float(v) for v in night["Lab_D65_white"]]
        swatch = {
            light: xyz_of_swatch(value, where=entry["name"])
            for light, value in zip(("daylight", "blacklight"), values, strict=True)
        }
        paints.append(Paint(id=entry["name"], swatch=swatch))
    return tuple(paints)


def read(name, kind, *, corners=True):
    truth = truth_of(name)
    return palette.read_panel(
        palette.read_photo(PHOTOS / f"{name}.jpg"),
        palette.light_by_name(truth["light"], where="test"),
        paints=listed(kind),
        corners=np.array(truth["panel_corners_px"]) if corners else None,
        size_mm=tuple(truth["panel_size_mm"]),
    )


@pytest.mark.parametrize("kind", ["lab", "hex"])
@pytest.mark.parametrize("name", NAMES)
def test_the_bars_are_met(name, kind, scorer, tmp_path):
    truth = truth_of(name)
    reading = read(name, kind)
    document = palette.photo_to_dict(reading, palette.judge_reading(reading))
    result = {
        "sections": [
            {"id": s["id"], "polygon_px": s["polygon"], "paint": s["paint"]} for s in document["sections"]
        ],
        "adjacency": document["neighbours"],
        "clashes": [clash for clash in document["clashes"] if clash["light"] == truth["light"]],
    }
    figures = scorer.figures(scorer.score_one(result, str(tmp_path), truth, 0.6))
    day = truth["light"] == "daylight"
    assert figures["section_recall"] >= (0.97 if day else 0.95)
    assert figures["section_precision"] >= (0.97 if day else 0.95)
    assert figures["paint_accuracy"] >= (0.97 if day else 0.92)
    assert figures["adjacency_f1"] >= (0.97 if day else 0.95)
    for figure in (figures["clash_recall"], figures["clash_precision"]):
        assert figure is None or figure >= (1.0 if day else 0.95)


def test_corners_are_found_by_themselves():
    near = 0
    for name in NAMES:
        truth = truth_of(name)
        from palette.tracing import find_corners

        guess = find_corners(palette.read_photo(PHOTOS / f"{name}.jpg"))
        true = np.array(truth["panel_corners_px"])
        width = np.linalg.norm(true[1] - true[0])
        off = np.linalg.norm(guess.corners - true, axis=1).max() / width
        near += off <= 0.015
        assert off <= 0.015 or not guess.sure
    assert near >= 0.8 * len(NAMES)
