"""When the page and palette lose each other: what is said, what comes back, what is not lost."""

from __future__ import annotations

import time

import pytest

from .cable import Cable
from .conftest import start_page, stop_page
from .seeing import choose_section, wait_until_saved
from .wire import place_of

pytest.importorskip("playwright", reason="playwright is not installed")


@pytest.fixture
def wire(serve, painted):
    """Return a page with a wall, and the way to it."""
    server = serve(painted)
    return server, Cable(server)


@pytest.fixture
def visit_over(browser):
    """Return a function that opens a page over a cable, in a browser that tells of no broken line."""
    contexts, faults = [], []

    def open_page(cable):
        context = browser.new_context(viewport={"width": 1440, "height": 900})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.goto(cable.end.address)
        page.wait_for_selector(".section")
        page.wait_for_function("window.did_handshake")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert not faults


def recolour(page, server, number, place):
    """Give a section another paint; return which, once it is on the page and on disk."""
    choose_section(page, number)
    offer = page.locator(".offer").nth(place)
    paint = offer.locator(".offer-name").inner_text()
    offer.click()
    page.wait_for_function(
        "([n, paint]) => document.querySelector(`[data-section='${n}']`).ariaLabel.endsWith(': ' + paint)",
        arg=[str(number), paint],
    )
    wait_until_saved(server, lambda paint_of: list(paint_of.values())[number - 1] == paint)
    return paint


def told(page, word, seconds=60):
    page.wait_for_function(
        "word => { const place = document.getElementById('popup');"
        " return place.ariaHidden === 'false' && place.textContent.includes(word); }",
        arg=word,
        timeout=seconds * 1000,
    )
    return page.locator("#popup").inner_text()


def silent(page):
    page.wait_for_function(
        "document.getElementById('popup').ariaHidden === 'true' && !document.getElementById('app').inert"
        " && window.socket.connected"
    )


def test_a_line_cut_for_a_while_is_told_and_what_was_typed_stays(wire, visit_over, keep_picture):
    server, cable = wire
    page = visit_over(cable)
    paint = recolour(page, server, 3, 2)
    page.get_by_role("button", name="Undo").focus()
    page.evaluate("window.here = 'the same page'")
    cable.cut()
    sentence = told(page, "does not answer")
    assert "What was done up to now is saved." in sentence
    keep_picture(page, "10-lost")
    assert page.evaluate("document.getElementById('app').inert"), (
        "nothing can be pressed that would be lost"
    )
    cable.mend()
    silent(page)
    assert page.evaluate("window.here") == "the same page", "it is not loaded anew: half-typed things stay"
    assert page.evaluate("document.activeElement.textContent") == "Undo", "the keyboard is where it was"
    assert page.locator("[data-section='3']").get_attribute("aria-label").endswith(f": {paint}")
    recolour(page, server, 4, 5)


def test_palette_killed_and_started_anew_brings_the_evening_back(wire, visit_over):
    server, cable = wire
    page = visit_over(cable)
    paint = recolour(page, server, 3, 2)
    server.process.kill()
    server.process.wait()
    told(page, "does not answer")
    again = start_page(server.folder, port=place_of(server)[1])
    try:
        assert "has a new address" in told(page, "started anew")
        # The browser palette opens is the same: with the new key in it, the old tab is let in as well.
        other = page.context.new_page()
        key = again.address.split("?")[1]
        other.goto(f"{cable.end.origin}/?{key}")
        other.wait_for_selector(".section")
        page.wait_for_function("document.getElementById('popup')?.ariaHidden === 'true'", timeout=60_000)
        page.wait_for_selector(".section")
        for each in (page, other):
            label = each.locator("[data-section='3']").get_attribute("aria-label")
            assert label.endswith(f": {paint}")
        recolour(page, again, 5, 1)
    finally:
        stop_page(again)


@pytest.mark.slow
@pytest.mark.parametrize("way", ["cut", "hang", "offline"])
@pytest.mark.parametrize("seconds", [20, 75])
def test_a_long_silence_ends_where_it_began(wire, visit_over, way, seconds):
    server, cable = wire
    page = visit_over(cable)
    paint = recolour(page, server, 3, 2)
    page.evaluate("window.here = 'the same page'")
    begun = time.monotonic()
    if way == "offline":
        page.context.set_offline(True)
    else:
        getattr(cable, way)()
    told(page, "does not answer", 30)
    page.wait_for_timeout(max(0.0, seconds - (time.monotonic() - begun)) * 1000)
    if way == "offline":
        page.context.set_offline(False)
    else:
        cable.mend()
    silent(page)
    assert page.evaluate("window.here") == "the same page"
    assert page.locator("[data-section='3']").get_attribute("aria-label").endswith(f": {paint}")
    recolour(page, server, 4, 5)
