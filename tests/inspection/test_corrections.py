"""Labels and layouts win over what was found, section by section."""

import numpy as np
import shapely
from scoring import read_scene

from palette.photos import Mark, Marks


def middle(outline):
    return np.array(shapely.Polygon(outline).centroid.coords[0])


def test_a_known_layout_gives_its_names(day_scene, true_layout):
    panel, paint_of = true_layout
    reading = read_scene(day_scene, layout=panel, size_mm=None)
    assert {f.id: f.paint for f in reading.findings} == paint_of
    assert reading.panel.width_mm == panel.width_mm


def test_a_layout_a_little_off_is_snapped_to_the_edges(day_scene, true_layout):
    from dataclasses import replace

    panel, _ = true_layout
    moved = replace(
        panel,
        sections=tuple(
            replace(s, outline=shapely.affinity.translate(s.outline, 25, 18).intersection(
                shapely.box(0, 0, panel.width_mm, panel.height_mm)))
            for s in panel.sections
        ),
    )  # fmt: skip
    reading = read_scene(day_scene, layout=moved)
    for section, true in zip(reading.panel.sections, panel.sections, strict=True):
        assert (
            section.outline.intersection(true.outline).area / section.outline.union(true.outline).area > 0.9
        )


def test_a_polygon_replaces_what_it_covers(day_scene, day_reading):
    outline = day_scene.outlines_px[0]
    wide = np.asarray(shapely.Polygon(outline).buffer(3).exterior.coords)[:-1]
    marks = Marks(shapes=(Mark(name="lintel", where="mark", points=wide),))
    reading = read_scene(day_scene, marks=marks)
    assert len(reading.findings) == len(day_reading.findings)
    assert "lintel" in {f.id for f in reading.findings}


def test_two_clicks_in_one_section_split_it(day_scene, day_reading):
    outline = shapely.Polygon(day_scene.outlines_px[4])
    left, top, right, bottom = outline.bounds
    centre = np.array(outline.centroid.coords[0])
    step = 0.2 * (right - left)
    marks = Marks(
        shapes=(
            Mark(name="west", where="a", points=(centre - np.array([step, 0]))[None]),
            Mark(name="east", where="b", points=(centre + np.array([step, 0]))[None]),
        )
    )
    reading = read_scene(day_scene, marks=marks)
    assert len(reading.findings) == len(day_reading.findings) + 1
    assert {"west", "east"} <= {f.id for f in reading.findings}
    assert bottom > top


def test_a_click_names_the_section_it_lies_in(day_scene):
    click = Mark(name="arch", where="a", points=middle(day_scene.outlines_px[2])[None])
    reading = read_scene(day_scene, marks=Marks(shapes=(click,)))
    arch = shapely.Polygon(reading.finding("arch").polygon)
    true = shapely.Polygon(day_scene.outlines_px[2])
    assert arch.intersection(true).area / arch.union(true).area > 0.9


def test_a_label_image_replaces_everything_it_covers(day_scene):
    import cv2

    labels = np.zeros(day_scene.photo.shape[:2], np.int32)
    for k, outline in enumerate(day_scene.outlines_px, 1):
        cv2.fillPoly(labels, [np.round(outline).astype(np.int32)], k)
    names = tuple(str(100 + k) for k in range(1, len(day_scene.outlines_px) + 1))
    reading = read_scene(day_scene, marks=Marks(labels=labels, label_names=names))
    assert {f.id: f.paint for f in reading.findings} == dict(zip(names, day_scene.paints, strict=True))
