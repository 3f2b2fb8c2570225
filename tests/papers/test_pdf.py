"""The PDFs as another program reads them (pypdf): text, fonts, size, true scale."""

import io
import re
from dataclasses import replace
from xml.etree import ElementTree as Xml

import numpy as np
import pytest
import shapely
from pypdf import PdfReader

from palette.panel import Panel, Section
from palette.papers import count_papers, draw_papers
from palette.papers.pdf import pdf_of
from palette.papers.sheet import PAGE_SIZES_MM
from palette.papers.tracing import tracing_pages
from palette.plan import make_plan
from palette.scheme import Scheme

PT = 72 / 25.4


@pytest.fixture(scope="module")
def papers(demo):
    return {paper.name: paper.data for paper in draw_papers(demo)}


@pytest.fixture(scope="module")
def pdfs(papers):
    return {name: PdfReader(io.BytesIO(data)) for name, data in papers.items() if name.endswith(".pdf")}


def fonts_of(reader):
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            yield font.get_object()


def text_of(reader):
    return "\n".join(page.extract_text() for page in reader.pages)


def test_as_many_papers_as_were_counted(demo, papers):
    assert len(papers) == count_papers(demo) == 11


def test_every_font_is_embedded(pdfs):
    for name, reader in pdfs.items():
        fonts = list(fonts_of(reader))
        assert fonts, name
        for font in fonts:
            assert "DejaVuSans" in font["/BaseFont"], name
            assert "/FontFile2" in font["/FontDescriptor"].get_object(), name


def test_text_can_be_copied_and_found(demo, pdfs):
    each = demo.panels[0]
    told = text_of(pdfs["paint-map.pdf"])
    for section in each.panel.ids:
        assert all(word in told for word in section.split()), section
    for name in ("paint-map.pdf", "by-can.pdf", "labels.pdf", "overview.pdf", "work-plan.pdf"):
        words = text_of(pdfs[name])
        assert [paint.id for paint in demo.used_paints if paint.id not in words] == [], name
    assert f"edition {each.edition}" in told


def test_cautions_are_on_every_printed_plan(pdfs):
    for name in ("paint-map.pdf", "by-can.pdf", "overview.pdf", "work-plan.pdf"):
        for page in pdfs[name].pages:
            words = re.sub(r"\s+", " ", page.extract_text())
            assert "never hide an exit" in words, name
            assert "licensed practice decide" in words, name
    words = re.sub(r"\s+", " ", text_of(pdfs["work-plan.pdf"]))
    for title in ("Exits.", "Fire.", "UV-A.", "Air.", "Old paint."):
        assert title in words
    assert "This is an estimate" in words


def test_the_work_plan_tells_quantities_days_and_lamps(demo, pdfs):
    words = re.sub(r"\s+", " ", text_of(pdfs["work-plan.pdf"]))
    for step in demo.timetable.steps:
        assert re.sub(r"\s+", " ", step.title) in words, step.title
    assert "gal" in words
    assert "ft²/gal" in words
    assert "Friday 2 October 2026" in words
    assert "evenness" in words
    for lamp in demo.lamps.lamps:
        assert lamp.id in words


def test_one_page_for_each_can(demo, pdfs):
    pages = pdfs["by-can.pdf"].pages
    assert len(pages) == len(demo.used_paints)
    # Light to dark, and only that can's sections on each.
    each = demo.panels[0]
    for page in pages:
        words = page.extract_text()
        can = int(re.search(r"Can (\d+)", words).group(1))
        paint = next(paint for paint, number in demo.can_number.items() if number == can)
        for section in each.panel.ids:
            mine = each.scheme.paint_of[section] == paint
            assert (section.split()[0] in words) >= mine


def test_pages_are_numbered(pdfs):
    pages = pdfs["by-can.pdf"].pages
    for number, page in enumerate(pages, 1):
        assert f"{number} / {len(pages)}" in page.extract_text()


def test_the_same_plan_gives_the_same_bytes(demo, papers):
    for paper in draw_papers(demo):
        assert paper.data == papers[paper.name], paper.name


def test_no_type_below_nine_points(pdfs):
    for name, reader in pdfs.items():
        for page in reader.pages:
            sizes = [
                float(size) for size in re.findall(rb"/F\d+\S* ([\d.]+) Tf", page.get_contents().get_data())
            ]
            assert min(sizes, default=9.0) >= 8.999, name


# --- true scale -----------------------------------------------------------------------------


def segments_of(page):
    """Return every straight stroke (N, 4) of a page's content stream, mm from its bottom left."""
    found, here = [], None
    for line in page.get_contents().get_data().decode("latin-1").splitlines():
        words = line.split()
        at = 0
        numbers = []
        while at < len(words):
            word = words[at]
            try:
                numbers.append(float(word))
            except ValueError:
                if word == "m":
                    here = tuple(numbers[-2:])
                elif word == "l" and here is not None:
                    found.append((*here, *numbers[-2:]))
                    here = tuple(numbers[-2:])
                numbers = []
            at += 1
    return np.array(found).reshape(-1, 4) / PT


@pytest.fixture(scope="module")
def metre_wall(shelf, settings):
    """A wall whose top edge is 1000 mm long, in one section."""
    panel = Panel(name="metre", width_mm=1000.0, height_mm=400.0,
                  sections=(Section(id="slab", outline=shapely.box(100, 100, 900, 300)),))  # fmt: skip
    scheme = Scheme(paint_of={"slab": shelf[0].id})
    return lambda size: make_plan([(panel, scheme)], shelf, settings.on_paper(size))


@pytest.mark.parametrize("size", list(PAGE_SIZES_MM))
def test_a_metre_is_a_metre_when_the_sheets_are_joined(metre_wall, looks_of, size):
    plan = metre_wall(size)
    reader = PdfReader(io.BytesIO(pdf_of(tracing_pages(plan, plan.panels[0], looks_of(plan)), title="x")))
    pages = reader.pages[1:]
    row = [page for page in pages if re.search(r"sheet A\d+\b", page.extract_text())]
    assert len(row) >= 2
    joined = 0.0
    for number, page in enumerate(row):
        strokes = segments_of(page)
        level = strokes[np.isclose(strokes[:, 1], strokes[:, 3], atol=0.01)]
        upright = strokes[np.isclose(strokes[:, 0], strokes[:, 2], atol=0.01)]
        # The wall's top edge lies 5 mm below the sheet's head line, whose crosses are 5 mm long.
        y = max(line[1] for line in level if line[2] - line[0] > 20 or line[0] - line[2] > 20)
        edge = np.concatenate([line[[0, 2]] for line in level if abs(line[1] - y) < 0.01])
        # Full-height lines: the dashed one to cut along on the left, the one to lay the next sheet on.
        full = sorted(
            x for x, y0, _, y1 in upright if abs(y1 - y0) > 0.99 * np.ptp(upright[:, [1, 3]]) - 12
        )
        begins = edge.min() if number == 0 else max(edge.min(), full[0])
        ends = edge.max() if number == len(row) - 1 else min(edge.max(), full[-1])
        joined += ends - begins
    assert joined == pytest.approx(1000.0, abs=0.05)


@pytest.mark.parametrize("size", list(PAGE_SIZES_MM))
def test_every_sheet_has_a_check_line_of_100_mm(metre_wall, looks_of, size):
    plan = metre_wall(size)
    reader = PdfReader(io.BytesIO(pdf_of(tracing_pages(plan, plan.panels[0], looks_of(plan)), title="x")))
    for page in reader.pages[1:]:
        strokes = segments_of(page)
        lengths = np.hypot(strokes[:, 2] - strokes[:, 0], strokes[:, 3] - strokes[:, 1])
        low = strokes[:, 1] < 14
        assert np.isclose(lengths[low], 100.0, atol=0.01).any()


def test_the_map_is_true_to_its_scale(demo, pdfs):
    page = pdfs["paint-map.pdf"].pages[0]
    scale = float(re.search(r"scale 1 : ([\d.]+)", page.extract_text()).group(1))
    strokes = segments_of(page)
    widths = np.abs(strokes[:, 2] - strokes[:, 0])
    assert np.isclose(widths, demo.panels[0].panel.width_mm / scale, atol=0.02).any()


def test_a_run_of_panels_has_a_map_for_each(demo, shelf, settings):
    each = demo.panels[0]
    jobs = [(replace(each.panel, name=name), each.scheme) for name in ("East wall", "West wall")]
    untraced = replace(settings, paper=replace(settings.paper, tracing="none"))
    plan = make_plan(jobs, shelf, untraced)
    papers = {paper.name: paper.data for paper in draw_papers(plan)}
    assert {f"paint-map-{name}.pdf" for name in ("1-east-wall", "2-west-wall")} <= set(papers)
    assert len(papers) == count_papers(plan)
    words = PdfReader(io.BytesIO(papers["paint-map-1-east-wall.pdf"])).pages[0].extract_text()
    assert "West wall ▶" in words
    can = PdfReader(io.BytesIO(papers["by-can.pdf"]))
    assert len(can.pages) == 2 * len(plan.used_paints)


@pytest.mark.parametrize("name", ["A & B <c>", "a" * 200, "石 ☃ £", "  ", "/../x", "ledge\twest\nlow"])
def test_odd_names_do_no_harm(shelf, settings, name):
    panel = Panel(name=name, width_mm=1000.0, height_mm=400.0,
                  sections=(Section(id=name, outline=shapely.box(100, 100, 900, 300)),))  # fmt: skip
    paint = replace(shelf[0], id=name)
    untraced = replace(settings, paper=replace(settings.paper, tracing="none"))
    plan = make_plan([(panel, Scheme(paint_of={name: name}))], [paint], untraced)
    for paper in draw_papers(plan):
        assert "/" not in paper.name
        if paper.name.endswith(".pdf"):
            assert len(PdfReader(io.BytesIO(paper.data)).pages) >= 1
        if paper.name.endswith(".svg"):
            Xml.fromstring(paper.data.decode())
