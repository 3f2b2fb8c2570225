"""Label images: pixels in, outlines out, checked by counting pixels."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw
from PIL.PngImagePlugin import PngInfo

import palette
from palette.layouts import panel_from_label_image

RED, BLUE = (220, 40, 30), (30, 60, 220)


@pytest.fixture
def read(tmp_path):
    """Return a function that saves pixels as a PNG and reads them as a panel of 1 mm a pixel."""

    def save_and_read(pixels, *, size="same", **options) -> palette.Panel:
        path = Path("wall.png")
        picture = pixels if isinstance(pixels, Image.Image) else Image.fromarray(np.asarray(pixels))
        picture.save(path, **options)
        if size == "same":
            size = f"{picture.width} mm x {picture.height} mm"
        return palette.read_layout(path, size=size)

    return save_and_read


def two_fields(first, second, dtype=np.uint8):
    """Return 60 x 100 pixels: two fields with a gap of 4 between them and 2 all round."""
    pixels = np.zeros((60, 100, *np.shape(first)), dtype)
    pixels[2:-2, 2:48] = first
    pixels[2:-2, 52:-2] = second
    return pixels


def test_each_flat_colour_is_a_section(read):
    panel = read(two_fields(RED, BLUE))
    assert panel.ids == ("section 1", "section 2")
    assert (panel.width_mm, panel.height_mm) == (100, 60)
    assert [section.outline.bounds for section in panel.sections] == [(2, 2, 48, 58), (52, 2, 98, 58)]
    assert panel.label_image is not None
    assert panel.label_image.names == panel.ids
    assert panel.label_image.mm_per_px == pytest.approx(1)
    assert np.bincount(panel.label_image.labels.ravel()).tolist() == [848, 46 * 56, 46 * 56]


@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
def test_each_grey_level_is_a_section_called_by_its_number(read, dtype):
    high = np.iinfo(dtype).max
    assert read(two_fields(7, high, dtype)).ids == ("section 7", f"section {high}")


def test_apart_means_separate_and_touching_at_a_corner_is_apart(read):
    pixels = np.zeros((40, 40), np.uint8)
    pixels[:20, :20] = pixels[20:, 20:] = 7
    pixels[20:, :20] = 9
    panel = read(pixels)
    assert panel.ids == ("section 7.1", "section 9", "section 7.2")
    assert [section.outline.area for section in panel.sections] == [400, 400, 400]


def test_sections_without_a_gap_keep_one_common_line(read):
    angle = np.linspace(0, 1, 300)[None, :] + np.linspace(0, 0.4, 200)[:, None]
    pixels = np.digitize(angle, [0.3, 0.7, 1.1]).astype(np.uint8) + 1
    panel = read(pixels)
    outlines = [section.outline for section in panel.sections]
    assert shapely.coverage_is_valid(outlines)
    assert sum(outline.area for outline in outlines) == pytest.approx(200 * 300)
    for value, outline in zip((1, 2, 3, 4), outlines, strict=True):
        assert outline.area == pytest.approx((pixels == value).sum(), rel=0.01)
        # Straight slanted edges come out straight, not as two hundred steps.
        assert len(outline.exterior.coords) < 12


@pytest.mark.parametrize("seed", range(8))
def test_random_fields_fit_together_without_gap_or_overlap(read, seed):
    rng = np.random.default_rng(seed)
    seeds = np.stack(np.meshgrid(np.arange(4), np.arange(3)), axis=-1).reshape(-1, 2) * 40 + 20
    seeds = seeds + rng.uniform(-12, 12, seeds.shape)
    spots = np.stack(np.meshgrid(np.arange(160), np.arange(120)), axis=-1)
    # Each pixel belongs to its nearest seed; the first seed's field is the gap.
    pixels = np.linalg.norm(spots[:, :, None] - seeds, axis=-1).argmin(axis=-1).astype(np.uint8)
    panel = read(pixels)
    outlines = [section.outline for section in panel.sections]
    assert len(outlines) == 11
    assert shapely.coverage_is_valid(outlines)
    counted = np.bincount(panel.label_image.labels.ravel())[1:]
    for outline, count in zip(outlines, counted, strict=True):
        assert outline.is_valid
        # The outline may move by a pixel at most.
        assert abs(outline.area - count) <= outline.length


def test_a_hole_in_a_section_stays_a_hole(read):
    pixels = np.full((60, 60), 5, np.uint8)
    pixels[20:40, 25:35] = 0
    (section,) = read(pixels).sections
    assert section.outline.area == 3600 - 200
    assert len(section.outline.interiors) == 1


def test_transparent_pixels_are_gap(read):
    pixels = np.zeros((60, 100, 4), np.uint8)
    pixels[..., :3] = 255
    pixels[2:-2, 2:48] = (*RED, 255)
    assert read(pixels).ids == ("section 1",)


def test_a_palette_picture_is_read_by_its_colours(read):
    picture = Image.fromarray(two_fields(RED, BLUE)).quantize(8)
    assert picture.mode == "P"
    assert [section.outline.area for section in read(picture).sections] == [46 * 56, 46 * 56]


def test_a_black_and_white_picture_has_its_white_fields(read):
    assert read(Image.fromarray(two_fields(255, 255)).convert("1")).ids == (
        "section 255.1",
        "section 255.2",
    )


def test_names_may_come_in_a_text_chunk(read):
    text = PngInfo()
    text.add_itxt("Title", "South wall")
    text.add_itxt("Section names", json.dumps({"#DC281E": "sill", "#1e3cdc": "brow"}))
    panel = read(two_fields(RED, BLUE), pnginfo=text)
    assert (panel.name, panel.ids) == ("South wall", ("sill", "brow"))


def test_the_size_may_come_from_the_file(read):
    # PNG, 11.3.5.3 (pHYs): whole pixels per metre; 500 of them are 2 mm a pixel.
    panel = read(two_fields(RED, BLUE), size=None, dpi=(500 * 0.0254, 500 * 0.0254))
    assert (panel.width_mm, panel.height_mm) == (200, 120)
    assert panel.label_image.mm_per_px == pytest.approx(2)


@pytest.mark.parametrize(
    ("size", "sentence"),
    [
        (
            None,
            "the picture does not say how large it is; "
            'state its size, like size = "96 in x 72 in", or save it with its resolution',
        ),
        (
            "60 mm x 100 mm",
            "its 100 x 60 pixels do not fit 60.0 mm x 100.0 mm, which would stretch them by 178 %; "
            "give width x height of the whole picture, or crop it to the panel",
        ),
        (
            "103 mm x 60 mm",
            "its 100 x 60 pixels do not fit 103.0 mm x 60.0 mm, which would stretch them by 3 %; "
            "give width x height of the whole picture, or crop it to the panel",
        ),
    ],
)
def test_a_size_that_is_missing_or_does_not_fit(read, size, sentence):
    with pytest.raises(palette.InputError) as fault:
        read(two_fields(RED, BLUE), size=size)
    assert str(fault.value) == f"wall.png: {sentence}."


SMOOTH = "save it without smoothing (anti-aliasing), each section in one flat colour."


def test_a_smoothed_edge_is_noticed(read):
    big = Image.fromarray(two_fields(RED, BLUE)).rotate(5, expand=False, resample=Image.Resampling.BICUBIC)
    with pytest.raises(palette.InputError) as fault:
        read(big)
    assert str(fault.value).startswith("wall.png: it has ")
    assert "specks or fringes less than 3 pixels wide or 25 pixels large, the first " in str(fault.value)
    assert str(fault.value).endswith(SMOOTH)
    assert "\n" not in str(fault.value)


def test_one_speck_is_noticed_with_its_place(read):
    pixels = two_fields(7, 9)
    pixels[30:33, 20:24] = 8
    with pytest.raises(palette.InputError) as fault:
        read(pixels)
    assert str(fault.value) == (
        "wall.png: it has 1 speck or fringe less than 3 pixels wide or 25 pixels large, "
        f"the first 20 mm from the left and 30 mm from the top; {SMOOTH}"
    )


def test_a_photo_is_no_label_image(read):
    noise = np.random.default_rng(1).integers(1, 255, (90, 90, 3), dtype=np.uint8)
    with pytest.raises(
        palette.InputError, match=r"^wall\.png: it holds 8,\d\d\d different colours; save it"
    ):
        read(noise)


def test_a_black_picture_is_an_empty_panel(read):
    with pytest.raises(palette.InputError) as fault:
        read(np.zeros((30, 30), np.uint8))
    assert str(fault.value) == "wall.png: the panel has no sections; draw at least one closed shape."


def test_names_that_are_no_table_are_refused(read):
    text = PngInfo()
    text.add_text("Section names", "[1, 2]")
    with pytest.raises(palette.InputError) as fault:
        read(two_fields(RED, BLUE), pnginfo=text)
    assert str(fault.value) == (
        'wall.png: its text "Section names" is not a table of names; '
        'write JSON like {"#ff8800": "sill"}, or leave it out.'
    )


@pytest.mark.parametrize(
    ("side", "what"),
    [(10_000, "it has 10,000 x 10,000 pixels"), (14_000, "it has more than 178,956,970 pixels")],
)
def test_a_decompression_bomb_is_refused_before_it_is_opened(tmp_path, side, what):
    path = Path("wall.png")
    Image.new("1", (side, side)).save(path)
    with pytest.raises(palette.InputError) as fault:
        palette.read_layout(path, size="1 m x 1 m")
    assert str(fault.value) == f"wall.png: {what}; make it smaller: 1 mm a pixel is fine enough."


def test_a_label_image_from_elsewhere_becomes_a_panel():
    labels = np.zeros((30, 50), np.int32)
    labels[5:25, 5:20], labels[5:25, 22:45] = 1, 2
    image = palette.LabelImage(labels=labels, mm_per_px=4.0, names=("brow", "sill"))
    panel = panel_from_label_image(image, name="From a photo", source="photo.jpg")
    assert (panel.width_mm, panel.height_mm, panel.source) == (200, 120, "photo.jpg")
    assert [section.outline.bounds for section in panel.sections] == [(20, 20, 80, 100), (88, 20, 180, 100)]
    assert panel.label_image is image


def test_pixels_that_are_not_square_are_refused_by_their_own_resolution():
    pixels = np.zeros((60, 100, 3), np.uint8)
    pixels[5:55, 5:95] = (200, 80, 40)
    Image.fromarray(pixels).save("wall.png", dpi=(25.4, 50.8))
    with pytest.raises(palette.InputError) as fault:
        palette.read_layout("wall.png")
    assert str(fault.value) == (
        "wall.png: its 100 x 60 pixels do not fit 100.0 mm x 30.0 mm, which would stretch them by 100 %; "
        "give width x height of the whole picture, or crop it to the panel."
    )


@pytest.mark.parametrize("seed", range(6))
def test_sharp_tips_that_fall_into_specks_stay_with_their_stone(seed):
    # Long thin triangles without smoothing: their tips are rows of pixels that touch at corners.
    random = np.random.default_rng(seed)
    picture = Image.new("RGB", (400, 300))
    for row in range(3):
        left, right = random.integers(5, 20), random.integers(360, 395)
        base = 20 + 95 * row
        tip = base + random.integers(0, 60)
        corners = [(left, base), (left + 20, base + 70), (right, tip)]
        ImageDraw.Draw(picture).polygon([tuple(map(int, c)) for c in corners], fill=(60 + 60 * row, 90, 30))
    picture.save("wall.png", dpi=(25.4, 25.4))
    panel = palette.read_layout("wall.png")
    assert len(panel.sections) == 3
    for section in panel.sections:
        assert section.outline.is_valid


def test_a_speck_joins_the_piece_at_its_corner_and_two_pieces_stay_two():
    pixels = np.zeros((60, 100, 3), np.uint8)
    pixels[10:30, 10:30] = pixels[31:50, 31:50] = (200, 80, 40)
    pixels[30, 30] = (200, 80, 40)  # between the two squares, corner to corner with both
    Image.fromarray(pixels).save("wall.png", dpi=(25.4, 25.4))
    panel = palette.read_layout("wall.png")
    # The first square, the speck and the pixel painted to join them; the second square.
    assert np.bincount(panel.label_image.labels.ravel())[1:].tolist() == [400 + 2, 361]
