"""Many actions, many tabs, two pages on one folder, and a stop in the middle of a search."""

from __future__ import annotations

import json
import os
import re
import signal
import time
from pathlib import Path

import pytest

from .conftest import CANYON, start_page, stop_page
from .wire import Visitor, cookie_of, get


def is_section(number):
    return lambda each: each.get("props", {}).get("data-section") == str(number)


def offers(tab):
    return [(key, each) for key, each in sorted(tab.elements.items()) if "offer" in each.get("class", [])]


def names_of_offers(tab):
    return [
        each["text"] for _, each in sorted(tab.elements.items()) if "offer-name" in each.get("class", [])
    ]


def label(tab, number):
    return tab.find(is_section(number))[1]["props"].get("aria-label", "")


def choose(tab, number):
    tab.press(tab.wait_for(is_section(number)))
    tab.wait_for(lambda each: "offer" in each.get("class", []))


def wait_for_label(tabs, number, end, seconds=60):
    until = time.monotonic() + seconds
    while not all(label(tab, number).endswith(end) for tab in tabs):
        assert time.monotonic() < until, [label(tab, number) for tab in tabs]
        for tab in tabs:
            tab.listen(0.05)


def wait_for_disk(folder, what, seconds=60):
    until = time.monotonic() + seconds
    while True:
        path = folder / "scheme.json"
        if path.exists() and what(json.loads(path.read_text())["paint_of"]):
            return
        assert time.monotonic() < until, "it was not saved"
        time.sleep(0.05)


def resident_mib(pid):
    return int(re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{pid}/status").read_text()).group(1)) / 1024


def hurry(server, many):
    """Recolour a section as often as can be, undo all, redo all; return seconds, memory before, after."""
    tab = Visitor(server)
    choose(tab, 1)
    buttons = offers(tab)
    names = names_of_offers(tab)
    before, begun = resident_mib(server.process.pid), time.monotonic()
    for step in range(many):
        # Never twice the same one: that would be no action.
        tab.press(buttons[step % 7])
        tab.listen()
    tab.press(buttons[7])
    wait_for_label([tab], 1, f": {names[7]}", seconds=600)
    seconds = time.monotonic() - begun
    other = Visitor(server, tab.cookie)
    other.wait_for(is_section(1))
    wait_for_label([other], 1, f": {names[7]}")
    wait_for_disk(server.folder, lambda paint_of: next(iter(paint_of.values())) == names[7])
    undo, redo = (tab.find(lambda each, word=word: each.get("text") == word) for word in ("Undo", "Redo"))
    for button, end in ((undo, None), (redo, f": {names[7]}")):
        for _ in range(many + 1):
            tab.press(button)
            tab.listen()
            other.listen()
        if end is None:
            tab.wait_for(lambda each: "nothing to undo" in each.get("props", {}).get("aria-label", ""), 600)
        else:
            wait_for_label([tab, other], 1, end, seconds=600)
    wait_for_disk(server.folder, lambda paint_of: next(iter(paint_of.values())) == names[7])
    memory = resident_mib(server.process.pid)
    tab.close()
    other.close()
    return seconds, before, memory


def test_a_burst_of_actions_ends_with_the_last_one_everywhere(serve, painted):
    server = serve(painted)
    hurry(server, 200)
    assert server.said() == ""


@pytest.mark.slow
def test_five_thousand_actions_as_fast_as_can_be(serve, painted):
    server = serve(painted)
    seconds, before, after = hurry(server, 5000)
    print(f"{5000 / seconds:.0f} recolourings a second; {before:.0f} MiB before, {after:.0f} MiB after")
    assert after < before + 150
    assert server.said() == ""


def fill(server, cookie, many):
    tabs = []
    for _ in range(many):
        tabs.append(Visitor(server, cookie))
        for tab in tabs:
            tab.listen()
    return tabs


def leave(tabs):
    """Close tabs as a browser does: it says so first."""
    for tab in tabs:
        tab.press((0, tab.elements[0]), "leave")
        tab.close()


def test_two_people_see_what_the_other_does(serve, painted):
    server = serve(painted)
    one, two = fill(server, cookie_of(server), 2)
    choose(one, 1)
    choose(two, 2)
    for turn in range(6):
        one.press(offers(one)[turn])
        two.press(offers(two)[turn + 1])
        for tab in (one, two):
            tab.listen(0.2)
    names = names_of_offers(one)
    wait_for_label([one, two], 1, f": {names[5]}")
    wait_for_label([one, two], 2, f": {names[6]}")
    wait_for_disk(server.folder, lambda paint_of: list(paint_of.values())[:2] == [names[5], names[6]])


@pytest.mark.slow
def test_twenty_tabs_show_the_same_and_free_what_they_took(serve, painted):
    server = serve(painted)
    cookie = cookie_of(server)
    keeper = Visitor(server, cookie)
    keeper.wait_for(is_section(1))
    memory = []
    for turn in range(4):
        tabs = fill(server, cookie, 20)
        choose(tabs[0], 1)
        tabs[0].press(offers(tabs[0])[turn])
        names = names_of_offers(tabs[0])
        wait_for_label([keeper, *tabs], 1, f": {names[turn]}")
        memory.append(resident_mib(server.process.pid))
        leave(tabs)
        for _ in range(16):
            keeper.listen(0.5)
    print("MiB with twenty tabs, four times over:", [round(each) for each in memory])
    # Sixty tabs that stayed would be some 160 MiB more.
    assert memory[3] < memory[0] + 80
    assert memory[3] < 400
    keeper.close()


def test_two_pages_on_one_folder_write_over_nothing_of_each_other(serve, painted):
    first, second = serve(painted), serve(painted)
    one, two = Visitor(first), Visitor(second)
    for tab in (one, two):
        choose(tab, 1)
    names = names_of_offers(one)
    one.press(offers(one)[1])
    wait_for_disk(painted, lambda paint_of: next(iter(paint_of.values())) == names[1])
    two.press(offers(two)[3])
    two.wait_for(lambda each: "Nothing was written over" in str(each.get("text")))
    assert next(iter(json.loads((painted / "scheme.json").read_text())["paint_of"].values())) == names[1]
    two.press(two.button("Take theirs"))
    wait_for_label([two], 1, f": {names[1]}")
    for tab in (one, two):
        tab.close()


def children(pid):
    found = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return [int(each) for each in found] + [child for each in found for child in children(int(each))]


def lives(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().split(") ")[1][0] != "Z"
    except OSError:
        return False


@pytest.mark.parametrize(
    "end", [signal.SIGINT, signal.SIGKILL, pytest.param(signal.SIGTERM, marks=pytest.mark.slow)]
)
def test_a_stop_in_the_middle_of_a_search_ends_the_worker_too(tmp_path, end):
    folder = tmp_path / "wall"
    folder.mkdir()
    for name in ("brief.toml", "paints.toml"):
        (folder / name).write_bytes((CANYON / name).read_bytes())
    # Large enough that the search goes on for as long as it is let.
    size = 'width="1800mm" height="1000mm" viewBox="0 0 1800 1000"'
    stones = [
        f'<rect x="{120 * (k % 15)}" y="{100 * (k // 15)}" width="110" height="92"/>' for k in range(150)
    ]
    (folder / "wall.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{"".join(stones)}</svg>'
    )
    server = start_page(folder)
    try:
        tab = Visitor(server)
        tab.wait_for(is_section(1))
        before = {*notes(tab), "Starting", "Finding the neighbours", "Gathering the rules"}
        tab.press(tab.button("Find the best scheme"))
        until = time.monotonic() + 60
        while not notes(tab) - before:
            assert time.monotonic() < until, "it never came to think"
            tab.listen(0.2)
        workers = children(server.process.pid)
        assert workers
        os.kill(server.process.pid, end)
        server.process.wait(30)
        until = time.monotonic() + 20
        while time.monotonic() < until and any(map(lives, workers)):
            time.sleep(0.1)
        assert not [each for each in workers if lives(each)]
        tab.close()
    finally:
        stop_page(server)
        for each in locals().get("workers", []):
            if lives(each):
                os.kill(each, signal.SIGKILL)


def notes(tab):
    return {each.get("text") for each in tab.elements.values() if "note" in each.get("class", [])}


def test_the_page_is_there_after_visits_that_came_to_nothing(serve, painted):
    server = serve(painted)
    cookie = cookie_of(server)
    for _ in range(20):
        assert get(server, "/", cookie).status == 200
    tab = Visitor(server, cookie)
    tab.wait_for(is_section(1))
    tab.close()
