"""Comparing with a scheme, repainting a white panel, and reading a board of swatches."""

import cv2
import numpy as np
import pytest
import scenes
from scoring import photo_of, read_scene
from skimage.color import deltaE_ciede2000, xyz2lab

import palette
from palette.light import BLACKLIGHT, DAYLIGHT
from palette.scheme import Scheme

MATRIX = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


@pytest.fixture(scope="module")
def planned(day_scene):
    from palette.panel import Panel, Section

    width, height = day_scene.size_mm
    sections = tuple(Section(id=str(k), outline=o) for k, o in enumerate(day_scene.sections))
    panel = Panel(name="canyon", width_mm=width, height_mm=height, sections=sections)
    return panel, {str(k): paint for k, paint in enumerate(day_scene.paints)}


@pytest.fixture(scope="module")
def with_layout(day_scene, planned):
    return read_scene(day_scene, layout=planned[0])


def test_a_panel_as_planned_passes(with_layout, planned):
    assert palette.compare_with_scheme(with_layout, Scheme(paint_of=planned[1])).as_planned


def test_a_section_in_the_wrong_paint_is_named(with_layout, planned):
    paint_of = dict(planned[1])
    true = paint_of["3"]
    paint_of["3"] = next(p for p in scenes.PAINTS if p != true)
    comparison = palette.compare_with_scheme(with_layout, Scheme(paint_of=paint_of))
    (note,) = comparison.notes
    assert note.wrong
    assert note.section == "3"
    assert note.painted == true
    assert note.sentence == f"3 has {true}, planned was {paint_of['3']}."


def test_thin_and_blotchy_coats_are_told(day_scene, planned):
    """White ground mixed in at 35 %: all over one section, in patches over another."""
    pixels = day_scene.photo.astype(float)
    white = np.array([215.0, 215.0, 212.0])
    strong = [k for k, p in enumerate(day_scene.paints) if p in {"cobalt", "violet", "teal", "moss"}]
    thin, blotchy = strong[:2]
    mask = np.zeros(pixels.shape[:2], np.float32)
    cv2.fillPoly(mask, [np.round(day_scene.outlines_px[thin]).astype(np.int32)], 0.35)
    patches = np.zeros(pixels.shape[:2], np.float32)
    random = np.random.default_rng(4)
    cloud = cv2.GaussianBlur(random.normal(0, 1, patches.shape).astype(np.float32), (0, 0), 14)
    cv2.fillPoly(patches, [np.round(day_scene.outlines_px[blotchy]).astype(np.int32)], 0.35)
    mask = np.maximum(mask, patches * (cloud > 0))
    pixels = pixels * (1 - mask[..., None]) + white * mask[..., None]
    reading = palette.read_panel(
        photo_of(pixels.astype(np.uint8)), DAYLIGHT, paints=_shelf(), corners=day_scene.corners,
        layout=planned[0],
    )  # fmt: skip
    notes = {n.section: n for n in palette.compare_with_scheme(reading, Scheme(paint_of=planned[1])).notes}
    assert notes[str(thin)].thin or notes[str(thin)].wrong
    assert notes[str(blotchy)].blotchy
    assert set(notes) == {str(thin), str(blotchy)}


def _shelf():
    from scoring import paints_of

    return paints_of(scenes.PAINTS)


def test_sections_of_another_panel_are_refused(day_reading):
    with pytest.raises(palette.InputError, match="read the photo with the layout of this scheme"):
        palette.compare_with_scheme(day_reading, Scheme(paint_of={"somewhere": "lemon"}))


@pytest.fixture(scope="module")
def white_photo(day_scene):
    """The same wall bare: white, with the light falling off to the right."""
    pixels = np.full((1600, 1200, 3), 96, np.uint8)
    shade = np.linspace(225, 170, 1200)[None, :, None] * np.array([1.0, 0.99, 0.96])
    corners = np.round(day_scene.corners).astype(np.int32)
    mask = np.zeros(pixels.shape[:2], np.uint8)
    cv2.fillPoly(mask, [corners], 1)
    return photo_of(
        np.where(mask[..., None] > 0, np.broadcast_to(shade, pixels.shape), pixels).astype(np.uint8)
    )


@pytest.mark.parametrize("light", [DAYLIGHT, BLACKLIGHT], ids=lambda light: light.id)
def test_repainting_keeps_hue_and_shading(white_photo, day_scene, planned, light):
    panel, paint_of = planned
    looks = palette.appearance_of(_shelf(), [light])
    preview = palette.repaint_photo(
        white_photo, day_scene.corners, panel, Scheme(paint_of=paint_of), looks, light
    )
    assert preview.image.shape == white_photo.pixels.shape
    for outline, paint in zip(day_scene.outlines_px, day_scene.paints, strict=True):
        x, y = np.asarray(outline).mean(axis=0).astype(int)
        seen = preview.image[y - 3 : y + 4, x - 3 : x + 4].reshape(-1, 3).mean(axis=0)
        column = 0 if light is DAYLIGHT else 1
        wanted = np.clip(np.array(scenes.PAINTS[paint][column]), 0, None)
        # The strongest channel of the paint is the strongest on the picture.
        assert int(np.argmax(seen)) == int(np.argmax(wanted))
    if light is DAYLIGHT:
        outside = preview.image[20:60, 20:60]
        assert np.array_equal(outside, white_photo.pixels[20:60, 20:60])
        by_paint = {}
        for outline, paint in zip(day_scene.outlines_px, day_scene.paints, strict=True):
            x, y = np.asarray(outline).mean(axis=0).astype(int)
            by_paint.setdefault(paint, []).append((x, float(preview.image[y, x].astype(float).sum())))
        pairs = [sorted(places) for places in by_paint.values() if len(places) > 1]
        spread = [p for p in pairs if p[-1][0] - p[0][0] > 300]
        assert spread
        assert all(p[0][1] > p[-1][1] for p in spread)


def test_a_panel_in_colours_is_not_repainted(day_scene, planned):
    panel, paint_of = planned
    looks = palette.appearance_of(_shelf(), [DAYLIGHT])
    with pytest.raises(palette.InputError, match="already painted"):
        palette.repaint_photo(
            photo_of(day_scene.photo), day_scene.corners, panel, Scheme(paint_of=paint_of), looks, DAYLIGHT
        )


NAMES = ["lemon", "teal", "cobalt", "gray card", "rose", "tangerine", "violet", "moss"]


def board(column, *, balance):
    """A board of eight swatches, 2 rows of 4, black between, one of them an 18 % gray card."""
    pixels = np.full((700, 1200, 3), 0.03)
    for k, name in enumerate(NAMES):
        row, place = divmod(k, 4)
        grey = np.full(3, 0.18 if column == 0 else 0.004)
        colour = grey if name == "gray card" else np.array(scenes.PAINTS[name][column])
        pixels[60 + row * 300 : 320 + row * 300, 60 + place * 280 : 300 + place * 280] = colour
    exposed = np.clip(pixels * np.array(balance) * 0.5, 0, 1)
    coded = np.where(
        exposed <= 0.0031308, 12.92 * exposed, 1.055 * np.maximum(exposed, 1e-9) ** (1 / 2.4) - 0.055
    )
    return photo_of(np.round(coded * 255).astype(np.uint8))


CORNERS = np.array([[10.0, 10.0], [1190.0, 10.0], [1190.0, 690.0], [10.0, 690.0]])


def test_swatches_come_back_as_they_were_mixed():
    """Against CIELAB by scikit-image of the colours, clipped below zero as a camera clips."""
    found = palette.read_swatches(
        board(0, balance=(0.9, 0.8, 0.7)), CORNERS, NAMES, blacklight=board(1, balance=(1, 1, 1))
    )
    assert found.names == tuple(name for name in NAMES if name != "gray card")
    for k, name in enumerate(found.names):
        day = xyz2lab(MATRIX @ np.clip(scenes.PAINTS[name][0], 0, None))
        assert deltaE_ciede2000(found.daylight[k], day) < 2.0
    text = palette.swatches_to_toml(found)
    assert text.count("[[paint]]") == 7
    assert "blacklight = [" in text


def test_what_is_missing_is_asked_for():
    photo = board(0, balance=(1, 1, 1))
    with pytest.raises(palette.InputError, match="no gray or white card is among the names"):
        palette.read_swatches(photo, CORNERS, [n for n in NAMES if n != "gray card"])
    with pytest.raises(palette.InputError, match="8 swatches are seen, but 7 names are given"):
        palette.read_swatches(photo, CORNERS, NAMES[:-1])
    alone = palette.read_swatches(photo, CORNERS, NAMES)
    assert any("no blacklight photo" in warning for warning in alone.warnings)
