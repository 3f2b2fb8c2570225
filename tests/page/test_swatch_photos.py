"""Paints from photos of a board of swatches, in a browser. The board is drawn here in invented colours."""

from __future__ import annotations

import io
import re
import tomllib

import pytest

from .seeing import drop, findings, press, wait_until_saved

pytest.importorskip("playwright", reason="playwright is not installed")

_DAY = ["#b03030", "#767676", "#3050a0", "#a0a040"]
"""The second is the card: sRGB 118 is 18 % of white (IEC 61966-2-1), so nothing is to be scaled."""
_NIGHT = ["#d02010", "#040404", "#1030c0", "#60d020"]


def _board(colours):
    import numpy as np
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (900, 700), "#151312")
    pen = ImageDraw.Draw(picture)
    for k, colour in enumerate(colours):
        x, y = 60 + k % 2 * 410, 50 + k // 2 * 310
        pen.rectangle((x, y, x + 370, y + 280), fill=colour)
    noise = np.random.default_rng(7).normal(0, 2.0, (700, 900, 3))
    noisy = np.clip(np.asarray(picture, float) + noise, 0, 255).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(noisy).save(buffer, "PNG")
    return buffer.getvalue()


def _drop(page, told, name, colours):
    file = {"name": name, "mimeType": "image/png", "buffer": _board(colours)}
    drop(page, f"Drop the board {told} here", file)
    page.wait_for_selector(f".note >> text={name}, 900 by 700 pixels")


def test_a_board_of_swatches_comes_onto_the_shelf(serve, visit, painted, keep_picture):
    """Against CIELAB by scikit-image of the colours drawn."""
    from skimage.color import deltaE_ciede2000, rgb2lab

    server = serve(painted)
    page = visit(server)
    page.get_by_text("Paints from a photo of swatches").click()
    shelf = "Put its paints on the shelf"
    press(page, shelf)
    page.wait_for_selector(".q-notification >> text=there is no photo of it in daylight")
    _drop(page, "in daylight", "day.png", _DAY)
    press(page, shelf)
    page.wait_for_selector(".q-notification >> text=there is no photo of it under blacklight")
    _drop(page, "under blacklight", "night.png", _NIGHT)
    press(page, shelf)
    page.wait_for_selector(".q-notification >> text=the swatches have no names yet")
    page.get_by_label("Names, row by row").fill("rust, slate, dusk, lichen")
    page.get_by_label("Corners of the board in daylight").fill("10,10 890,10 890,690 10,690")
    press(page, shelf)
    page.wait_for_selector(".q-notification >> text=no gray or white card is among the names")
    page.get_by_label("Names, row by row").fill("rust, gray card, dusk, lichen")
    before = page.locator(".cans .can").count()
    press(page, shelf)
    page.wait_for_selector(".q-notification >> text=Now on the shelf: rust, dusk, lichen", timeout=30_000)
    assert page.locator(".cans .can-title").all_inner_texts()[before:] == ["rust", "dusk", "lichen"]
    page.wait_for_timeout(500)
    assert findings(page) == []
    keep_picture(page, "s1-swatches", whole=True)
    wait_until_saved(server, lambda _: "lichen" in (server.folder / "paints.toml").read_text())
    tables = tomllib.loads((server.folder / "paints.toml").read_text())["paint"][before:]
    for table, colour in zip(tables, (_DAY[0], _DAY[2], _DAY[3]), strict=True):
        drawn = rgb2lab([int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)])
        assert deltaE_ciede2000(table["swatch"]["daylight"], drawn) < 2.0
        assert len(table["swatch"]["blacklight"]) == 3

    page.get_by_role("button", name=re.compile("^Undo: added 3 paints")).click()
    page.wait_for_function(f"document.querySelectorAll('.cans .can').length === {before}")
