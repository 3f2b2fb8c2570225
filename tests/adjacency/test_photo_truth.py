"""Neighbours of the photo sets' walls against their truth files.

The truth was worked out another way: every border swept along its normals, a third section in
between cutting it off. Pairs the truth calls borderline are left out, as its readme asks.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from shapely import Polygon

from palette.adjacency import find_neighbours
from palette.panel import Panel, Section

PHOTOS = Path(__file__).resolve().parents[2] / "../shared/data/photos"
TRUTHS = sorted(PHOTOS.glob("D*.json"))


@pytest.mark.skipif(not TRUTHS, reason="the photo sets do not stand beside this checkout")
@pytest.mark.parametrize("path", TRUTHS, ids=lambda path: path.stem)
def test_neighbours_are_those_of_the_truth_file(path):
    truth = json.loads(path.read_text(encoding="utf-8"))
    width, height = truth["panel_size_mm"]
    panel = Panel(
        name=path.stem,
        width_mm=width,
        height_mm=height,
        sections=tuple(
            Section(id=str(section["id"]), outline=Polygon(section["polygon_mm"]))
            for section in truth["sections"]
        ),
    )
    found = {frozenset((c.a, c.b)): c for c in find_neighbours(panel).neighbours}
    listed = {frozenset((str(pair["a"]), str(pair["b"]))): pair for pair in truth["adjacency"]}
    sure = {pair: entry for pair, entry in listed.items() if not entry["borderline"]}
    assert {pair for pair in sure if pair in found} == {pair for pair in sure if sure[pair]["neighbour"]}
    assert found.keys() <= listed.keys()
    pairs = sure.keys() & found.keys()
    gap = np.array([sure[pair]["gap_mm"] for pair in pairs])
    off = np.array([found[pair].border_mm - sure[pair]["border_length_mm"] for pair in pairs]) / gap
    apart = np.array([found[pair].gap_mm for pair in pairs]) - gap
    # Sweeping along normals ends where the edge does; the mid-line runs on at either end, by 0.18
    # gaps between two corners to 0.37 beside an edge. Where a joint opens to a wedge between three
    # stones, sweeping runs on into the third one's zone.
    assert 2 * 0.18 <= np.median(off) <= 2 * 0.3721
    assert off.min() > -0.7
    assert off.max() < 1.2
    assert np.median(np.abs(apart)) < 0.15
    assert np.abs(apart).max() < 10
