"""Anything may be pressed in any order, with any word a browser could send, and files may hold anything.

Invented data with fixed seeds; what must hold afterwards is the page's own promise: a page that can be
shown, two tabs that show the same, files the readers take, and no fault of ours.
"""

from __future__ import annotations

import asyncio
import copy
import json
import random
import shutil
import tomllib
import traceback
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import tomlkit

import palette
from palette.page.finding import Found, Search

from .conftest import CANYON

ODD = [
    None, True, False, 0, 1, -1, 2.5, 1e308, -1e308, 2**62, "", "x", "#38d64e", "red", "<b>", "0.5 L",
    "a" * 3000, "brick red", "cap west", "75", "off", "1 in", "96 in x 72 in", "0,0 100,0 100,100", "A4",
    [], [1], ["cap west"], [[]], {}, {"value": 0}, {"value": 5, "label": "x"}, {"value": -1},
    [{"value": 1}, {"value": 99}],
]  # fmt: skip


class NoSearch(Search):
    """A search that has found nothing before it began."""

    def ask(self, question, brief, key):
        self.found = Found(question=question, key=key, done=True, sentence="Nothing is looked for here.")

    def warm_up(self):
        """Start nothing."""

    def stop(self):
        """Stop nothing."""


class Tabs:
    """Tabs of one sitting, without a server."""

    def __init__(self, folder: Path, many: int) -> None:
        from nicegui import Client, app, core, ui
        from nicegui.page import page

        from palette.page.frame import build_page
        from palette.page.sitting import Sitting
        from palette.page.tab import Tab

        core.loop = asyncio.get_running_loop()
        core.app.config.reconnect_timeout = 3.0
        self.faults = []
        app._exception_handlers[:] = [self.note]
        self.sitting = Sitting(folder)
        self.sitting.call_back = core.loop.call_soon_threadsafe
        self.sitting.open()
        self.tabs, self.clients = [], []
        for _ in range(many):
            with Client(page("")) as client:
                tab = Tab(sitting=self.sitting, search=NoSearch(), layer=ui.element("div"))
                build_page(tab)
            client.tab_id = "a tab"
            self.clients.append(client)
            self.tabs.append(tab)
        self.sitting.listeners.append(lambda changed: [tab.follow(changed) for tab in self.tabs])
        self.sitting.tell_all()

    def note(self, fault):
        """Keep a fault if it came about in our code: the library may refuse what no browser sends."""
        steps = traceback.extract_tb(fault.__traceback__)
        here = Path(palette.__file__).parent
        if steps and Path(steps[-1].filename).is_relative_to(here):
            self.faults.append("".join(traceback.format_exception(fault)))

    def close(self):
        for client in self.clients:
            client.delete()
        self.sitting.close()


async def press_anything(folder, seed, steps):
    chance = random.Random(seed)
    here = Tabs(folder, 2)
    for _ in range(steps):
        client = chance.choice(here.clients)
        element = chance.choice([each for each in client.elements.values() if each._event_listeners])
        listener = chance.choice(list(element._event_listeners.values()))
        words = [json.dumps(chance.choice(ODD)) for _ in range(chance.choice((1, 1, 2)))]
        message = {"id": element.id, "client_id": client.id, "listener_id": listener.id,
                   "args": [] if listener.args == [] else words}  # fmt: skip
        client.handle_event(message)
        client.outbox.messages.clear()
        await asyncio.sleep(0)
    await asyncio.sleep(0.3)
    shown = [tab.parts[0].stage._painted for tab in here.tabs]
    fault = here.sitting.fault
    here.close()
    assert not here.faults, here.faults[0]
    assert shown[0] == shown[1]
    assert not fault


@pytest.fixture
def wall(tmp_path):
    folder = tmp_path / "wall"
    folder.mkdir()
    for name in ("brief.toml", "paints.toml", "wall.svg", "plan.toml"):
        (folder / name).write_bytes((CANYON / name).read_bytes())
    return folder


def run_apart(work):
    """Run a coroutine in a thread: where a browser test came before, this one's own loop is taken."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, work).result()


def test_pressing_anything_in_any_order(wall):
    run_apart(press_anything(wall, 11, 60))
    palette.survey_brief(palette.read_brief(wall / "brief.toml"))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10))
def test_pressing_anything_in_any_order_for_long(wall, seed):
    run_apart(press_anything(wall, seed, 1000))
    palette.survey_brief(palette.read_brief(wall / "brief.toml"))


# -- files by hand -------------------------------------------------------------------------

SLIPS = [
    True, -1, 1e308, "", "x", "x" * 400, "<img src=x onerror=alert(1)>", [], [1], ["a", {}], [[]], {},
    {"a": 1},
    {"daylight": 5}, {"daylight": "red; background: url(//evil.example)", "blacklight": "#12c85a"},
]  # fmt: skip
RULES = ["families", "spacing", "variety", "stripe", "hatch", "share", "only", "same"]


def places(value, way=()):
    if way:
        yield way
    inner = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for key, each in inner:
        yield from places(each, (*way, key))


async def open_slips(folder, seed, many):
    chance = random.Random(seed)
    sound = {name: tomllib.loads((CANYON / name).read_text()) for name in ("brief.toml", "paints.toml")}
    told = 0
    for _ in range(many):
        documents = copy.deepcopy(sound)
        if chance.random() < 0.3:
            documents["brief.toml"]["rule"].append({"kind": chance.choice(RULES)})
        name = chance.choice(list(documents))
        *way, last = chance.choice(list(places(documents[name])))
        table = documents[name]
        for key in way:
            table = table[key]
        table[last] = copy.deepcopy(chance.choice(SLIPS))
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        (folder / "wall.svg").write_bytes((CANYON / "wall.svg").read_bytes())
        for each, document in documents.items():
            (folder / each).write_text(tomlkit.dumps(document))
        here = Tabs(folder, 1)
        told += bool(here.sitting.fault)
        for each in here.clients[0].elements.values():
            json.dumps(each._to_dict(), allow_nan=False)
        here.close()
        assert not here.faults, here.faults[0]
    assert told, "some of the slips are faults, and are told"


def test_a_slip_in_a_file_is_told_on_a_page_that_still_opens(tmp_path):
    run_apart(open_slips(tmp_path / "wall", 5, 8))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_many_slips_in_files(tmp_path, seed):
    run_apart(open_slips(tmp_path / "wall", 100 + seed, 300))
