"""What a visitor does and sees, in a few words."""

from __future__ import annotations

import json
import time

from axe_playwright_python.sync_playwright import Axe


def press(page, name, *, exact=True):
    page.get_by_role("button", name=name, exact=exact).first.click()


def open_demo(page):
    press(page, "Open the demo wall")
    page.wait_for_selector(".section")


def find_scheme(page):
    press(page, "Find the best scheme")
    page.wait_for_selector(".proof", timeout=60_000)


def choose_section(page, number):
    page.locator(f'[data-section="{number}"]').click()
    page.wait_for_selector(".chooser .offer")


def verdict(page):
    return page.locator(".verdict-words").inner_text()


def wait_for_verdict(page, start):
    page.wait_for_function(
        "start => document.querySelector('.verdict-words').textContent.startsWith(start)", arg=start
    )


def wait_until_saved(server, what):
    """Wait until the scheme on disk says what it should."""
    for _ in range(100):
        path = server.folder / "scheme.json"
        if path.exists() and what(json.loads(path.read_text())["paint_of"]):
            return
        time.sleep(0.05)
    raise AssertionError("it was not saved")


def fill_of(page, number):
    return page.evaluate(
        "n => getComputedStyle(document.querySelector(`[data-section='${n}'] path`)).fill", number
    )


def drop(page, label, files):
    """Give files to the place to drop them that carries this label."""
    page.locator(".q-uploader", has_text=label).locator("input[type=file]").set_input_files(files)


def findings(page):
    """Return what axe calls serious or critical, as (rule, first element)."""
    answer = Axe().run(page).response["violations"]
    return [(each["id"], each["nodes"][0]["html"][:200]) for each in answer
            if each["impact"] in ("serious", "critical")]  # fmt: skip
