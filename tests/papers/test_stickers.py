"""Labels: in their cells, on the sheet's steps, with codes other programs read."""

import json
from dataclasses import replace

import cv2
import numpy as np
import pytest
from PIL import Image, ImageDraw

from palette.papers.marks import Area, Words
from palette.papers.stickers import sticker_pages
from palette.plan import make_plan
from palette.plan.settings import LabelSheet

# A US Letter sheet of 3 × 10 labels of 2 5/8 × 1 in (common practice): in inches, turned to mm.
LETTER = LabelSheet(page_mm=(215.9, 279.4), left_mm=0.1875 * 25.4, top_mm=12.7, width_mm=2.625 * 25.4,
                    height_mm=25.4, step_x_mm=2.75 * 25.4, step_y_mm=25.4, columns=3, rows=10)  # fmt: skip


def with_labels(plan, sheet, shelf):
    each = plan.panels[0]
    return make_plan([(each.panel, each.scheme)], shelf, replace(plan.settings, labels=sheet))


def cell_of(sheet, x, y):
    column = (x - sheet.left_mm) / sheet.step_x_mm
    row = (y - sheet.top_mm) / sheet.step_y_mm
    return int(row), int(column), column % 1 * sheet.step_x_mm, row % 1 * sheet.step_y_mm


@pytest.mark.parametrize("sheet", [LabelSheet(), LETTER])
def test_everything_lies_in_a_label(demo, shelf, looks_of, sheet):
    plan = with_labels(demo, sheet, shelf)
    for page in sticker_pages(plan, looks_of(plan)):
        for mark in page.marks:
            corners = []
            if isinstance(mark, Words):
                corners = [(mark.box.left, mark.box.top), (mark.box.right, mark.box.bottom)]
            elif isinstance(mark, Area):
                points = np.vstack(mark.rings)
                corners = [tuple(points.min(axis=0)), tuple(points.max(axis=0))]
            cells = set()
            for x, y in corners:
                row, column, dx, dy = cell_of(sheet, x, y)
                assert -0.01 <= dx <= sheet.width_mm + 0.01, mark
                assert -0.01 <= dy <= sheet.height_mm + 0.01, mark
                cells.add((row, column))
            assert len(cells) <= 1


def test_one_label_a_can_a_panel_a_board_and_a_section(demo, looks_of):
    each = demo.panels[0]
    boards = sum(feature.role == "trim" for feature in each.panel.features)
    texts = [words.text for page in sticker_pages(demo, looks_of(demo)) for words in page.words]
    assert sum(text.startswith("opened:") for text in texts) == len(demo.used_paints)
    pages = sticker_pages(demo, looks_of(demo))
    codes = sum(isinstance(mark, Area) and len(mark.rings) > 50 for page in pages for mark in page.marks)
    assert codes == boards + len(each.panel.ids)


def test_a_sheet_begun_before_starts_further_on(demo, shelf, looks_of):
    plan = with_labels(demo, replace(LabelSheet(), first=5), shelf)
    first = sticker_pages(plan, looks_of(plan))[0]
    row, column, _, _ = cell_of(LabelSheet(), first.words[0].x, first.words[0].y)
    assert (row, column) == (1, 1)


def test_the_codes_can_be_read(demo, looks_of):
    """OpenCV reads every code of the first sheet back."""
    page = sticker_pages(demo, looks_of(demo))[0]
    each = demo.panels[0]
    cans = {section: demo.can_number[paint] for section, paint in each.scheme.paint_of.items()}
    expected = {
        f"{each.panel.name} / {section} / can {can} / {each.edition}" for section, can in cans.items()
    }
    read = set()
    for mark in page.marks:
        if not (isinstance(mark, Area) and len(mark.rings) > 50):
            continue
        points = np.vstack(mark.rings)
        low, high = points.min(axis=0) - 3, points.max(axis=0) + 3
        image = Image.new("L", tuple(int(v) for v in (high - low) * 14), 255)
        draw = ImageDraw.Draw(image)
        for ring in mark.rings:
            (x0, y0), (x1, y1) = (ring.min(axis=0) - low) * 14, (ring.max(axis=0) - low) * 14
            draw.rectangle((x0, y0, x1, y1), fill=0)
        read.add(cv2.QRCodeDetector().detectAndDecode(np.array(image))[0])
    codes = {text for text in read if "/ can" in text}
    assert len(codes) >= 10, json.dumps(sorted(read))
    assert codes <= expected
