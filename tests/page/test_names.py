"""Names that are markup, script, style or a template: the page shows them as text and runs nothing.

How markup gets to run: HTML Living Standard (event handler attributes, script elements, ``javascript:``);
how it is noticed: a violation of the page's Content Security Policy 3 would be reported as an event.
"""

from __future__ import annotations

import json

import pytest

from .conftest import CANYON
from .seeing import choose_section, press

pytest.importorskip("playwright", reason="playwright is not installed")

EVIL = [
    "<img src=x onerror=ran()>", "</title><script>ran()</script>", "{{ran()}}", "${ran()}`+ran()+`",
    "<svg onload=ran()>", "' onmouseover='ran()", '" onfocus="ran()" autofocus="', "javascript:ran()",
    "&lt;b&gt; <b>bold</b>", "\\u003cscript>ran()</script>",
]  # fmt: skip
WATCH = """
window.seen = [];
window.ran = () => window.seen.push('a script ran');
document.addEventListener('securitypolicyviolation', event => window.seen.push(event.violatedDirective));
"""


@pytest.fixture
def evil(tmp_path):
    """Return a project in which everything that has a name has an evil one."""
    from html import escape

    folder = tmp_path / "evil"
    folder.mkdir()
    places = [f'x="{210 * (k % 5)}" y="{210 * (k // 5)}"' for k in range(len(EVIL))]
    shapes = "".join(
        f'<rect {place} width="200" height="200"><title>{escape(name)}</title></rect>'
        for place, name in zip(places, EVIL, strict=True)
    )
    head = 'xmlns="http://www.w3.org/2000/svg" width="1040mm" height="410mm" viewBox="0 0 1040 410"'
    (folder / "wall.svg").write_text(f"<svg {head}>{shapes}</svg>")
    paints = (CANYON / "paints.toml").read_text()
    old = [line.split('"')[1] for line in paints.splitlines() if line.startswith("name")]
    for name, new in zip(old, EVIL, strict=False):
        paints = paints.replace(f'name = "{name}"', f"name = {json.dumps(new)}")
    (folder / "paints.toml").write_text(paints)
    pin = f'[[rule]]\nkind = "pin"\nsections = [{json.dumps(EVIL[0])}]\npaint = {json.dumps(EVIL[1])}\n'
    never = f'[[rule]]\nkind = "never"\nsections = {json.dumps(EVIL[:2])}\n'
    never += f"paints = {json.dumps(EVIL[2:4])}\n"
    (folder / "brief.toml").write_text(
        f'name = {json.dumps(EVIL[0] + EVIL[3])}\npanel = "wall.svg"\npaints = "paints.toml"\n'
        f'lights = ["daylight", "blacklight"]\n[[rule]]\nkind = "clash"\n{pin}{never}'
    )
    paint_of = {name: EVIL[k % 8] for k, name in enumerate(EVIL)}
    (folder / "scheme.json").write_text(json.dumps({"version": 1, "paint_of": paint_of}))
    kept = [{"name": name, "paint_of": paint_of, "best_at": EVIL[4]} for name in EVIL[:3]]
    resting = [{"kind": EVIL[0], "by": EVIL[1]}]
    memory = {"version": 1, "kept": kept, "photo_notes": EVIL, "resting": resting}
    (folder / "page.json").write_text(json.dumps(memory))
    return folder


def test_names_that_are_markup_are_text_wherever_they_stand(serve, visit, browser, evil):
    server = serve(evil)
    context = browser.new_context(viewport={"width": 1440, "height": 900}, accept_downloads=True)
    context.add_init_script(WATCH)
    page = visit(server, context=context)
    page.on("dialog", lambda dialog: pytest.fail(f"a script ran: {dialog.message}"))
    page.wait_for_selector(".kept-one")
    for number in (1, 2, 7):
        choose_section(page, number)
        page.wait_for_function(
            "start => document.querySelector('.chooser h3').textContent.startsWith(start)",
            arg=f"{number} {EVIL[number - 1]}: ",
        )
    page.locator(".offer").nth(3).click()
    page.locator(".can summary").first.click()
    page.get_by_label("Section to touch up").click()
    page.wait_for_selector(".q-menu .q-item")
    assert EVIL[0] in page.locator(".q-menu").inner_text()
    page.keyboard.press("Escape")
    for opening, closing in (("Side by side", "Close"), ("Correct the sections", "Leave it as it was")):
        page.get_by_role("button", name=opening).first.click()
        page.wait_for_selector(".q-dialog .desk")
        page.wait_for_timeout(300)
        press(page, closing)
        page.wait_for_selector(".q-dialog .desk", state="detached")
    # A name with a line's end and a path in it makes a plain file name (RFC 6266, 4.3).
    with page.expect_download() as download:
        press(page, "The whole project in one zip")
    assert download.value.suggested_filename == "img-src-x-onerror-ran-ran-ran.zip"
    page.get_by_label("Name of the wall").fill(EVIL[4])
    page.keyboard.press("Enter")
    page.wait_for_function("document.querySelector('[aria-label^=\"Undo: named\"]')")
    page.wait_for_timeout(300)
    assert page.evaluate("window.seen") == []
    # Only what the page itself put there: no element of a name.
    assert page.locator("img[src=x], svg[onload], [onerror], [onmouseover], [onfocus], b").count() == 0
    assert page.locator("#app script").count() == 0
    for name in EVIL[:4]:
        assert page.locator(".kept-one h3, .note", has_text=name).count() >= 1, name
    context.close()


def test_a_second_wall_stands_behind_the_first(serve, visit, browser, painted):
    """If markup ever came into the page, it would neither run nor reach anybody."""
    context = browser.new_context()
    context.add_init_script(WATCH)
    page = visit(serve(painted), context=context)
    assert page.evaluate("window.seen") == []
    markup = "<img src=x onerror=ran()><svg onload=ran()>"
    page.evaluate("markup => document.body.insertAdjacentHTML('beforeend', markup)", markup)
    page.evaluate("document.body.append(Object.assign(document.createElement('script'), {text: 'ran()'}))")
    page.evaluate("fetch('http://127.0.0.1:9/').catch(() => 0)")
    page.evaluate("new WebSocket('ws://127.0.0.1:9/').onerror = () => 0")
    page.wait_for_timeout(500)
    seen = page.evaluate("window.seen")
    assert "a script ran" not in seen
    assert {"script-src-attr", "script-src-elem", "connect-src"} <= set(seen)
    context.close()
