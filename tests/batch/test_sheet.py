"""The contact sheet: every job once, whole, in its place, on paper and on a screen."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from palette.batch.result import JobResult, Weakest
from palette.batch.sheet import lay_contact_sheet, thumbnail_px
from palette.papers.furniture import room_of
from palette.papers.marks import Area, Box, Lines, Page, Picture, Words, rectangle
from palette.papers.pdf import pdf_of
from palette.papers.raster import pixels_of
from palette.papers.sheet import Sheet

# width x height of walls, mm: a flat of 4 x 8 ft, one lying, a long run, a pillar, a square
WALLS = ((1219, 2438), (2438, 1219), (9600, 1200), (400, 2600), (2000, 2000))


def picture(width, height, tint):
    scale = 240 / max(width, height)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    buffer = io.BytesIO()
    Image.new("RGB", size, tint).save(buffer, "PNG")
    return buffer.getvalue()


def many(count):
    results, thumbnails = [], []
    for k in range(count):
        wall = WALLS[k % len(WALLS)]
        faulty = k % 11 == 5
        name = (
            f"Wall {k}" if k % 3 else f"The wall {k} with a name that no column is wide enough for, by far"
        )
        results.append(
            JobResult(
                id=f"wall-{k}",
                kind="assign",
                name=name,
                source=f"walls/wall-{k}.svg",
                state="wrong-input" if faulty else "good",
                sections=None if faulty else 18,
                paints=() if faulty else ("gorse", "moss"),
                weakest=None
                if faulty
                else Weakest(a="a", b="b", light="daylight", difference=38.14, bound=38.14, proven=True),
                sentence=f"walls/wall-{k}.svg: " + "the outline crosses itself; " * 40 if faulty else "",
            )
        )
        thumbnails.append(
            () if faulty else (picture(*wall, f"#20a0{k % 256:02x}"), picture(*wall, f"#1020{k % 256:02x}"))
        )
    return results, thumbnails


@pytest.mark.parametrize("count", [1, 2, 5, 7, 13, 23, 24, 25, 40, 200])
def test_every_job_has_its_place_and_nothing_covers_anything(count):
    results, thumbnails = many(count)
    pages = lay_contact_sheet(results, thumbnails, title="hall")
    assert len(pages) == -(-count // 24)
    assert sum(isinstance(m, Picture) for page in pages for m in page.marks) == sum(map(len, thumbnails))
    for page in pages:
        room = room_of(page.sheet)
        pictures = [m for m in page.marks if isinstance(m, Picture)]
        boxes = [Box(m.x, m.y, m.x + m.width, m.y + m.height) for m in pictures]
        words = [word.box for word in page.words]
        for box in [*boxes, *(word for word in words if word.top > room.top and word.bottom < room.bottom)]:
            assert room.left - 0.01 <= box.left
            assert box.right <= room.right + 0.01
            assert room.top - 0.01 <= box.top
            assert box.bottom <= room.bottom + 0.6
        for one, other in combinations(boxes, 2):
            assert not one.overlaps(other)
        for box in boxes:
            assert not any(box.overlaps(word) for word in words)
        # Baselines and descenders of neighbouring lines may touch, whole lines may not.
        lines = sorted(word for word in ((w.x, w.y, w.text) for w in page.words))
        assert len(set(lines)) == len(lines)
        # No picture is stretched; a pixel of rounding in a picture 240 px long is allowed.
        for mark in pictures:
            with Image.open(io.BytesIO(mark.data)) as opened:
                assert mark.height / mark.width == pytest.approx(opened.height / opened.width, rel=1e-6)


def test_names_that_are_there_twice_give_way_to_the_folders():
    results, thumbnails = many(3)
    twins = [JobResult(**{**_fields(each), "name": "North wall"}) for each in results[:2]]
    said = [w.text for w in lay_contact_sheet(twins, thumbnails[:2], title="hall")[0].words]
    assert "wall-0" in said
    assert "wall-1" in said
    assert "North wall" not in said


def _fields(result):
    return {name: getattr(result, name) for name in result.__dataclass_fields__}


def test_a_job_without_a_picture_says_why():
    results, thumbnails = many(6)
    (page,) = lay_contact_sheet(results, thumbnails, title="hall")
    said = " ".join(word.text for word in page.words)
    assert "walls/wall-5.svg: the outline" in said
    assert "✗ wrong input" in said
    assert "5 good · 1 with wrong input" in said
    assert said.count("✓ weakest 38.1, proven") == 5


def test_paper_and_screen_carry_every_page(tmp_path):
    results, thumbnails = many(30)
    pages = lay_contact_sheet(results, thumbnails, title="hall")
    reader = PdfReader(io.BytesIO(pdf_of(pages, title="hall")))
    assert len(reader.pages) == 2
    # A4 is 210 x 297 mm (ISO 216), a point 1/72 in.
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx(
        [210 / 25.4 * 72, 297 / 25.4 * 72], abs=0.01
    )
    text = reader.pages[1].extract_text()
    assert "Wall 29" in text
    assert "2 / 2" in text
    assert len(reader.pages[0].images) == 2 * (24 - 2)
    screen = pixels_of(pages[0], dpi=100, number=1, count=2)
    assert screen.shape == (round(297 / 25.4 * 100), round(210 / 25.4 * 100), 3)


def test_marks_stand_where_millimetres_say():
    sheet = Sheet(width_mm=100, height_mm=50)
    solid = io.BytesIO()
    Image.new("RGB", (8, 8), "#0000ff").save(solid, "PNG")
    page = Page(
        sheet=sheet,
        marks=(
            Area(rings=(rectangle(10, 10, 20, 10),), fill="#ff0000", stroke=None),
            Picture(data=solid.getvalue(), x=50, y=10, width=20, height=20),
            Lines(paths=(np.array([[10.0, 40.0], [90.0, 40.0]]),), stroke="#00ff00", width_pt=4),
            Words(x=80, y=30, text="H", size_pt=20),
        ),
    )
    # 254 pixels per inch are ten for each mm.
    pixels = pixels_of(page, dpi=254)
    assert pixels.shape == (500, 1000, 3)
    red = np.argwhere((pixels == (255, 0, 0)).all(axis=2))
    blue = np.argwhere((pixels == (0, 0, 255)).all(axis=2))
    green = np.argwhere((pixels == (0, 255, 0)).all(axis=2))
    assert red.min(axis=0) == pytest.approx([100, 100], abs=1)
    assert red.max(axis=0) == pytest.approx([199, 299], abs=1)
    assert (blue.min(axis=0).tolist(), blue.max(axis=0).tolist()) == ([100, 500], [299, 699])
    # 4 pt are 1.41 mm, half of it above the line.
    assert green[:, 0].min() == pytest.approx(400 - 7, abs=1.5)
    assert green[:, 0].max() == pytest.approx(400 + 7, abs=1.5)
    black = np.argwhere((pixels == 0).all(axis=2))
    assert black[:, 0].max() <= 301
    assert black[:, 1].min() >= 800


def test_pictures_are_asked_for_as_large_as_they_are_shown():
    # 200 dots per inch over 190 mm are 1496; four columns of six rows leave each about a quarter.
    assert thumbnail_px(1) == pytest.approx(1496, abs=2)
    assert thumbnail_px(24) == thumbnail_px(200)
    assert 46 / 25.4 * 200 <= thumbnail_px(24) < 600
