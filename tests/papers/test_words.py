"""No words on words, none off the page, none too small: measured on the finished pages.

Word widths are measured a second time with FreeType (through Pillow), so that the drawing
room's own ruler is not the only one.
"""

import importlib.util
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import pytest
import shapely
from PIL import ImageFont

from palette.lamps import Lamp
from palette.papers.can_pages import can_page
from palette.papers.drawing import neighbour_words
from palette.papers.labelled_views import label_view, whole_window
from palette.papers.labelling import label_marks
from palette.papers.marks import Box, Words, text_width
from palette.papers.overview import overview_page
from palette.papers.paint_map import map_pages
from palette.papers.stickers import sticker_pages
from palette.papers.tick_list import tick_pages
from palette.papers.tracing import tracing_pages
from palette.papers.wording import violet_words
from palette.plan import make_plan
from palette.scheme import Scheme

FONTS = (
    Path(importlib.util.find_spec("matplotlib").submodule_search_locations[0])
    / "mpl-data"
    / "fonts"
    / "ttf"
)
PLAIN = ImageFont.truetype(FONTS / "DejaVuSans.ttf", 1000)
BOLD = ImageFont.truetype(FONTS / "DejaVuSans-Bold.ttf", 1000)
LEAST_PT = 9.0


def box_of(words):
    """The room a line takes, by FreeType's advance widths and the font's cap height and descender."""
    size = words.size_pt * 25.4 / 72
    width = (BOLD if words.bold else PLAIN).getlength(words.text) / 1000 * size
    left = words.x - {"start": 0.0, "middle": width / 2, "end": width}[words.anchor]
    return shapely.box(left, words.y - 0.73 * size, left + width, words.y + 0.22 * size)


def faults_of(page):
    boxes = [box_of(words) for words in page.words]
    tree = shapely.STRtree(boxes)
    first, second = tree.query(boxes, predicate="intersects")
    found = []
    for a, b in zip(first, second, strict=True):
        if a < b and boxes[a].intersection(boxes[b]).area > 0.01:
            found.append(f"{page.words[a].text!r} on {page.words[b].text!r}")
    sheet = shapely.box(0, 0, page.sheet.width_mm, page.sheet.height_mm)
    found += [f"{words.text!r} off the page" for words, box in zip(page.words, boxes, strict=True)
              if not sheet.contains(box)]  # fmt: skip
    found += [f"{words.text!r} in {words.size_pt} pt" for words in page.words if words.size_pt < LEAST_PT]
    return found


def all_pages(plan, looks):
    each = plan.panels[0]
    yield from map_pages(plan, each, looks)
    yield from tick_pages(plan, each, looks)
    for paint in plan.used_paints:
        yield from can_page(plan, each, looks, paint.id)
    yield overview_page(plan, looks)


def test_both_rulers_agree():
    for text in ("cap west", "12 · long lintel stone 47", "▲ top, seen from the front", "µW/cm² × ½"):
        for bold, font in ((False, PLAIN), (True, BOLD)):
            by_free_type = font.getlength(text) / 1000 * 9 * 25.4 / 72
            assert text_width(text, 9, bold=bold) == pytest.approx(by_free_type, rel=0.01)


@pytest.mark.parametrize("size", ["A4", "A3", "Letter", "Tabloid"])
def test_the_demo_s_pages(demo, looks_of, shelf, size):
    each = demo.panels[0]
    plan = make_plan([(each.panel, each.scheme)], shelf, demo.settings.on_paper(size))
    looks = looks_of(plan)
    for page in all_pages(plan, looks):
        assert faults_of(page) == [], page.name
    for page in (*sticker_pages(plan, looks), *tracing_pages(plan, plan.panels[0], looks)):
        assert faults_of(page) == [], page.name


@pytest.mark.parametrize("seed", range(20))
def test_twenty_random_panels(random_plan, looks_of, seed):
    plan = random_plan(seed)
    for page in all_pages(plan, looks_of(plan)):
        assert faults_of(page) == [], page.name


@pytest.mark.parametrize("width", [20.0, 45.0, 70.0, 100.0, 250.0])
def test_the_neighbours_names_leave_the_middle_alone(width):
    each = SimpleNamespace(left="west wall, long", right="wall by the bridge")
    words = neighbour_words(each, Box(30.0, 50.0, 30.0 + width, 200.0))
    boxes = sorted((box_of(word) for word in words), key=lambda box: box.bounds[0])
    for left, right in pairwise(boxes):
        assert right.bounds[0] - left.bounds[2] > 0.5
    assert all(box.bounds[0] >= 29.9 and box.bounds[2] <= 30.1 + width for box in boxes)
    assert any(word.text.startswith("▲") for word in words)
    assert len(words) == (1 if width < 30 else 3)


@pytest.mark.parametrize("seed", [1, 8])
def test_labels_of_random_panels(random_plan, looks_of, seed):
    plan = random_plan(seed)
    for page in sticker_pages(plan, looks_of(plan)):
        assert faults_of(page) == [], page.name


@pytest.mark.parametrize("seed", range(20))
def test_every_section_of_random_panels_is_named_on_its_map(random_plan, looks_of, seed):
    plan = random_plan(seed)
    each, numbers = plan.panels[0], plan.can_number
    told = " ".join(words.text for page in map_pages(plan, each, looks_of(plan)) for words in page.words)
    ticked = [words.text for page in tick_pages(plan, each, looks_of(plan)) for words in page.words]
    for section in each.panel.ids:
        assert section in told or all(word in told for word in section.split())
        assert any(text == section or text.rstrip("…") in section for text in ticked)
        assert str(numbers[each.scheme.paint_of[section]]) in told


@pytest.mark.parametrize("seed", [2, 5])
def test_crowded_panels_get_closer_views(random_plan, looks_of, seed):
    plan = random_plan(seed, most=400)
    looks = looks_of(plan)
    pages = map_pages(plan, plan.panels[0], looks)
    for page in pages:
        assert faults_of(page) == [], page.name
    told = [words.text for page in pages for words in page.words]
    for section in plan.panels[0].panel.ids:
        number = section.rsplit(" ", 1)[1]
        assert any(section in text or text.endswith(number) for text in told), section


@pytest.mark.parametrize("seed", range(20))
def test_labels_lie_in_their_sections_and_leaders_do_not_cross(random_plan, seed):
    plan = random_plan(seed)
    each = plan.panels[0]
    room = Box(10, 24, 210, 190)
    numbers = {section: str(plan.can_number[each.scheme.paint_of[section]]) for section in each.panel.ids}
    found = label_view(each, plan, whole_window(each), room, short=numbers)
    leaders = []
    for label in found.labels:
        outline = shapely.transform(each.panel.section(label.section).outline, found.view.to_page)
        if label.leader is None:
            box = shapely.box(label.box.left, label.box.top, label.box.right, label.box.bottom)
            assert outline.contains(box), label.section
        else:
            assert outline.contains(shapely.Point(label.leader[0])), label.section
            leaders.append(shapely.LineString(label.leader))
    for number, leader in enumerate(leaders):
        assert not any(leader.crosses(other) for other in leaders[number + 1 :])
    # Every section has its can's number, and its name unless it is said to lack it.
    assert {label.section for label in found.labels} == set(each.panel.ids)
    for label in found.labels:
        text = " ".join(words.text for words in label.words)
        assert numbers[label.section] in text
        assert (label.section in text) == (label.section not in found.unnamed)
    # Words are painted after every leader and every box.
    kinds = [isinstance(mark, Words) for mark in label_marks(found.labels)]
    assert all(a <= b for a, b in pairwise(kinds))


def test_trim_in_a_can_s_paint_is_on_that_can_s_page_and_in_the_key(demo, shelf, looks_of):
    each = demo.panels[0]
    scheme = Scheme(paint_of={section: shelf[k % 3].id for k, section in enumerate(each.panel.ids)})
    unused = shelf[5].id
    surface = replace(demo.settings.surface, trim_paint=unused)
    plan = make_plan([(each.panel, scheme)], shelf, replace(demo.settings, surface=surface))
    looks = looks_of(plan)
    assert unused in [paint.id for paint in plan.used_paints]
    for pages in (tick_pages(plan, plan.panels[0], looks), can_page(plan, plan.panels[0], looks, unused)):
        assert any(words.text == "trim: kick board" for page in pages for words in page.words)
    key = map_pages(plan, plan.panels[0], looks)[0]
    assert any(words.text == unused for words in key.words)


def test_every_step_has_its_box(demo, looks_of):
    ticked = {
        words.text for page in tick_pages(demo, demo.panels[0], looks_of(demo)) for words in page.words
    }
    for step in demo.timetable.steps:
        words = step.title.split(":")[0].split(";")[0]
        assert words in ticked, words


@pytest.mark.parametrize(
    ("peak_nm", "width_nm", "told"),
    # The tail of a normal distribution, from printed tables (z, share beyond): 3.0, 0.00135;
    # 2.33, 0.0099; 2.32, 0.0102. A full width at half maximum is 2.3548 standard deviations.
    [
        (400 - 3.0 * 10, 23.548, False),
        (400 - 2.34 * 10, 23.548, False),
        (400 - 2.31 * 10, 23.548, True),
        (365, 12, False),
        (395, 12, True),
    ],
)
def test_violet_is_told_from_a_hundredth_of_a_line_on(peak_nm, width_nm, told):
    lamp = Lamp(
        id="flood", x_mm=0, y_mm=0, out_mm=1000, aim_x_mm=0, aim_y_mm=0, beam_deg=90, intensity_w_sr=1,
        peak_nm=peak_nm, width_nm=width_nm,
    )  # fmt: skip
    assert bool(violet_words([lamp])) is told
