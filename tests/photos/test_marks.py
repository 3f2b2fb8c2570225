"""Corrections from label images and drawings."""

import numpy as np
import pytest
from PIL import Image

from palette.errors import InputError
from palette.photos import read_marks
from palette.tracing.photo import Photo

PHOTO = Photo(pixels=np.zeros((300, 400, 3), np.uint8), width_px=800, height_px=600, source="wall.jpg")


def test_a_grey_label_image_keeps_its_values_as_names(tmp_path):
    labels = np.zeros((600, 800), np.uint8)
    labels[100:200, 100:300] = 7
    labels[300:400, 100:300] = 9
    Image.fromarray(labels).save(tmp_path / "labels.png")
    marks = read_marks(tmp_path / "labels.png", PHOTO)
    assert marks.label_names == ("7", "9")
    assert set(np.unique(marks.labels)) == {0, 1, 2}
    assert marks.labels[150, 150] == 1


def test_a_coloured_label_image_is_read_by_its_flat_colours(tmp_path):
    labels = np.zeros((600, 800, 3), np.uint8)
    labels[100:200, 100:300] = (255, 0, 16)
    Image.fromarray(labels).save(tmp_path / "labels.png")
    assert read_marks(tmp_path / "labels.png", PHOTO).label_names == ("#ff0010",)


def test_a_label_image_of_another_size_is_refused(tmp_path):
    Image.new("L", (640, 480), 1).save(tmp_path / "labels.png")
    with pytest.raises(InputError, match="640 x 480 pixels, the photo 800 x 600"):
        read_marks(tmp_path / "labels.png", PHOTO)


def test_a_black_label_image_is_refused(tmp_path):
    Image.new("L", (800, 600), 0).save(tmp_path / "labels.png")
    with pytest.raises(InputError, match="black all over"):
        read_marks(tmp_path / "labels.png", PHOTO)


def test_a_drawing_has_polygons_and_clicks_in_the_photos_pixels(tmp_path):
    (tmp_path / "marks.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300">'
        '<polygon id="lintel" points="10,20 110,20 110,80 10,80"/>'
        '<g transform="translate(100 50)"><circle cx="20" cy="30" r="4"/></g></svg>'
    )
    polygon, click = read_marks(tmp_path / "marks.svg", PHOTO).shapes
    assert polygon.name == "lintel"
    assert polygon.points[:4].tolist() == [[20, 40], [220, 40], [220, 160], [20, 160]]
    assert click.points.tolist() == [[240, 160]]


def test_a_drawing_without_shapes_is_refused(tmp_path):
    (tmp_path / "marks.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>')
    with pytest.raises(InputError, match="it holds no shapes"):
        read_marks(tmp_path / "marks.svg", PHOTO)


def test_a_drawing_that_is_no_xml_is_refused(tmp_path):
    (tmp_path / "marks.svg").write_text("<svg")
    with pytest.raises(InputError, match="it is not sound XML, at line 1"):
        read_marks(tmp_path / "marks.svg", PHOTO)


def test_an_unknown_kind_is_refused(tmp_path):
    with pytest.raises(InputError, match="not a kind of labels"):
        read_marks(tmp_path / "labels.txt", PHOTO)
