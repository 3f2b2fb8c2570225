"""The whole evening in a real browser: from the demo to the papers, and the ways it can go wrong."""

from __future__ import annotations

import io
import json
import re
import zipfile

import pytest

from .seeing import (
    choose_section,
    drop,
    fill_of,
    find_scheme,
    findings,
    open_demo,
    press,
    verdict,
    wait_for_verdict,
    wait_until_saved,
)

pytest.importorskip("playwright", reason="playwright is not installed")


def test_from_the_demo_to_the_download(serve, visit, keep_picture):
    server = serve()
    page = visit(server)
    keep_picture(page, "1-begin")
    open_demo(page)
    assert verdict(page) == "Not every section has a paint yet."
    find_scheme(page)
    wait_for_verdict(page, "Every rule is kept")
    assert page.locator(".proof").count() >= 1
    assert "Proven" in page.locator(".proof").first.inner_text()
    keep_picture(page, "2-found")

    # Touch up: a paint that breaks a rule is said to, is drawn, and can be undone.
    choose_section(page, 7)
    page.wait_for_selector(".offer .sign.bad")
    keep_picture(page, "3-chosen")
    before = fill_of(page, 7)
    bad = page.locator(".offer", has=page.locator(".sign.bad")).first
    assert "breaks a rule" in bad.inner_text()
    bad.click()
    wait_for_verdict(page, "Broken in")
    assert fill_of(page, 7) != before
    assert page.locator(".mark.clash").get_attribute("d") or page.locator(".mark.ring").get_attribute("d")
    keep_picture(page, "4-broken")
    page.get_by_role("button", name=re.compile("^Undo: ")).click()
    wait_for_verdict(page, "Every rule is kept")
    page.get_by_role("button", name=re.compile("^Redo: ")).click()
    wait_for_verdict(page, "Broken in")
    page.get_by_role("button", name=re.compile("^Undo: ")).click()
    wait_for_verdict(page, "Every rule is kept")

    # Keep this section as it is, and find the rest again: the section stays.
    painted = fill_of(page, 7)
    page.get_by_role("switch", name="Keep as it is").click()
    page.wait_for_selector(".chip >> text=✕")
    page.wait_for_selector(".proof", state="detached")
    press(page, "Find the rest again")
    page.wait_for_selector(".proof", timeout=60_000)
    wait_for_verdict(page, "Every rule is kept")
    assert fill_of(page, 7) == painted

    # The lights.
    press(page, "Daylight")
    day = fill_of(page, 7)
    press(page, "Blacklight")
    page.wait_for_function(
        "day => getComputedStyle(document.querySelector(`[data-section='7'] path`)).fill !== day", arg=day
    )
    keep_picture(page, "5-blacklight")
    press(page, "Show it to somebody")
    page.wait_for_selector(".cinema-picture[alt$='under blacklight'][src^='data:image/jpeg']")
    press(page, "Half and half")
    page.wait_for_selector(".cinema-picture[alt$='under split'][src^='data:image/jpeg']")
    page.locator(".cinema").get_by_role("button", name="Close").click()
    page.wait_for_selector(".cinema", state="detached")

    # Take it along.
    wait_until_saved(server, lambda paint_of: len(paint_of) == 18)
    page.wait_for_timeout(500)
    with page.expect_download() as download:
        press(page, "The whole project in one zip")
    with zipfile.ZipFile(download.value.path()) as archive:
        names = {name.rsplit("/", 1)[1] for name in archive.namelist()}
        folder = archive.namelist()[0].split("/")[0]
        scheme = json.loads(archive.read(f"{folder}/scheme.json"))
    assert {"brief.toml", "wall.svg", "paints.toml", "scheme.json"} <= names
    assert scheme == json.loads((server.folder / "scheme.json").read_text())
    with page.expect_download(timeout=60_000) as download:
        press(page, "Paint map")
    assert download.value.path().read_bytes().startswith(b"%PDF")
    page.wait_for_selector(".litres")
    keep_picture(page, "6-paint-day", whole=True)


def test_the_zip_brings_the_evening_back(serve, visit, painted, tmp_path):
    first = visit(serve(painted))
    with first.expect_download() as download:
        press(first, "The whole project in one zip")
    download.value.save_as(tmp_path / "wall.zip")
    there = serve(tmp_path / "other")
    other = visit(there)
    drop(other, "Drop a drawing here", tmp_path / "wall.zip")
    other.wait_for_selector(".section")
    assert verdict(other) == verdict(first)
    wait_until_saved(there, lambda paint_of: len(paint_of) == 18)
    assert (tmp_path / "other" / "wall.svg").read_bytes() == (painted / "wall.svg").read_bytes()


def test_no_scheme_gives_a_reason_and_a_way_out(serve, visit, painted, keep_picture):
    page = visit(serve(painted))
    blank = page.get_by_label("Least difference")
    blank.fill("75")
    blank.press("Enter")
    page.wait_for_function("document.querySelector('[aria-label^=\"Undo: \"]').ariaLabel.includes('blank')")
    press(page, "Find the best scheme")
    page.wait_for_selector(".btn.out", timeout=90_000)
    assert page.locator(".step .fault").first.inner_text()
    assert page.locator(".mark.ring").get_attribute("d"), "the colliding places are drawn"
    keep_picture(page, "7-no-scheme")
    page.locator(".btn.out").first.click()
    page.wait_for_selector(".proof", timeout=90_000)
    wait_for_verdict(page, "Every rule is kept")


def test_a_crash_loses_nothing_that_was_saved_and_the_evening_goes_on(serve, visit, painted):
    server = serve(painted)
    page = visit(server)
    choose_section(page, 3)
    page.locator(".offer").last.click()
    page.wait_for_function("document.querySelectorAll('.offer')[7].ariaPressed === 'true'")
    told = verdict(page)
    paint = page.locator(".offer-name").last.inner_text()
    wait_until_saved(server, lambda paint_of: list(paint_of.values())[2] == paint)
    server.process.kill()
    server.process.wait()
    again = visit(serve(server.folder))
    assert verdict(again) == told
    assert (
        again.get_by_role("button", name="Open the demo wall").count() == 0
        or again.locator(".section").count()
    )


def test_reload_and_the_back_button_keep_the_evening(serve, visit, painted):
    page = visit(serve(painted))
    find_scheme(page)
    told = verdict(page)
    page.reload()
    page.wait_for_selector(".section")
    assert verdict(page) == told
    assert page.get_by_role("button", name=re.compile("^Undo: ")).is_enabled(), "undo outlives a reload"
    page.goto("about:blank")
    page.go_back()
    page.wait_for_selector(".section")
    assert verdict(page) == told


def test_two_tabs_stay_in_step_and_another_program_is_not_written_over(serve, visit, painted):
    server = serve(painted)
    one = visit(server)
    two = visit(server)
    choose_section(one, 1)
    one.locator(".offer").nth(4).click()
    one.wait_for_function("document.querySelectorAll('.offer')[4].ariaPressed === 'true'")
    two.wait_for_function(
        "told => document.querySelector('.verdict-words').textContent === told", arg=verdict(one)
    )
    paint = one.locator(".offer-name").nth(4).inner_text()
    wait_until_saved(server, lambda paint_of: next(iter(paint_of.values())) == paint)
    one.wait_for_timeout(300)
    scheme = json.loads((server.folder / "scheme.json").read_text())
    scheme["paint_of"] = dict.fromkeys(scheme["paint_of"], "brick red")
    (server.folder / "scheme.json").write_text(json.dumps(scheme))
    one.wait_for_selector(".warning >> text=scheme.json")
    assert one.locator(".saved").inner_text() == "Not saved"
    press(two, "Take theirs")
    wait_for_verdict(one, "Broken in")
    assert json.loads((server.folder / "scheme.json").read_text())["paint_of"] == scheme["paint_of"]


def test_keyboard_alone(serve, visit):
    page = visit(serve())
    demo = page.get_by_role("button", name="Open the demo wall")
    demo.focus()
    demo.press("Enter")
    page.wait_for_selector(".section")
    page.get_by_role("button", name="Find the best scheme").press("Enter")
    page.wait_for_selector(".proof", timeout=60_000)
    # One stop for all sections; the arrows walk between them.
    assert page.locator('.section[tabindex="0"]').count() == 1
    page.locator('.section[tabindex="0"]').focus()
    first = page.evaluate("document.activeElement.dataset.section")
    page.keyboard.press("ArrowDown")
    page.wait_for_function("n => document.activeElement.dataset.section !== n", arg=first)
    name = page.evaluate("document.activeElement.getAttribute('aria-label')")
    page.keyboard.press("Enter")
    page.wait_for_selector(".chooser .offer")
    assert page.locator(".chooser h3").inner_text().split(":")[0].split(" ")[0] == name.split(",")[0]
    offer = page.locator('.offer[aria-pressed="false"]').first
    paint = offer.locator(".offer-name").inner_text()
    offer.press("Enter")
    page.wait_for_function(
        "paint => document.querySelector('.chooser h3').textContent.endsWith(paint)", arg=paint
    )
    slider = page.get_by_role("slider", name="Where the two lights meet")
    slider.press("ArrowRight")
    page.wait_for_function("document.querySelector('.q-splitter__before').style.width !== '50%'")


def test_names_with_markup_are_names(serve, visit):
    server = serve()
    page = visit(server)
    page.on("dialog", lambda dialog: pytest.fail(f"a script ran: {dialog.message}"))
    evil = "<img src=x onerror=alert(1)>"
    svg = ('<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm" viewBox="0 0 900 400">'
           '<rect width="440" height="400"><title>&lt;img src=x onerror=alert(1)&gt;</title></rect>'
           '<rect x="450" width="440" height="400"><title>{{7*7}}</title></rect></svg>')  # fmt: skip
    drop(
        page,
        "Drop a drawing here",
        {"name": "<b>wall</b>.svg", "mimeType": "image/svg+xml", "buffer": svg.encode()},
    )
    page.wait_for_selector(".section")
    page.locator(".can summary").first.click()
    name = page.get_by_label("Name of gorse yellow")
    name.fill(evil)
    name.press("Enter")
    page.wait_for_function("name => document.querySelector('.can-title').textContent === name", arg=evil)
    choose_section(page, 1)
    assert evil in page.locator(".chooser h3").inner_text()
    press(page, "Correct the sections")
    page.wait_for_selector(".desk-section")
    page.wait_for_timeout(500)
    assert page.locator("img[src=x]").count() == 0
    assert page.locator("text={{7*7}}").count() >= 1


def test_nothing_is_fetched_from_elsewhere(serve, visit, painted, browser):
    server = serve(painted)
    context = browser.new_context()
    asked = []
    context.on("request", lambda request: asked.append(request.url))
    page = visit(server, context=context)
    page.wait_for_timeout(500)
    context.close()
    assert asked
    assert not [url for url in asked if not url.startswith((server.origin, "data:", "blob:"))]


def test_no_serious_finding_of_the_accessibility_check(serve, visit, painted, keep_picture, tmp_path):
    assert findings(visit(serve(tmp_path / "new"))) == []
    server = serve(painted)
    for scheme in ("light", "dark"):
        page = visit(server, scheme=scheme)
        page.locator(".can summary").first.click()
        choose_section(page, 7)
        page.wait_for_selector(".offer .sign.bad")
        press(page, "Keep this scheme")
        page.wait_for_selector(".kept-one")
        page.get_by_text("Begin with another wall").click()
        page.wait_for_timeout(500)
        assert findings(page) == []
        keep_picture(page, f"8-{scheme}", whole=True)
        press(page, "Correct the sections")
        page.wait_for_selector(".desk-section")
        page.wait_for_timeout(500)
        assert findings(page) == []


def test_from_phone_to_large_screen(serve, visit, painted, keep_picture):
    server = serve(painted)
    for width, height in ((390, 844), (768, 1024), (3840, 2160)):
        page = visit(server, width=width, height=height, scheme="dark")
        keep_picture(page, f"9-{width}-whole", whole=True)
        page.evaluate("document.querySelectorAll('.step')[3].scrollIntoView()")
        page.wait_for_timeout(300)
        box = page.locator(".stage .sheet").bounding_box()
        assert box["y"] >= 0, "the panel stays in view"
        assert box["y"] + box["height"] <= height
        choose_section(page, 12)
        page.wait_for_selector(".offer .sign")
        keep_picture(page, f"9-{width}")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.locator(".offer").first.bounding_box()["height"] >= 24, "WCAG 2.2, 2.5.8: target size"
        offer = page.locator('.offer[aria-pressed="false"]').nth(2)
        paint = offer.locator(".offer-name").inner_text()
        offer.click()
        page.wait_for_function(
            "paint => document.querySelector('.chooser h3').textContent.endsWith(paint)", arg=paint
        )


def test_wrong_files_are_told_in_a_sentence_and_the_work_stays(serve, visit, painted, tmp_path):
    page = visit(serve(painted))
    told = verdict(page)
    page.get_by_text("Begin with another wall").click()
    for name, content, sentence in [
        ("wall.svg", b"<svg", "wall.svg"),
        ("wall.png", b"no picture", "is not what .png says"),
        ("wall.zip", b"PK", "not a zip file"),
    ]:
        drop(
            page,
            "Drop a drawing here",
            {"name": name, "mimeType": "application/octet-stream", "buffer": content},
        )
        page.wait_for_selector(f".q-notification >> text={sentence}")
    drop(
        page,
        "Drop a photo here",
        {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": b"\xff\xd8 torn"},
    )
    page.wait_for_selector(".q-notification >> text=photo.jpg")
    assert verdict(page) == told
    buffer = io.BytesIO(b"\xff\xd8")
    buffer.write(b"\0" * (41 * 2**20))
    (tmp_path / "huge.jpg").write_bytes(buffer.getvalue())
    drop(page, "Drop a photo here", tmp_path / "huge.jpg")
    page.wait_for_selector(".q-notification >> text=at most 40 MiB")
    assert verdict(page) == told
