"""Reading photos: formats, EXIF, colour spaces, and files that are no photo."""

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image, ImageCms

from palette.errors import InputError
from palette.photos import parse_corners, read_photo


def picture(width=400, height=300):
    pixels = np.zeros((height, width, 3), np.uint8)
    pixels[:, :, 0] = np.linspace(20, 230, width)[None, :]
    pixels[: height // 2, :, 1] = 200
    return Image.fromarray(pixels)


@pytest.mark.parametrize("suffix", [".jpg", ".png"])
def test_jpeg_and_png_come_in_as_they_are(tmp_path, suffix):
    picture().save(tmp_path / f"wall{suffix}", quality=95)
    photo = read_photo(tmp_path / f"wall{suffix}")
    assert (photo.width_px, photo.height_px) == (400, 300)
    assert photo.shrink == 1.0
    assert np.abs(photo.pixels.astype(int) - np.asarray(picture())).mean() < 6


def test_heic_comes_in(tmp_path):
    import pillow_heif

    pillow_heif.register_heif_opener()
    picture().save(tmp_path / "wall.heic", quality=90)
    photo = read_photo(tmp_path / "wall.heic")
    assert photo.pixels.shape == (300, 400, 3)
    assert np.abs(photo.pixels.astype(int) - np.asarray(picture())).mean() < 6


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_exif_turns_the_photo_upright(tmp_path, orientation):
    """Orientation values as in the EXIF 2.3 standard, table 5: 6 is turned 90 degrees clockwise."""
    upright = picture()
    stored = upright.rotate({1: 0, 3: 180, 6: 90, 8: 270}[orientation], expand=True)
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored.save(tmp_path / "wall.png", exif=exif)
    photo = read_photo(tmp_path / "wall.png")
    assert (photo.width_px, photo.height_px) == (400, 300)
    assert np.array_equal(photo.pixels, np.asarray(upright))


def test_a_large_jpeg_is_read_at_working_size_and_keeps_its_own(tmp_path):
    Image.effect_noise((5000, 4000), 60).convert("RGB").save(tmp_path / "large.jpg", quality=60)
    photo = read_photo(tmp_path / "large.jpg")
    assert (photo.width_px, photo.height_px) == (5000, 4000)
    assert max(photo.pixels.shape) <= 3000
    assert photo.shrink == pytest.approx(photo.pixels.shape[1] / 5000)


def test_the_srgb_profile_changes_nothing(tmp_path):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    picture().save(tmp_path / "tagged.png", icc_profile=profile)
    assert np.array_equal(read_photo(tmp_path / "tagged.png").pixels, np.asarray(picture()))


def told(path):
    with pytest.raises(InputError) as stop:
        read_photo(path)
    sentence = str(stop.value)
    assert "\n" not in sentence
    assert sentence.endswith(".")
    return sentence


def test_a_text_file_is_no_photo(tmp_path):
    path = tmp_path / "wall.jpg"
    path.write_text("not a picture")
    assert "this is not a JPEG, PNG or HEIC photo" in told(path)


def test_a_truncated_file_is_said_to_be_cut_short(tmp_path):
    buffer = io.BytesIO()
    picture().save(buffer, "JPEG")
    path = tmp_path / "wall.jpg"
    path.write_bytes(buffer.getvalue()[: len(buffer.getvalue()) // 2])
    assert "damaged or cut short" in told(path)


def test_a_missing_file_and_a_folder(tmp_path):
    assert "there is no such file" in told(tmp_path / "none.jpg")
    assert "this is a folder" in told(tmp_path)


def test_a_black_photo_says_how_to_shoot_again(tmp_path):
    Image.new("RGB", (400, 300), (3, 2, 4)).save(tmp_path / "black.png")
    assert "the photo is black" in told(tmp_path / "black.png")
    assert "gray card" in told(tmp_path / "black.png")


def test_a_blown_out_photo_says_so(tmp_path):
    Image.new("RGB", (400, 300), (255, 255, 254)).save(tmp_path / "white.png")
    assert "blown out" in told(tmp_path / "white.png")


def test_a_decompression_bomb_is_refused_before_it_is_unpacked(tmp_path):
    """A PNG whose header alone claims 30,000 x 30,000 pixels."""
    header = struct.pack(">IIBBBBB", 30000, 30000, 8, 2, 0, 0, 0)

    def chunk(kind, data):
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    path = tmp_path / "bomb.png"
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 9))
    )
    assert "allowed" in told(path)


def test_another_kind_of_picture_is_refused(tmp_path):
    picture().save(tmp_path / "wall.bmp")
    assert "this is not a JPEG, PNG or HEIC photo; save it as one of these" in told(tmp_path / "wall.bmp")


@pytest.mark.parametrize(
    "text", ["", "1,2 3,4 5,6", "1,2 3,4 5,6 7", "a,b c,d e,f g,h", "1,2 3,4 5,6 nan,8"]
)
def test_corners_that_are_not_four_points_are_refused(text):
    with pytest.raises(InputError, match="is not four corners"):
        parse_corners(text, where="--corners")


def test_corners_are_read():
    assert parse_corners("1,2 3.5,4 5,6 7,8", where="--corners").tolist() == [
        [1, 2],
        [3.5, 4],
        [5, 6],
        [7, 8],
    ]
