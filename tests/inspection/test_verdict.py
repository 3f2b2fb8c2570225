"""Clashes, near hues, depth and hatch on a photographed panel, against the scene's truth."""

from dataclasses import replace

import numpy as np
import scenes
import shapely
from scoring import paints_of, photo_of
from skimage.color import deltaE_ciede2000, xyz2lab

import palette
from palette.light import BLACKLIGHT, DAYLIGHT

MATRIX = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def true_difference(first, second, column):
    """CIEDE2000 by scikit-image from the invented colours themselves."""
    labs = [xyz2lab(MATRIX @ np.array(scenes.PAINTS[name][column])) for name in (first, second)]
    return float(deltaE_ciede2000(*labs))


def true_clashes(scene, reading, column):
    """Pairs of found sections whose true paints look alike, with sections matched by their middles."""
    middles = [shapely.Polygon(outline).centroid for outline in scene.outlines_px]
    true = {}
    for found in reading.findings:
        here = shapely.Polygon(found.polygon).centroid
        true[found.id] = scene.paints[int(np.argmin([here.distance(m) for m in middles]))]
    return {
        (c.a, c.b)
        for c in reading.adjacency.neighbours
        if true[c.a] == true[c.b] or true_difference(true[c.a], true[c.b], column) < 20
    }


def test_every_clash_is_found_and_none_invented(day_scene, day_reading):
    verdict = palette.judge_reading(day_reading)
    told = {(c.a, c.b) for c in verdict.clashes if c.light == "daylight"}
    assert told == true_clashes(day_scene, day_reading, 0)
    assert told, "the scene should have something to find"


def test_would_be_clashes_carry_the_other_lights_name(day_scene, day_reading):
    verdict = palette.judge_reading(day_reading)
    other = {(c.a, c.b) for c in verdict.clashes if c.light == "blacklight"}
    same = {
        (c.a, c.b)
        for c in day_reading.adjacency.neighbours
        if day_reading.finding(c.a).paint == day_reading.finding(c.b).paint
    }
    assert other == true_clashes(day_scene, day_reading, 1) - same


def test_the_document_keeps_its_names(day_reading):
    document = palette.photo_to_dict(day_reading, palette.judge_reading(day_reading))
    assert {"sections", "neighbours", "clashes", "corners", "warnings"} <= set(document)
    assert set(document["sections"][0]) == {"id", "polygon", "paint", "confidence"}
    assert set(document["neighbours"][0]) == {"a", "b", "border_mm", "gap_mm"}
    assert set(document["clashes"][0]) == {"a", "b", "difference", "light"}


def test_gaps_are_as_wide_as_painted(day_reading):
    """The scene's gaps are 9 mm wide; a pixel of the squared photo is 2 to 3 mm."""
    gaps = [c.gap_mm for c in day_reading.adjacency.neighbours if c.border_mm > 100]
    assert np.median(gaps) == np.clip(np.median(gaps), 6.0, 13.0)


def test_without_a_paint_list_there_are_as_many_groups_as_paints(day_scene):
    reading = palette.read_panel(
        photo_of(day_scene.photo), DAYLIGHT, corners=day_scene.corners, size_mm=day_scene.size_mm
    )
    middles = [shapely.Polygon(outline).centroid for outline in day_scene.outlines_px]
    pairs = {
        (
            f.paint,
            day_scene.paints[
                int(np.argmin([shapely.Polygon(f.polygon).centroid.distance(m) for m in middles]))
            ],
        )
        for f in reading.findings
    }
    assert len(pairs) == len({group for group, _ in pairs}) == len({paint for _, paint in pairs})


def test_depth_is_judged_where_it_is_asked_for(day_reading):
    assert palette.judge_reading(day_reading).depth == ()
    asked = palette.judge_reading(day_reading, darker_upward=True)
    assert asked.depth
    assert not asked.sound


def test_a_paint_list_of_another_light_is_told_apart(day_scene, shelf):
    """The list's daylight and blacklight colours swapped: the photo fits the other one."""
    swapped = tuple(
        replace(p, swatch={"daylight": p.swatch["blacklight"], "blacklight": p.swatch["daylight"]})
        for p in shelf
    )
    with np.testing.assert_raises_regex(palette.InputError, "but fit blacklight; say --light blacklight"):
        palette.read_panel(
            photo_of(day_scene.photo), DAYLIGHT, paints=swapped, corners=day_scene.corners,
            size_mm=day_scene.size_mm,
        )  # fmt: skip


def test_a_list_without_this_light_is_refused(day_scene, shelf):
    bare = tuple(replace(p, swatch={"daylight": p.swatch["daylight"]}) for p in shelf)
    with np.testing.assert_raises_regex(palette.InputError, "no blacklight swatch"):
        palette.read_panel(
            photo_of(day_scene.photo), BLACKLIGHT, paints=bare, corners=day_scene.corners,
            size_mm=day_scene.size_mm,
        )  # fmt: skip


def test_a_panel_without_gaps_is_refused():
    pixels = np.full((900, 700, 3), (220, 150, 30), np.uint8)
    corners = np.array([[50, 50], [650, 50], [650, 850], [50, 850]], float)
    with np.testing.assert_raises_regex(palette.InputError, "no gaps are visible"):
        palette.read_panel(
            photo_of(pixels), DAYLIGHT, paints=paints_of(scenes.PAINTS), corners=corners, size_mm=(600, 800)
        )


def test_a_burnt_out_panel_is_refused():
    pixels = np.full((900, 700, 3), 90, np.uint8)
    pixels[60:840, 60:640] = 255
    corners = np.array([[50, 50], [650, 50], [650, 850], [50, 850]], float)
    with np.testing.assert_raises_regex(palette.InputError, "blown out"):
        palette.read_panel(photo_of(pixels), DAYLIGHT, corners=corners, size_mm=(600, 800))
