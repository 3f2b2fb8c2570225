"""The page under test: a server of its own, a real browser, pictures of what was seen."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import IO

import pytest

ROOT = Path(__file__).resolve().parents[2]
CANYON = ROOT / "examples" / "canyon"
PICTURES = ROOT / "test-pictures"
CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
_ARGUMENTS = [
    "--no-sandbox", "--headless", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@dataclass
class Server:
    """A running page."""

    address: str
    folder: Path
    process: subprocess.Popen
    started: float
    painted: bool
    errors: IO[str]

    @property
    def origin(self) -> str:
        return self.address.split("/?")[0]

    def said(self) -> str:
        """What it has written to the terminal's error line so far."""
        self.errors.seek(0)
        return self.errors.read()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def start_page(folder: Path, *extra: str, port: int | None = None) -> Server:
    command = [sys.executable, "-m", "palette", "page", str(folder), "--no-browser", "--json",
               "--port", str(port or free_port()), *extra]  # fmt: skip
    started = time.monotonic()
    painted = (folder / "brief.toml").exists()
    # A file, not a pipe: a pipe nobody empties would stop a server that has much to say.
    errors = tempfile.TemporaryFile("w+")  # noqa: SIM115
    # The page's library behaves otherwise where it finds itself under test; here it shall not.
    plain = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=errors, text=True, env=plain)
    server = Server("", folder, process, started, painted, errors)
    said = ""
    while "}" not in said:
        line = process.stdout.readline()
        assert line, server.said()
        said += line
    server.address = json.loads(said)["address"]
    return server


def stop_page(server: Server) -> None:
    server.process.send_signal(signal.SIGINT if os.name == "posix" else signal.SIGTERM)
    try:
        server.process.wait(5)
    except subprocess.TimeoutExpired:
        server.process.kill()


@pytest.fixture
def serve(tmp_path):
    """Return a function that serves a folder; every server ends with the test."""
    servers = []

    def start(folder: Path | None = None, *extra: str, port: int | None = None) -> Server:
        servers.append(start_page(folder or tmp_path / "wall", *extra, port=port))
        return servers[-1]

    yield start
    for server in servers:
        stop_page(server)


@pytest.fixture
def painted(tmp_path, canyon_outcome):
    """Return a folder with the demo and its best scheme: an evening half done."""
    folder = tmp_path / "painted"
    shutil.copytree(CANYON, folder, ignore=shutil.ignore_patterns("pictures", "*.png", "*.py"))
    (folder / "scheme.json").write_text(json.dumps(canyon_outcome.scheme.to_dict()))
    return folder


@pytest.fixture(scope="session")
def browser():
    """Return Debian's chromium, driven by Playwright."""
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not Path(CHROMIUM).exists():
        pytest.skip("chromium is not installed, so the page cannot be seen")
    with sync_api.sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=_ARGUMENTS)
        yield chromium
        chromium.close()


@pytest.fixture
def visit(browser):
    """Return a function that opens a page and fails the test on any error the browser tells of."""
    contexts, faults = [], []

    def open_page(server: Server, *, width=1440, height=900, scheme="light", context=None):
        if context is None:
            context = browser.new_context(
                viewport={"width": width, "height": height}, color_scheme=scheme, accept_downloads=True
            )
            contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.goto(server.address)
        page.wait_for_selector(".section" if server.painted else ".btn.act")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert not faults


@pytest.fixture
def keep_picture():
    """Return a function that keeps a picture of the page, to be looked at."""

    def keep(page, name: str, *, whole: bool = False) -> None:
        PICTURES.mkdir(exist_ok=True)
        page.screenshot(path=PICTURES / f"{name}.png", full_page=whole)

    return keep
