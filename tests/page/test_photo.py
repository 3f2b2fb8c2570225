"""From a photo to a wall, in a browser. The photo is rendered here: coloured stones, black gaps, askew."""

from __future__ import annotations

import io
import json

import pytest

from .conftest import CANYON
from .seeing import choose_section, drop, press, verdict

pytest.importorskip("playwright", reason="playwright is not installed")

# The hall's paints, roughly, as a phone shows them: invented for this picture.
_STONES = [
    "#e2362c",
    "#f4f01e",
    "#1f86e6",
    "#38d64e",
    "#ff9126",
    "#8247c8",
    "#ff5fae",
    "#38d64e",
    "#1f86e6",
]


def render_photo() -> bytes:
    """Return a JPEG of 1600 x 1200: a wall of nine stones, seen a little from the side."""
    import numpy as np
    from PIL import Image, ImageDraw

    wall = Image.new("RGB", (900, 900), "#151312")
    pen = ImageDraw.Draw(wall)
    for k, colour in enumerate(_STONES):
        x, y = (k % 3) * 298 + 10, (k // 3) * 298 + 10
        pen.rectangle((x, y, x + 284, y + 284), fill=colour)
    corners = [(420, 150), (1180, 190), (1160, 1050), (440, 1090)]
    rows, values = [], []
    for (u, v), (x, y) in zip([(0, 0), (900, 0), (900, 900), (0, 900)], corners, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        values += [u, v]
    terms = np.linalg.solve(np.array(rows, float), np.array(values, float))
    photo = Image.new("RGB", (1600, 1200), "#8d8880")
    seen = wall.transform(photo.size, Image.Transform.PERSPECTIVE, list(terms), Image.Resampling.BICUBIC)
    mask = Image.new("L", photo.size, 0)
    ImageDraw.Draw(mask).polygon(corners, fill=255)
    photo.paste(seen, mask=mask)
    noise = np.random.default_rng(7).normal(0, 2.0, (1200, 1600, 3))
    noisy = np.clip(np.asarray(photo, float) + noise, 0, 255).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(noisy).save(buffer, "JPEG", quality=92)
    return buffer.getvalue()


def test_from_a_photo_to_a_corrected_wall_and_its_verdict(serve, visit, keep_picture):
    server = serve()
    page = visit(server)
    drop(
        page, "Drop a photo here", {"name": "hall.jpg", "mimeType": "image/jpeg", "buffer": render_photo()}
    )
    page.wait_for_selector(".desk-corner", timeout=60_000)
    page.get_by_label("Size of the wall").fill("1800 mm x 1800 mm")
    keep_picture(page, "p1-corners")

    # A corner goes astray and is dragged back; the typed figures follow.
    page.get_by_text("Type the corners instead").click()
    picture = page.locator(".desk-picture img").bounding_box()
    scale = picture["width"] / 1600
    handle = page.locator("circle.desk-corner").first.bounding_box()
    page.mouse.move(handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2)
    page.mouse.down()
    page.mouse.move(picture["x"] + 600 * scale, picture["y"] + 400 * scale, steps=4)
    typed = """([axis, px]) => Math.abs(
        document.querySelector(`[aria-label='Corner top left, pixels ${axis}']`).value - px) < 12"""
    page.wait_for_function(typed, arg=["across", 600])
    page.mouse.move(picture["x"] + 420 * scale, picture["y"] + 150 * scale, steps=4)
    page.mouse.up()
    page.wait_for_function(typed, arg=["down", 150])

    press(page, "Find the sections")
    page.wait_for_selector(".section", timeout=90_000)
    assert page.locator("[data-section]").count() == 9
    assert "1800 mm" in page.locator(".step").first.inner_text()
    keep_picture(page, "p2-found")
    before = verdict(page)

    # Two sections were one stone: join them. Another is really two: cut it.
    press(page, "Correct the sections")
    page.wait_for_selector(".desk-section")
    chips = page.locator(".desk .chip")
    chips.nth(0).click()
    chips.nth(1).click()
    press(page, "Join into one")
    page.wait_for_function("document.querySelectorAll('.desk-section').length === 8")
    press(page, "Cut in two")
    box = page.locator(".desk-section").last.bounding_box()
    for share in (-0.05, 1.05):
        page.mouse.click(
            box["x"] + box["width"] / 2, box["y"] + box["height"] * min(max(share, 0.02), 0.98)
        )
        page.wait_for_timeout(300)
    page.wait_for_function("document.querySelectorAll('.desk-section').length === 9")
    keep_picture(page, "p3-corrected")
    press(page, "Put it on the page")
    page.wait_for_function("document.querySelectorAll('[data-section]').length === 9")
    page.wait_for_function(
        "told => document.querySelector('.verdict-words').textContent !== told", arg=before
    )
    page.get_by_role("switch", name="On the photo").click()
    page.wait_for_selector(".on-photo")
    keep_picture(page, "p4-on-the-photo")
    assert {"photo.jpg", "wall-photo.jpg", "wall.svg", "brief.toml"} <= {
        f.name for f in server.folder.iterdir()
    }


def test_a_photo_of_the_painted_wall_is_compared_with_its_scheme(serve, visit, painted, keep_picture):
    """The demo's photo has one section in another paint than the scheme: that one is named, no other."""
    server = serve(painted)
    page = visit(server)
    page.wait_for_selector(".section")
    drop(page, "Drop a photo of the painted wall here", str(CANYON / "painted.jpg"))
    page.wait_for_selector(".desk-corner", timeout=60_000)
    assert page.get_by_label("Size of the wall").count() == 0
    page.get_by_text("Type the corners instead").click()
    places = [point.split(",") for point in (CANYON / "corners.txt").read_text().split()]
    names = ("top left", "top right", "bottom right", "bottom left")
    for point, name in zip(places, names, strict=True):
        for value, way in zip(point, ("across", "down"), strict=True):
            figure = page.get_by_label(f"Corner {name}, pixels {way}")
            figure.fill(value)
            figure.press("Enter")
    press(page, "Check the wall")
    page.wait_for_selector(".checked", timeout=90_000)
    told = page.locator(".step").last
    assert "1 of 18 sections is not as planned" in told.inner_text()
    scheme = json.loads((painted / "scheme.json").read_text())["paint_of"]
    assert f"ledge east has heather pink, planned was {scheme['ledge east']}." in told.inner_text()
    assert told.locator(".checked").get_attribute("alt").endswith("seen under daylight.")
    keep_picture(page, "p8-painted-wall")

    # With another scheme on the wall the verdict no longer holds, and goes.
    choose_section(page, 1)
    page.locator(".chooser .offer[aria-pressed=false]").first.click()
    page.wait_for_selector(".checked", state="detached")
