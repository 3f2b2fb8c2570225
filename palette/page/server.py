"""Serve the page to this machine's browser, and, where asked, to a phone in the workshop."""

from __future__ import annotations

import asyncio
import contextlib
import os
import secrets
import socket
from collections.abc import AsyncIterator, Callable
from copy import copy
from dataclasses import dataclass
from pathlib import Path

import uvicorn
from fastapi import FastAPI
from nicegui import Client, core, ui
from nicegui import app as library

from palette.errors import InputError
from palette.page.conduct import Conduct
from palette.page.connections import PatientConnection, allow_many_connections
from palette.page.controls import words
from palette.page.finding import Search
from palette.page.frame import build_page
from palette.page.guarding import App, Guard
from palette.page.hearing import hear_only_the_page
from palette.page.mishaps import in_words, is_ours, tell_in_words
from palette.page.sitting import Change, Sitting
from palette.page.tab import Tab

__all__ = ["Address", "serve"]

FIRST_PORT = 8430
_PORTS_TRIED = 20
_LONGEST_MESSAGE = 2**20
"""The library's script sends no longer ones."""
_SLEEP_S = 900.0
"""So long a tab is waited for, with what was half typed in it: a phone sleeps in a pocket."""
_LEFT_S = 3.0
"""So long a tab is waited for that said it was closed."""
_PING_S = (4, 8)
"""How often either side makes sure of the other, and how long it waits for an answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where the page is: for this machine, and for a phone where sharing was asked for.

    `opening` is for the browser started at once and works for one visit: other people on this machine
    may see with which words a program was started.
    """

    here: str
    shared: str = ""
    opening: str = ""


def serve(
    folder: Path,
    *,
    port: int | None,
    share: bool,
    on_ready: Callable[[Address], None],
    on_fault: Callable[[str], object],
) -> None:
    """Serve the page of one project folder until the process is stopped.

    Parameters
    ----------
    folder : Path
        Made with the first save.
    port : int or None
        None takes the first free one from 8430.
    share : bool
        Also answer to other devices in the same network; they need the key as well.
    on_ready : callable
        Hears the address once the page answers.
    on_fault : callable
        Hears a sentence about what went wrong that nobody foresaw.

    Raises
    ------
    InputError
        The port is taken, or the folder is something else.
    """
    if folder.exists() and not folder.is_dir():
        raise InputError(str(folder), "this is not a folder", "name a folder for the project")
    line = _listen(port, "0.0.0.0" if share else "127.0.0.1")
    number = line.getsockname()[1]
    key, ticket = secrets.token_urlsafe(24), secrets.token_urlsafe(24)
    names = ["127.0.0.1", "localhost"]
    shared = ""
    if share:
        name = _own_address()
        names.append(name)
        shared = f"http://{name}:{number}/?key={key}"
    here = f"http://127.0.0.1:{number}/?key="
    address = Address(here=here + key, shared=shared, opening=here + ticket)
    sitting, search, tabs = Sitting(folder), Search(), list[Tab]()
    _add_page(sitting, search, tabs, shared)
    api = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)
    ui.run_with(
        api,
        title="palette",
        language="en-US",
        dark=None,
        tailwind=False,
        show_welcome_message=False,
        reconnect_timeout=_SLEEP_S,
        favicon=_ICON,
        gzip_middleware_factory=None,
    )
    api.router.lifespan_context = _with_watch(api, sitting, search, tabs, lambda: on_ready(address))
    hear_only_the_page()
    library.on_page_exception(lambda fault: words(in_words(fault)))
    hosts = [f"{name}:{number}" for name in names]
    guard = Guard(
        api,
        hosts=hosts,
        key=key,
        port=number,
        ticket=ticket,
        on_fault=lambda fault: on_fault(in_words(fault)) if is_ours(fault) else None,
    )
    config = uvicorn.Config(
        _packed(Conduct(guard, hosts=hosts)) if share else Conduct(guard, hosts=hosts),
        http=PatientConnection,
        ws_max_size=_LONGEST_MESSAGE,
        ws_per_message_deflate=False,
        timeout_graceful_shutdown=1,
        proxy_headers=False,
        server_header=False,
        access_log=False,
        log_config=None,
    )
    tell_in_words(on_fault)
    allow_many_connections()
    try:
        uvicorn.Server(config).run(sockets=[line])
    finally:
        search.close()
        sitting.close()


def _packed(app: App) -> App:
    """Return the application with its answers packed: worth it over the air only, not within a machine."""
    from fastapi.middleware.gzip import GZipMiddleware

    return GZipMiddleware(app, minimum_size=2000, compresslevel=4)


def _listen(port: int | None, host: str) -> socket.socket:
    tried = [port] if port is not None else range(FIRST_PORT, FIRST_PORT + _PORTS_TRIED)
    for number in tried:
        line = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        # A port just left waits for a minute; on Windows the same word would let two programs share one.
        if os.name == "posix":
            line.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            line.bind((host, number))
        except OSError:
            line.close()
            continue
        line.listen(128)
        return line
    told = f"port {port}" if port is not None else f"ports {FIRST_PORT} to {FIRST_PORT + _PORTS_TRIED - 1}"
    what = "another program, perhaps another palette page, is there already"
    raise InputError(told, what, "close it, or name a free port with --port")


def _own_address() -> str:
    """Return this machine's address in the local network; no packet is sent to find it."""
    with contextlib.closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: an address for documents, nobody's
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def _add_page(sitting: Sitting, search: Search, tabs: list[Tab], shared: str) -> None:
    @ui.page("/")
    def page() -> None:
        tab = Tab(sitting=sitting, search=search, layer=ui.element("div").classes("layer-over"))
        ui.context.client.on_exception(lambda fault: tab.say(in_words(fault)))
        build_page(tab, share=shared)
        tabs.append(tab)
        client = ui.context.client
        client.on_delete(lambda: tabs.remove(tab) if tab in tabs else None)
        ui.on("leave", lambda: _expect_no_more(client), args=[])


def _expect_no_more(client: Client) -> None:
    client.page = copy(client.page)
    client.page.reconnect_timeout = _LEFT_S


def _with_watch(  # type: ignore[no-untyped-def]
    api: FastAPI, sitting: Sitting, search: Search, tabs: list[Tab], ready: Callable[[], None]
):
    """Return the server's life: the page's own, and beside it whatever must be looked after."""
    inner = api.router.lifespan_context

    def follow(changed: frozenset[Change]) -> None:
        faults = []
        for tab in tuple(tabs):
            try:
                tab.follow(changed)
            except Exception as fault:  # noqa: BLE001
                # Every tab hears of it before anybody stumbles.
                faults.append(fault)
        if faults:
            raise faults[0]

    async def watch() -> None:
        beats = 0
        while True:
            await asyncio.sleep(0.1)
            beats += 1
            if search.listen():
                _take_scheme(sitting, search)
                follow(frozenset({"search"}))
            if beats % 20 == 0:
                sitting.watch()

    @contextlib.asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[object]:
        loop = asyncio.get_running_loop()
        sitting.call_back = loop.call_soon_threadsafe
        sitting.listeners.append(follow)
        async with inner(app) as state:
            core.sio.eio.ping_interval, core.sio.eio.ping_timeout = _PING_S
            task = asyncio.create_task(watch())
            # The worker takes a second to start; it does so once the page has been drawn.
            loop.call_later(4.0, search.warm_up)
            loop.call_soon(ready)
            # The project is read while the browser fetches the page: neither waits for the other.
            opening = asyncio.create_task(_open(sitting))
            yield state
            for each in (task, opening):
                each.cancel()

    return life


async def _open(sitting: Sitting) -> None:
    loop = asyncio.get_running_loop()
    # Only reading happens beside the loop: two threads loading the same modules would trip each other up.
    read: tuple[dict[str, bytes], str] = ({}, "The project could not be opened; the terminal says why.")
    try:
        read = await loop.run_in_executor(None, sitting.read)
    finally:
        sitting.begin(read)
        sitting.tell_all()


def _take_scheme(sitting: Sitting, search: Search) -> None:
    found = search.found
    current = sitting.ground is not None and found.key == sitting.ground.key
    if found.done and found.scheme is not None and not current:
        found.sentence = "The wall or the rules changed while this was looked for; find again."
    if found.done and found.scheme is not None and current and sitting.ground is not None:
        paint_of = {str(key): str(value) for key, value in found.scheme["paint_of"].items()}
        if set(paint_of) == set(sitting.ground.survey.panel.ids):
            sitting.use_scheme(paint_of, deed="found a scheme", proof=found.scheme.get("proof"))
        found.scheme = None


_ICON = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">'
    '<rect width="32" height="32" rx="6" fill="#16141c"/>'
    '<path d="M5 18h12v9H5z" fill="#b6f24a"/><path d="M19 14h8v13h-8z" fill="#ff4a86"/>'
    '<path d="M5 5h9v11H5z" fill="#5420a0"/><path d="M16 5h11v7H16z" fill="#1f86e6"/></svg>'
)
