"""How long a picture of the demo wall takes, beside Pillow filling the same polygons in the same run.

Run: ``pytest -o addopts= tests/bench/bench_preview.py -s``.
"""

import time
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

import palette

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"
WIDTH, HEIGHT = 3840, 2160


def best(run, rounds=5):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture(scope="module")
def wall():
    """Return the demo's outcome on a wall of 16 to 9, so that the picture has 3840 x 2160 pixels."""
    from dataclasses import replace

    from shapely.affinity import scale

    outcome = palette.run(palette.read_brief(CANYON / "brief.toml"))
    panel = outcome.survey.panel
    wide = panel.height_mm * WIDTH / HEIGHT
    part = wide / panel.width_mm
    stretched = replace(
        panel,
        width_mm=wide,
        sections=tuple(
            replace(s, outline=scale(s.outline, part, 1, origin=(0, 0))) for s in panel.sections
        ),
        features=tuple(
            replace(f, outline=scale(f.outline, part, 1, origin=(0, 0))) for f in panel.features
        ),
    )
    return replace(outcome, survey=replace(outcome.survey, panel=stretched))


def test_a_4k_preview_beside_pillow(wall, record):
    panel = wall.survey.panel
    per_mm = WIDTH / panel.width_mm
    rings = [
        [(x * per_mm, y * per_mm) for x, y in part.outline.exterior.coords]
        for part in (*panel.features, *panel.sections)
    ]

    def pillow():
        picture = Image.new("RGB", (WIDTH, HEIGHT), (5, 5, 5))
        pen = ImageDraw.Draw(picture)
        for ring in rings:
            pen.polygon(ring, fill=(200, 100, 50))
        return picture

    light = wall.brief.lights[-1]
    peer = best(pillow)
    flat = best(lambda: palette.draw_preview(wall.survey, wall.scheme, light, width_px=WIDTH))
    glare = palette.Style(glare=palette.Glare())
    lit = best(
        lambda: palette.draw_preview(wall.survey, wall.scheme, light, width_px=WIDTH, style=glare), rounds=3
    )
    picture = palette.draw_preview(wall.survey, wall.scheme, light, width_px=WIDTH)
    assert picture.image.shape == (HEIGHT, WIDTH, 3)
    for work, spent, wanted in (("flat", flat, 3), ("with glare", lit, None)):
        record(
            part="colour", work=f"preview of 3840 × 2160, {work}", value=spent / peer, wanted=wanted,
            ours=f"{spent:.4f} s", theirs=f"{peer:.4f} s", peer="Pillow filling the same polygons",
        )  # fmt: skip
    assert flat <= 3 * peer
