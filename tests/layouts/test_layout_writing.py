"""A panel written out as a file and read back is the same panel."""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely import Point, Polygon, box

import palette

PANEL = palette.Panel(
    name='The "old" wall, <east> & west',
    width_mm=1000.0,
    height_mm=800.5,
    sections=(
        palette.Section(
            id='sill\\ "one" <&>', outline=Polygon([(10, 10), (300.125, 20), (200, 340.0625)]), depth=2.5
        ),
        palette.Section(
            id="ring", outline=Point(600, 400).buffer(150).difference(Point(600, 400).buffer(60))
        ),
        palette.Section(id="Ünterbau", outline=box(0, 700, 1000, 800.5), depth=0.0),
    ),
    hatch=box(440, 240, 760, 560),
    features=(
        palette.Feature(id="post", role="trim", outline=box(900, 0, 950, 700)),
        palette.Feature(id="window", role="void", outline=box(350, 50, 380, 90)),
    ),
)


@pytest.mark.parametrize(
    ("write", "suffix"), [(palette.panel_to_svg, ".svg"), (palette.panel_to_tape, ".toml")]
)
def test_a_panel_survives_being_written(tmp_path, write, suffix):
    path = Path(f"wall{suffix}")
    path.write_text(write(PANEL), encoding="utf-8")
    back = palette.read_layout(path)
    assert (back.name, back.ids) == (PANEL.name, PANEL.ids)
    assert (back.width_mm, back.height_mm) == pytest.approx((PANEL.width_mm, PANEL.height_mm))
    assert [section.depth for section in back.sections] == [2.5, None, 0.0]
    for section in PANEL.sections:
        assert back.section(section.id).outline.symmetric_difference(section.outline).area < 0.01
    assert back.hatch is not None
    assert back.hatch.equals_exact(PANEL.hatch, 1e-5, normalize=True)
    assert [(feature.id, feature.role) for feature in back.features] == [
        ("post", "trim"),
        ("window", "void"),
    ]
