"""SVG 2 drawings, held against the standard's own rules and closed forms.

Sources, by section, cited from memory: SVG 2 (W3C Candidate Recommendation, 2018) and CSS Values
and Units 3, 6.2, for lengths. Areas are closed forms written out beside each case.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely

import palette
from palette.layouts.svg_shapes import CHORD_ERROR_MM

MILLIMETRES = 'width="100mm" height="100mm" viewBox="0 0 100 100"'


@pytest.fixture
def draw(tmp_path):
    """Return a function that reads a drawing with this body, a unit being a millimetre."""

    def read(body: str, head: str = MILLIMETRES, size=None) -> palette.Panel:
        path = Path("wall.svg")
        path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{body}</svg>', encoding="utf-8")
        return palette.read_layout(path, size=size)

    return read


def only(panel: palette.Panel) -> shapely.Polygon:
    (section,) = panel.sections
    return section.outline


@pytest.mark.parametrize(
    ("width", "mm"),
    [
        # CSS: 1in = 2.54cm = 25.4mm = 101.6Q = 72pt = 6pc = 96px.
        ("1in", 25.4),
        ("2.54cm", 25.4),
        ("25.4mm", 25.4),
        ("101.6Q", 25.4),
        ("72pt", 25.4),
        ("6pc", 25.4),
        ("96px", 25.4),
        ("96", 25.4),
        ("+9.6e1", 25.4),
    ],
)
def test_units_of_length(draw, width, mm):
    panel = draw(f'<rect width="{width}" height="1mm"/>', f'width="{width}" height="2in"')
    assert panel.width_mm == pytest.approx(mm, abs=1e-9)
    assert panel.height_mm == pytest.approx(50.8, abs=1e-9)
    assert only(panel).bounds == pytest.approx((0, 0, mm, 1), abs=1e-9)


def test_a_percentage_is_of_the_viewport(draw):
    panel = draw('<rect x="25%" width="50%" height="10%"/>', 'width="200mm" height="100mm"')
    assert only(panel).bounds == pytest.approx((50, 0, 150, 10))
    panel = draw('<rect x="25%" width="50%" height="10%"/>', MILLIMETRES)
    assert only(panel).bounds == pytest.approx((25, 0, 75, 10))


@pytest.mark.parametrize(
    ("fit", "bounds"),
    [
        # SVG 2, 8.2, worked by hand: a 10 x 10 box in a viewport of 200 mm x 100 mm.
        ("", (50, 0, 150, 100)),
        ("xMidYMid meet", (50, 0, 150, 100)),
        ("xMinYMin", (0, 0, 100, 100)),
        ("xMaxYMax meet", (100, 0, 200, 100)),
        ("none", (0, 0, 200, 100)),
    ],
)
def test_a_view_box_is_fitted_into_the_drawing(draw, fit, bounds):
    head = 'width="200mm" height="100mm" viewBox="-5 -5 10 10"'
    panel = draw(
        '<rect x="-5" y="-5" width="10" height="10"/>', head + f' preserveAspectRatio="{fit}"' * bool(fit)
    )
    assert only(panel).bounds == pytest.approx(bounds)


def test_slice_covers_the_drawing(draw):
    head = 'width="200mm" height="100mm" viewBox="0 0 10 10" preserveAspectRatio="xMidYMid slice"'
    # The scale is the larger one, 20; half of what is left over, (100 - 200) / 2, hangs out above.
    assert only(draw('<rect x="0" y="4" width="5" height="2"/>', head)).bounds == pytest.approx(
        (0, 30, 100, 70)
    )


def test_a_side_left_out_follows_the_view_box(draw):
    panel = draw('<rect width="96" height="72"/>', 'width="96in" viewBox="0 0 96 72"')
    assert (panel.width_mm, panel.height_mm) == pytest.approx((2438.4, 1828.8))


def test_transforms_nest_as_in_the_standards_figure(draw):
    # SVG 1.1, 7.5: translate(50,90), rotate(-45), translate(130,160) make up
    # [.707 -.707 .707 .707 255.03 111.21]; the standard's figure rounds, hence 0.05.
    body = (
        '<g transform="translate(50,90)"><g transform="rotate(-45)">'
        '<g transform="translate(130,160)"><rect width="10" height="10"/></g></g></g>'
    )
    corners = only(draw(body, 'width="500mm" height="500mm" viewBox="0 0 500 500"')).exterior.coords
    expected = [
        (0.707 * x + 0.707 * y + 255.03, -0.707 * x + 0.707 * y + 111.21)
        for x, y in ((0, 0), (10, 0), (10, 10), (0, 10))
    ]
    for corner in expected:
        assert min(math.dist(corner, other) for other in corners) < 0.05


@pytest.mark.parametrize(
    ("transform", "corner"),
    [
        # Where the point (10, 20) goes, by the matrices of CSS Transforms 1, 13.
        ("translate(5)", (15, 20)),
        ("scale(2)", (20, 40)),
        ("scale(2 3)", (20, 60)),
        ("rotate(90 50 50)", (80, 10)),
        ("skewX(45)", (30, 20)),
        ("skewY(45)", (10, 30)),
        ("matrix(1 2 3 4 5 6)", (1 * 10 + 3 * 20 + 5, 2 * 10 + 4 * 20 + 6)),
        ("translate(1,2), scale(2)translate(3 4)", (1 + 2 * 13, 2 + 2 * 24)),
    ],
)
def test_each_transform(draw, transform, corner):
    body = f'<polygon points="10,20 11,20 11,22 10,22" transform="{transform}"/>'
    points = only(draw(body, 'width="300mm" height="300mm" viewBox="0 0 300 300"')).exterior.coords
    assert min(math.dist(corner, point) for point in points) < 1e-9


@pytest.mark.parametrize(
    ("shape", "area"),
    [
        ('<circle cx="50" cy="50" r="40"/>', math.pi * 40**2),
        ('<ellipse cx="50" cy="50" rx="40" ry="10" transform="rotate(30 50 50)"/>', math.pi * 400),
        ('<ellipse cx="50" cy="50" rx="20" ry="auto"/>', math.pi * 400),
        ('<rect width="80" height="40" rx="10"/>', 80 * 40 - (4 - math.pi) * 100),
        ('<rect width="80" height="40" rx="10" ry="5"/>', 80 * 40 - (4 - math.pi) * 50),
        # A radius is at most half a side: this is an ellipse of 40 x 20.
        ('<rect width="80" height="40" rx="500" ry="500"/>', math.pi * 40 * 20),
        ('<path d="M10 50 A40 40 0 0 1 90 50z"/>', math.pi * 800),
        ('<path d="M10 50 A40 20 0 0 1 90 50z"/>', math.pi * 400),
        # A radius too small is scaled up until the arc reaches (SVG 2, 9.5.1): a half circle.
        ('<path d="M10 50 A1 1 0 0 1 90 50z"/>', math.pi * 800),
        # Flags need no spaces; the long way round: three quarters of a circle.
        ('<path d="M50 10a40 40 0 1040 40L50 50z"/>', math.pi * 1600 * 3 / 4),
        # A radius of nothing is a straight line.
        ('<path d="M10 50 A0 5 0 0 1 90 50 L 50 90z"/>', 80 * 40 / 2),
        # Archimedes: a parabola's segment is 2/3 of its control triangle.
        ('<path d="M10 90Q50 10 90 90z"/>', 2 / 3 * (80 * 80 / 2)),
        # Of the cubic (0,0) (0,h) (w,h) (w,0) the area is 3/5 w h.
        ('<path d="M10 10C10 70 90 70 90 10z"/>', 0.6 * 80 * 60),
        # The smooth forms mirror the last control point.
        ('<path d="M10 50 q20 -40 40 0 t40 0 V90 H10z"/>', 80 * 40),
        ('<path d="M10 50 c0 -30 40 -30 40 0 s40 30 40 0 V90 H10 z"/>', 80 * 40),
    ],
)
def test_areas_of_curves(draw, shape, area):
    outline = only(draw(shape))
    # What flattening may take or add: the chord error all along the outline.
    assert abs(outline.area - area) <= CHORD_ERROR_MM * outline.length
    assert outline.area == pytest.approx(area, rel=0.02)


@pytest.mark.parametrize("radius", [3.0, 40.0, 1_500.0])
def test_a_flattened_circle_stays_within_the_chord_error(draw, radius):
    side = 2 * radius
    body = f'<circle cx="{radius}" cy="{radius}" r="{radius}"/>'
    outline = only(draw(body, f'width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}"'))
    angle = np.linspace(0, 2 * math.pi, 20_011)
    true = shapely.points(radius + radius * np.column_stack([np.cos(angle), np.sin(angle)]))
    assert shapely.distance(true, outline.exterior).max() <= CHORD_ERROR_MM + 1e-9


def test_a_squeezed_and_turned_curve_is_flattened_in_millimetres(draw):
    # A unit circle of one unit radius, drawn 900 mm x 300 mm: the steps are counted on the wall.
    head = 'width="2000mm" height="2000mm" viewBox="0 0 2000 2000"'
    body = '<circle r="1" transform="translate(1000 1000) rotate(20) scale(900 300)"/>'
    outline = only(draw(body, head))
    assert abs(outline.area - math.pi * 900 * 300) <= CHORD_ERROR_MM * outline.length


@pytest.mark.parametrize(
    ("rings", "rule", "area"),
    [
        # SVG 2, 13.4.2: inner ring the same way round, and the other way.
        ("M10 10H90V90H10Z M30 30H70V70H30Z", "nonzero", 6400),
        ("M10 10H90V90H10Z M30 30H70V70H30Z", "evenodd", 4800),
        ("M10 10H90V90H10Z M30 30V70H70V30Z", "nonzero", 4800),
        ("M10 10H90V90H10Z M30 30V70H70V30Z", "evenodd", 4800),
        # After closing, a line goes on from where the ring began.
        ("M10 10h80v80h-80zl5 5h10v10h-10z", "evenodd", 6400 - 125),
    ],
)
def test_fill_rules_and_holes(draw, rings, rule, area):
    assert only(draw(f'<path d="{rings}" fill-rule="{rule}"/>')).area == pytest.approx(area)
    assert only(draw(f'<g style="fill-rule:{rule}"><path d="{rings}"/></g>')).area == pytest.approx(area)


def test_names_come_from_title_then_label_then_id_then_order(draw):
    panel = draw(
        '<rect id="a" aria-label="b" width="9" height="9"><title> brow\n stone </title></rect>'
        '<rect id="a2" aria-label="sill" x="20" width="9" height="9"/>'
        '<rect id="heart" x="40" width="9" height="9"/>'
        '<rect x="60" width="9" height="9"/>'
    )
    assert panel.ids == ("brow stone", "sill", "heart", "section 4")


def test_roles_and_depth_are_inherited(draw):
    panel = draw(
        "<title>North wall</title>"
        '<g data-role="trim"><rect id="post" width="9" height="100"/>'
        '<rect id="slab" data-role="section" data-depth="1.5" x="20" width="9" height="9"/></g>'
        '<g data-depth="3"><rect id="far" x="40" width="9" height="9"/></g>'
        '<rect id="window" data-role="void" x="60" width="9" height="9"/>'
        '<rect data-role="hatch" x="19" width="31" height="11"/>'
        '<g data-role="ignore"><rect width="100" height="100"/><line x2="5" y2="5"/></g>'
    )
    assert panel.name == "North wall"
    assert [(section.id, section.depth) for section in panel.sections] == [("slab", 1.5), ("far", 3.0)]
    assert [(feature.id, feature.role) for feature in panel.features] == [
        ("post", "trim"),
        ("window", "void"),
    ]
    assert panel.hatch is not None
    assert panel.hatch.bounds == (19, 0, 50, 11)


def test_what_is_not_drawn_is_no_section(draw):
    panel = draw(
        '<defs><rect id="d" width="50" height="50"/></defs>'
        '<clipPath><rect width="50" height="50"/></clipPath>'
        '<symbol><rect width="50" height="50"/></symbol><mask><rect width="50" height="50"/></mask>'
        '<pattern><rect width="50" height="50"/></pattern><text>slab</text><image href="photo.jpg"/>'
        "<style>rect { fill: red }</style><linearGradient/><metadata><rect/></metadata>"
        '<x:rect xmlns:x="urn:other" width="50" height="50"/><!-- a remark --><?a remark?>'
        '<rect display="none" width="50" height="50"/>'
        '<g style="display: none"><rect width="50" height="50"/></g>'
        '<g visibility="hidden"><rect width="50" height="50"/>'
        '<rect visibility="visible" id="seen" width="5" height="5"/></g>'
    )
    assert panel.ids == ("seen",)


def test_a_repeated_shape_is_drawn_where_it_is_repeated(draw):
    panel = draw(
        '<defs><rect id="slab" width="10" height="10"/>'
        '<g id="pair"><use href="#slab" id="left"/></g></defs>'
        '<use href="#slab" id="one" x="20" y="5"/>'
        '<use xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="#pair" transform="translate(50 50)"/>'
    )
    bounds = {section.id: section.outline.bounds for section in panel.sections}
    assert bounds == {"one": (20, 5, 30, 15), "left": (50, 50, 60, 60)}


def test_a_nested_drawing_has_its_own_viewport(draw):
    body = '<svg x="10" y="20" width="40" height="40" viewBox="0 0 2 1"><rect width="2" height="1"/></svg>'
    assert only(draw(body)).bounds == pytest.approx((10, 30, 50, 50))


def test_the_size_may_be_given_where_the_drawing_has_none(draw):
    body, head = '<rect width="96" height="72"/>', 'viewBox="0 0 96 72"'
    assert only(draw(body, head, size="8 ft x 6 ft")).bounds == pytest.approx((0, 0, 2438.4, 1828.8))
    with pytest.raises(palette.InputError) as fault:
        draw(body, head)
    assert str(fault.value) == (
        "wall.svg: the drawing does not say how large it is; "
        'add width="96in" height="72in" to its <svg> element, or state the size.'
    )
    with pytest.raises(palette.InputError) as fault:
        draw(body, head + ' width="96in"', size="9 ft x 6 ft")
    assert str(fault.value) == (
        "wall.svg: its own size is 2438.4 mm x 1828.8 mm, but the size asked for is "
        "2743.2 mm x 1828.8 mm; leave one of them out."
    )


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (
            '<line id="crack" x1="1" y1="1" x2="50" y2="1"/>',
            'section "crack": its line is left open, with its ends 49.0 mm apart; '
            'close it, or mark it data-role="ignore".',
        ),
        (
            '<polyline id="crack" points="1,1 20,20 31,1"/>',
            'section "crack": its line is left open, with its ends 30.0 mm apart; '
            'close it, or mark it data-role="ignore".',
        ),
        (
            '<path id="crack" d="M1 1H20V20"/>',
            'section "crack": its line is left open, with its ends 26.9 mm apart; '
            'close it, or mark it data-role="ignore".',
        ),
        (
            '<path id="bow" d="M10 10L90 90H10L90 10z"/>',
            'section "bow": its outline crosses or touches itself 50 mm from the left and 50 mm '
            "from the top; redraw that corner.",
        ),
        (
            '<path id="two" d="M1 1h9v9h-9z M20 1h9v9h-9z"/>',
            'section "two": it is drawn as 2 separate pieces; '
            "make each piece a shape with a name of its own.",
        ),
        (
            '<path id="nothing" d="M1 1H20H5z"/>',
            'section "nothing": it has no area; draw its outline anew or delete it.',
        ),
        ('<rect width="9"/>', 'section "section 1": it has no area; draw its outline anew or delete it.'),
        ('<rect id="a" width="-9" height="9"/>', 'section "a", width: -9 is below zero; make it positive.'),
        (
            '<rect id="a" width="2em" height="9"/>',
            'section "a", width: "em" in "2em" is not a fixed unit; use mm, cm, in, pt or px.',
        ),
        (
            '<circle id="a" r="big"/>',
            'section "a", r: "big" is not a length; write it like 12, 12.5mm or 3in.',
        ),
        (
            '<path id="a" d="M0 0 L10 0 10 10 xx z"/>',
            'section "a": its "d" cannot be read; redraw it or mend its numbers.',
        ),
        (
            '<path id="a" d="L0 0 10 0 10 10z"/>',
            'section "a": its "d" cannot be read; redraw it or mend its numbers.',
        ),
        (
            '<path id="a" d="M0 0 L1e999 0 10 10z"/>',
            'section "a": its "d" cannot be read; redraw it or mend its numbers.',
        ),
        (
            '<polygon id="a" points="0,0 10,0 10"/>',
            'section "a": its "points" cannot be read; redraw it or mend its numbers.',
        ),
        (
            '<rect id="a" width="9" height="9" transform="turn(9)"/>',
            'rect "a": "turn(9)" is not a transform; '
            "use matrix, translate, scale, rotate, skewX or skewY with plain numbers.",
        ),
        (
            '<circle id="a" r="9" transform="scale(0)"/>',
            'section "a": it has no area; draw its outline anew or delete it.',
        ),
        (
            '<rect id="a" width="9" height="9" transform="scale(1e300) scale(1e300)"/>',
            'section "a": its "transform" cannot be read; redraw it or mend its numbers.',
        ),
        (
            '<rect id="a" width="9" height="9" style="transform: rotate(1turn)"/>',
            'rect "a": "rotate(1turn)" is not a transform; '
            "use matrix, translate, scale, rotate, skewX or skewY with plain numbers.",
        ),
        (
            '<rect id="a" width="9" height="9" data-role="trims"/>',
            'rect "a": its data-role "trims" is not known; write "trim" if that was meant.',
        ),
        (
            '<rect width="9" height="9" data-role="42"/>',
            'a rect without a name: its data-role "42" is not known; '
            "use one of: hatch, ignore, section, trim, void.",
        ),
        (
            '<rect id="a" width="9" height="9" data-depth="far"/>',
            'rect "a": its data-depth "far" is not a number; write 0 for the nearest, larger for farther.',
        ),
        (
            '<use id="copy" href="other.svg#slab"/>',
            'use "copy": it repeats "other.svg#slab", which is no shape or group of this drawing; '
            "draw the shape itself.",
        ),
        (
            '<g id="g"><use href="#g"/></g>',
            "a use without a name: it repeats itself without end; draw the shape itself.",
        ),
    ],
)
def test_a_fault_is_one_sentence_with_its_place(draw, body, sentence):
    with pytest.raises(palette.InputError) as fault:
        draw(body)
    assert str(fault.value) == f"wall.svg, {sentence}"


def test_all_faults_of_a_drawing_are_told_at_once(draw):
    with pytest.raises(palette.InputError) as fault:
        draw('<line id="a" x2="9"/><rect id="b" width="120" height="9"/><circle id="c"/>')
    assert [line.split(":")[0] for line in str(fault.value).splitlines()] == [
        'wall.svg, section "a"',
        'wall.svg, section "c"',
        'wall.svg, section "b"',
    ]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "it is not sound XML, at line 1, column 1; save it anew as SVG from your drawing program."),
        (
            "<svg>\n<rect></svg>",
            "it is not sound XML, at line 2, column 9; save it anew as SVG from your drawing program.",
        ),
        (
            '<svg width="1in" height="1in" transform="scale(2)"/>',
            "its outermost <svg> element has a transform; "
            "put the shapes in a <g> and give that the transform.",
        ),
        ("<html/>", "it is XML, but not an SVG drawing; save it as SVG."),
        (
            '<!DOCTYPE svg [<!ENTITY a "aaaa">]><svg width="1in" height="1in">&a;</svg>',
            "it defines XML entities or reaches for another file; save it as plain SVG.",
        ),
        (
            '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hostname">]><svg>&a;</svg>',
            "it defines XML entities or reaches for another file; save it as plain SVG.",
        ),
        (
            '<?xml version="1.0" encoding="klingon"?><svg/>',
            "its text encoding is not known; save it as UTF-8.",
        ),
        ('<svg width="1in" height="1in"/>', "the panel has no sections; draw at least one closed shape."),
    ],
)
def test_a_broken_file_is_one_sentence(tmp_path, text, sentence):
    path = Path("wall.svg")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(palette.InputError) as fault:
        palette.read_layout(path)
    assert str(fault.value) == f"wall.svg: {sentence}"


def test_a_bare_doctype_is_harmless(tmp_path):
    path = Path("wall.svg")
    path.write_text(
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
        '<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in">'
        '<rect width="9" height="9"/></svg>'
    )
    assert palette.read_layout(path).ids == ("section 1",)


@pytest.mark.parametrize(
    ("last", "what"),
    [
        ('<rect width="1" height="1"/>', "holds more than 50,000 elements, repeats counted"),
        ("<g/>", "holds more than 50,000 elements, repeats counted"),
    ],
)
def test_a_drawing_that_multiplies_itself_is_stopped(draw, last, what):
    groups = "".join(f'<g id="g{k}">' + f'<use href="#g{k + 1}"/>' * 10 + "</g>" for k in range(9))
    with pytest.raises(palette.InputError) as fault:
        draw(f'<defs>{groups}<g id="g9">{last}</g></defs><use href="#g0"/>')
    assert str(fault.value) == f"wall.svg: it {what}; simplify the drawing."
