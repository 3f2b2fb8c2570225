"""Light in the picture: glare, grain, fall-off, materials, two lights in one."""

import io

import numpy as np
import pytest
from PIL import Image

from palette.errors import InputError
from palette.eyes import Eye
from palette.light import BLACKLIGHT, DAYLIGHT
from palette.light_words import parse_light
from palette.preview import Glare, Grain, Materials, Preview, Style, draw_change, draw_split
from palette.preview.develop import (
    LIT,
    PLAIN,
    by_day,
    decode_image,
    develop,
    encode_linear,
    usual_style,
)
from palette.preview.glare import add_glare, glare_rings
from palette.preview.grain import grain_field
from palette.preview.materials import materials_linear
from palette.preview.relief import Relief, relief_field


def lamp_in_the_dark(size=400):
    image = np.zeros((size, size, 3), np.uint8)
    image[180:220, 180:220] = (40, 255, 90)
    return image


def test_flat_is_untouched():
    image = lamp_in_the_dark()
    assert develop(image, 2.0, PLAIN) is image


def test_codes_survive_the_way_to_light_and_back():
    # IEC 61966-2-1 transfer, 256 codes there and back.
    codes = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    assert np.abs(encode_linear(decode_image(codes)).astype(int) - codes).max() <= 1


def test_too_bright_keeps_its_hue():
    shown = encode_linear(np.array([[[4.0, 2.0, 1.0]]], np.float32))
    assert decode_image(shown)[0, 0] == pytest.approx([1.0, 0.5, 0.25], abs=0.005)


def test_glare_spreads_light_and_makes_none():
    linear = np.zeros((800, 800, 3), np.float32)
    linear[390:410, 390:410] = 1.0
    shown = add_glare(linear, 4.0, Glare(strength=1.0))
    assert shown.sum() == pytest.approx(linear.sum(), rel=0.02)
    along = shown[400, 420:600:40, 1]
    assert np.all(np.diff(along) < 0)
    assert shown[400, 400, 1] < 1.0


def test_glare_follows_the_scatter_function():
    # CIE 135/1 (from memory), a young eye: about a quarter of the light goes beyond 0.1 degrees, and
    # an eye of 70 scatters more, mostly widely. Integrated here with 10/θ³ + 5/θ² on a fine grid.
    theta = np.linspace(0.1, 10, 200_001)
    part = (10 / theta**3 + 5 / theta**2) * 2 * np.pi * theta * (np.pi / 180) ** 2
    known = float(np.sum((part[1:] + part[:-1]) / 2) * (theta[1] - theta[0]))
    young = sum(share for _, share in glare_rings(Glare(age=0.0, strength=1.0)))
    assert young == pytest.approx(known, rel=1e-3)
    old = glare_rings(Glare(age=70.0, strength=1.0))
    assert old[-1][1] > 1.5 * glare_rings(Glare(age=20.0, strength=1.0))[-1][1]


def test_grain_is_seeded_and_gentle():
    field = grain_field(Grain(seed=5), 300, 400, 2.0)
    assert np.array_equal(field, grain_field(Grain(seed=5), 300, 400, 2.0))
    assert not np.array_equal(field, grain_field(Grain(seed=6), 300, 400, 2.0))
    assert field.mean() == pytest.approx(1.0, abs=0.02)
    assert 0.01 < field.std() < 0.08


def test_grain_is_on_the_wall_not_on_the_screen():
    fine, coarse = grain_field(Grain(seed=1), 600, 800, 1.0), grain_field(Grain(seed=1), 300, 400, 2.0)
    averaged = fine.reshape(300, 2, 400, 2).mean(axis=(1, 3))
    assert np.corrcoef(averaged.ravel(), coarse.ravel())[0, 1] > 0.9


def test_lamps_fall_off():
    image = np.full((100, 200, 3), 188, np.uint8)
    lamps = np.tile(np.linspace(1.2, 0.2, 40), (20, 1))
    shown = decode_image(develop(image, 5.0, Style(lamps=lamps)))
    assert shown[50, 10, 0] / shown[50, 190, 0] == pytest.approx(1.17 / 0.23, rel=0.1)


def test_materials_in_the_dark():
    # Common practice: black stays black, brightened white glows blue, violet lamps tint plain white.
    bright = materials_linear(Materials(trim="uv-white"), BLACKLIGHT)["trim"]
    assert bright[2] > 0.5
    assert bright[2] > bright[1]
    assert materials_linear(Materials(), BLACKLIGHT)["joint"].max() < 0.01
    violet = materials_linear(Materials(trim="white"), parse_light("405", where="t"))["trim"]
    assert violet[2] > 3 * violet[1]
    by_day = materials_linear(Materials(trim="wood"), DAYLIGHT)["trim"]
    assert by_day[0] > by_day[1] > by_day[2]


def test_an_unknown_material_is_told():
    with pytest.raises(InputError, match="velvet"):
        materials_linear(Materials(trim="velvet"), DAYLIGHT)


def two():
    left = Preview(image=np.full((90, 120, 3), 200, np.uint8), mm_per_px=2.0, light="daylight")
    right = Preview(image=np.full((90, 120, 3), 20, np.uint8), mm_per_px=2.0, light="blacklight")
    return left, right


def test_a_split_shows_both():
    shown = draw_split(*two())
    assert np.all(shown.image[:, :40] == 200)
    assert np.all(shown.image[:, 80:] == 20)
    assert shown.light == "daylight / blacklight"


def test_the_change_begins_by_day_and_ends_in_the_dark():
    change = draw_change(*two())
    means = [frame.mean() for frame in change.frames]
    middle = len(means) // 2
    assert (means[0], means[middle]) == (200, 20)
    # The room goes dark before the glow is there: first ever darker, then up to the last frame.
    darkest = int(np.argmin(means[: middle + 1]))
    assert np.all(np.diff(means[: darkest + 1]) <= 0)
    assert np.all(np.diff(means[darkest : middle + 1]) >= -1)
    with Image.open(io.BytesIO(change.to_png())) as picture:
        assert picture.is_animated
        # Frames that are alike are stored once, shown longer.
        assert 20 < picture.n_frames <= len(change.frames)


def test_pictures_of_two_sizes_are_refused():
    left, right = two()
    other = Preview(image=right.image[:50], mm_per_px=2.0, light="blacklight")
    with pytest.raises(ValueError, match="differ in size"):
        draw_split(left, other)


def test_an_eye_is_part_of_a_style(canyon_outcome):
    import palette

    outcome = canyon_outcome
    seen = palette.draw_under(outcome, "daylight", width_px=300, style=Style(eye=Eye(kind="deutan")))
    usual = palette.draw_under(outcome, "daylight", width_px=300)

    # A deutan eye tells red from green by hardly more than lightness: red and green channels agree.
    def apart(picture):
        linear = decode_image(picture.image)
        return float(np.abs(linear[..., 0] - linear[..., 1]).mean())

    assert apart(seen) < 0.6 * apart(usual)


def test_relief_shades_edges_and_leaves_fields_alone():
    boards = np.zeros((300, 400), np.float32)
    boards[60:240, 80:320] = 1
    field = relief_field(Relief(edge_mm=9.0), boards, 3.0)
    # Light from above: the upper edge is brighter than the lower one; three edge widths in, nothing.
    assert field[61, 200] > field[238, 200]
    assert field[238, 200] < 0.8
    assert field[90:210, 110:290] == pytest.approx(1.0, abs=0.01)
    assert np.all(field[boards == 0] == 1)


def test_by_day_fields_stay_exact_and_in_the_dark_they_live():
    by_light = {light.kind: usual_style(light) for light in (DAYLIGHT, BLACKLIGHT)}
    assert by_light["daylight"].glare is by_light["daylight"].grain is by_light["daylight"].lamps is None
    assert by_light["blacklight"].glare is not None
    image = np.full((200, 300, 3), (255, 0, 112), np.uint8)
    shown = develop(image, 5.0, by_light["blacklight"], boards=np.ones((200, 300), np.float32))
    # Even where a channel is at the screen's limit, brushwork and fall-off show and hue stays.
    assert shown[..., 0].std() > 2
    middle = decode_image(shown[90:110, 60:90]).mean(axis=(0, 1))
    assert middle[2] / middle[0] == pytest.approx(decode_image(image)[0, 0, 2], rel=0.03)


def test_by_day_lamps_and_glare_are_drowned_and_asked_grain_stays():
    assert by_day(LIT).glare is by_day(LIT).lamps is by_day(LIT).grain is None
    assert by_day(Style(grain=Grain(seed=3))).grain == Grain(seed=3)
