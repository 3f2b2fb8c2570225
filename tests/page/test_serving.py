"""The server as a whole, spoken to without a browser: statuses as in RFC 9110."""

from __future__ import annotations

import http.client
import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from palette.page.finding import Search
from palette.page.ground import files_key
from palette.page.sitting import Sitting

from .conftest import free_port, start_page, stop_page


def ask(server, path="/", **headers):
    host = server.origin.removeprefix("http://")
    line = http.client.HTTPConnection(host, timeout=20)
    line.request("GET", path, headers={"Host": host, **headers})
    answer = line.getresponse()
    return answer.status, answer.getheaders(), answer.read()


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    running = start_page(tmp_path_factory.mktemp("served"))
    yield running
    stop_page(running)


def test_the_whole_way_in(server):
    status, headers, body = ask(server)
    assert (status, b"key of this start" in body) == (401, True)
    status, _, _ = ask(server, "/?key=guess")
    assert status == 401
    status, headers, _ = ask(server, server.address.removeprefix(server.origin))
    assert (status, dict(headers)["location"]) == (303, "/")
    cookie = dict(headers)["set-cookie"].split(";")[0]
    assert ask(server, Cookie=cookie)[0] == 200
    assert ask(server, Cookie=cookie, Host="evil.example")[0] == 421
    assert ask(server, Cookie=cookie, Origin="http://evil.example")[0] == 403


_PATHS = [
    "/brief.toml", "/scheme.json", "/../brief.toml", "/%2e%2e/%2e%2e/etc/passwd", "/docs", "/openapi.json",
    "/_nicegui/../../etc/passwd", "/_nicegui/3/static/../../../../etc/passwd",
]  # fmt: skip


def test_no_file_is_served(server):
    _, headers, _ = ask(server, server.address.removeprefix(server.origin))
    cookie = dict(headers)["set-cookie"].split(";")[0]
    for path in _PATHS:
        status, _, body = ask(server, path, Cookie=cookie)
        assert status == 404 or b"root:" not in body, path
        assert b"[[rule]]" not in body, path
        assert b"paint_of" not in body, path


def test_it_listens_on_this_machine_only_unless_shared(server):
    port = int(server.origin.rsplit(":", 1)[1])
    table = Path("/proc/net/tcp")
    if not table.exists():
        pytest.skip("the system does not list its listeners here")
    rows = [row.split() for row in table.read_text().splitlines()[1:]]
    listening = [row[1] for row in rows if row[3] == "0A"]
    assert [place for place in listening if place.endswith(f":{port:04X}")] in (
        [f"0100007F:{port:04X}"],
        [],
    )


def test_a_taken_port_and_a_folder_that_is_a_file_are_told(server, tmp_path):
    (tmp_path / "file").write_text("")
    port = server.origin.rsplit(":", 1)[1]
    for arguments, sentence in (
        ([str(tmp_path / "new"), "--port", port], f"port {port}: another program"),
        ([str(tmp_path / "file"), "--port", str(free_port())], "this is not a folder"),
    ):
        command = [sys.executable, "-m", "palette", "page", "--no-browser", *arguments]
        ran = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
        assert ran.returncode == 2
        assert sentence in ran.stderr
        assert "Traceback" not in ran.stderr


def test_sharing_shows_another_address_with_the_same_key(serve, tmp_path):
    server = serve(tmp_path / "shared", "--share")
    assert "?key=" in server.address


def test_a_stopped_search_answers_at_once(painted):
    sitting, search = Sitting(painted), Search()
    sitting.open()
    search.ask("best", sitting.scratch.lay_out(sitting.files), files_key(sitting.files))
    start = time.monotonic()
    while search.found.note == "Starting" and time.monotonic() - start < 30:
        search.listen()
        time.sleep(0.01)
    search.stop()
    while search.running and time.monotonic() - start < 60:
        search.listen()
        time.sleep(0.02)
    assert search.found.done
    assert search.found.scheme or search.found.sentence
    # And the worker is ready for the next question.
    search.ask("best", sitting.scratch.lay_out(sitting.files), files_key(sitting.files))
    while search.running and time.monotonic() - start < 90:
        search.listen()
        time.sleep(0.02)
    assert json.dumps(search.found.scheme["paint_of"])
    search.close()
    sitting.close()
