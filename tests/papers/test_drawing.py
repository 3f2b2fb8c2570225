"""The map as geometry: patterns inside their sections, told apart in black and white; SVG well formed."""

from io import StringIO
from xml.etree import ElementTree as Xml

import numpy as np
import pytest
import shapely
from svgelements import SVG, Path

from palette.errors import InputError
from palette.papers.looks import look_of_cans
from palette.papers.marks import Box, Dots, Lines, Words, fit_words, wrap_words
from palette.papers.paint_map import map_pages
from palette.papers.patterns import PATTERNS, pattern_marks
from palette.papers.sheet import sheet_of
from palette.papers.svg import svg_of
from palette.papers.views import round_scale, view_in
from palette.papers.wording import clock_words, duration_words, place_words

SLAB = shapely.Polygon([(10, 10), (60, 14), (55, 50), (30, 58), (12, 40)]).difference(
    shapely.Point(30, 30).buffer(5)
)


def ink_of(marks, *, pen=1.0):
    """The shape of all strokes and dots, as a pen of their width (or wider) leaves it."""
    parts = []
    for mark in marks:
        if isinstance(mark, Lines):
            radius = mark.width_pt * 25.4 / 72 / 2 * pen
            parts += [shapely.LineString(path).buffer(radius) for path in mark.paths]
        elif isinstance(mark, Dots):
            parts += [shapely.Point(point).buffer(mark.radius_mm) for point in mark.points]
    return shapely.union_all(parts)


@pytest.mark.parametrize("can", range(1, 2 * len(PATTERNS) + 1))
def test_a_pattern_stays_in_its_section_and_covers_little(can):
    marks = pattern_marks(SLAB, can, ink="#000000")
    ink = ink_of(marks)
    assert not ink.is_empty
    assert ink.difference(SLAB.buffer(0.35)).area < 1e-9
    assert 0.005 < ink.area / SLAB.area < 0.25


def test_no_two_patterns_look_alike():
    """Any two differ in more than a tenth of their inked points, or one of them is broken lines."""
    square = shapely.box(3, 3, 33, 33)
    x, y = np.meshgrid(np.arange(3.1, 33, 0.15), np.arange(3.1, 33, 0.15))
    pictures = []
    for can in range(1, 2 * len(PATTERNS) + 1):
        marks = pattern_marks(square, can, ink="#000000")
        dashes = tuple(getattr(mark, "dash_pt", ()) for mark in marks)
        pictures.append((dashes, shapely.contains_xy(ink_of(marks, pen=2.0), x, y)))
    assert all(points.any() for _, points in pictures)
    for a, (dash_a, one) in enumerate(pictures):
        for dash_b, other in pictures[a + 1 :]:
            assert dash_a != dash_b or (one ^ other).sum() > 0.1 * max(one.sum(), other.sum())


def test_patterns_of_one_can_line_up_across_sections():
    def heights(shape):
        marks = pattern_marks(shape, 1, ink="#000000")
        return {round(float(path[0, 1]), 6) for mark in marks for path in mark.paths}

    assert heights(shapely.box(0, 0, 20, 20)) == heights(shapely.box(20, 0, 40, 20)) != set()


def test_the_ink_is_seen_on_every_fill(demo):
    for look in look_of_cans(demo.can_number, demo.paints).values():
        red, green, blue = (int(look.daylight[k : k + 2], 16) / 255 for k in (1, 3, 5))
        # Relative luminance and contrast as WCAG 2.1 defines them; 3:1 is its bar for graphics.
        linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (red, green, blue)]
        luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        ink = 0.0 if look.ink == "#000000" else 1.0
        light, dark = max(luminance, ink), min(luminance, ink)
        assert (light + 0.05) / (dark + 0.05) >= 3, look.name


def test_the_svg_is_well_formed_and_of_true_size(demo, looks_of):
    page = map_pages(demo, demo.panels[0], looks_of(demo))[0]
    text = svg_of(page, title="map & key")
    root = Xml.fromstring(text)
    assert root.get("width") == "297mm"
    assert root.get("viewBox") == "0 0 297 210"
    shown = {element.text for element in root.iter("{http://www.w3.org/2000/svg}text")}
    assert shown >= {words.text for words in page.words}
    # Another reader sees the face as wide as the scale says.
    scale = next(
        float(w.text.split("scale 1 : ")[1].split()[0]) for w in page.words if "scale 1 : " in w.text
    )

    boxes = [
        shape.bbox() for shape in SVG.parse(StringIO(text), ppi=25.4).elements() if isinstance(shape, Path)
    ]
    widths = [box[2] - box[0] for box in boxes if box]
    assert any(abs(width - demo.panels[0].panel.width_mm / scale) < 0.05 for width in widths)


def test_a_view_fits_its_room_at_a_usual_scale():
    view = view_in(Box(0, 0, 2400, 1200), Box(10, 20, 210, 170))
    assert view.scale == 12
    assert (view.frame.left, view.frame.right) == (10.0, 210.0)
    assert view.frame.height == pytest.approx(100)
    assert view_in(Box(0, 0, 2400, 1200), Box(0, 0, 200, 150), wanted=20).scale == 20
    assert view_in(Box(0, 0, 2400, 1200), Box(0, 0, 200, 150), wanted=10).scale == 12
    assert round_scale(501) == 600


def test_page_sizes_are_the_standard_s():
    # ISO 216 and ANSI Y14.1.
    assert (sheet_of("a4").width_mm, sheet_of("A4").height_mm) == (210, 297)
    assert (sheet_of("A3").width_mm, sheet_of("A3").height_mm) == (297, 420)
    assert sheet_of("Letter").width_mm == pytest.approx(8.5 * 25.4)
    assert sheet_of("Tabloid").height_mm == pytest.approx(17 * 25.4)
    with pytest.raises(InputError, match="there is no page size"):
        sheet_of("B5")


def test_words_are_fitted_and_wrapped():
    shown, size = fit_words("a very long name of a slab", 20, 12)
    assert size == 9.0
    assert shown.endswith("…")
    assert Words(x=0, y=0, text=shown, size_pt=size).box.width <= 20
    lines = wrap_words("a very long name of a slab", 25, 9)
    assert " ".join(lines) == "a very long name of a slab"
    assert all(Words(x=0, y=0, text=line).box.width <= 25 for line in lines)


def test_words_for_times_and_places():
    assert clock_words(34.26) == "10:15"
    assert duration_words(28800) == "8 h"
    assert duration_words(1019) == "16 min"
    assert duration_words(10_000) == "2 h 46 min"
    assert duration_words(45) == "45 s"
    assert place_words(600, -150, 1800) == "60 cm from the left, 15 cm above the top"
    assert place_words(600, 2000, 1800) == "60 cm from the left, 20 cm below the foot"
