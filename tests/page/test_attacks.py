"""The running page under attack, spoken to byte by byte: what gets through, what is said, what lives on.

What HTTP calls an error: RFC 9110 and 9112; of WebSockets: RFC 6455. The rest is common practice of
attackers (OWASP Web Security Testing Guide: host headers, path climbing, uploads, denial of service).
"""

from __future__ import annotations

import contextlib
import io
import json
import re
import socket
import struct
import time
import zipfile
import zlib
from pathlib import Path

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect

from .conftest import CANYON, start_page, stop_page
from .wire import Visitor, ask_raw, cookie_of, get, place_of

HALF = b"GET / HTTP/1.1\r\nHost: "


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """Return a page with a wall nobody minds being attacked."""
    folder = tmp_path_factory.mktemp("attacked") / "wall"
    folder.mkdir()
    for name in ("brief.toml", "paints.toml", "wall.svg", "plan.toml"):
        (folder / name).write_bytes((CANYON / name).read_bytes())
    running = start_page(folder)
    yield running
    stop_page(running)
    assert "Traceback" not in running.said()
    assert running.address.split("key=")[1] not in running.said(), "the key is no word for a terminal"


@pytest.fixture(scope="module")
def cookie(server):
    return cookie_of(server)


@pytest.fixture
def visitor(server, cookie):
    """Return a tab in which the wall is open."""
    tab = Visitor(server, cookie)
    tab.wait_for(lambda each: each.get("props", {}).get("data-section") == "1")
    yield tab
    tab.close()


# -- who gets in ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:{port}", "localhost.:{port}", "[::1]:{port}", "127.0.0.1", "",
     "127.0.0.1.evil.example:{port}", "0.0.0.0:{port}", "2130706433:{port}", "127.1:{port}",
     "127.0.0.1:{port}@evil.example"],
)  # fmt: skip
def test_other_names_of_this_machine_are_refused(server, cookie, host):
    told = host.format(port=place_of(server)[1])
    assert ask_raw(server, "GET / HTTP/1.1", f"Host: {told}", f"Cookie: {cookie}").status == 421


@pytest.mark.parametrize(
    "lines",
    [
        ("GET / HTTP/1.1",),
        ("GET / HTTP/1.1", "Host: evil.example", "Host: {host}"),
        ("GET / HTTP/1.1", "Host: {host}", "Host: {host}"),
        ("GET http://evil.example/ HTTP/1.1", "Host: {host}"),
        ("GET //evil.example/ HTTP/1.1", "Host: {host}"),
        ("GET / HTTP/1.1", "Host: evil.example", "X-Forwarded-Host: {host}"),
        ("CONNECT evil.example:80 HTTP/1.1", "Host: {host}"),
        ("TRACE / HTTP/1.1", "Host: {host}"),
        ("OPTIONS / HTTP/1.1", "Host: {host}", "Origin: http://evil.example"),
        ("POST / HTTP/1.1", "Host: {host}", "Origin: null", "Content-Length: 0"),
        ("GET / HTTP/1.1", "Host: {host}", "X: " + "a" * 200_000),
        ("GET /" + "a" * 200_000 + " HTTP/1.1", "Host: {host}"),
    ],
)
def test_what_is_no_plain_request_for_the_page_is_refused(server, cookie, lines):
    host = server.origin.removeprefix("http://")
    answer = ask_raw(server, *(line.replace("{host}", host) for line in lines), f"Cookie: {cookie}")
    assert 400 <= answer.status < 500
    assert "access-control-allow-origin" not in answer.headers
    assert b"nicegui" not in answer.body


def knock(server, *, origin, cookie):
    address = server.origin.replace("http", "ws") + "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
    more = {"Cookie": cookie} if cookie else {}
    with connect(address, origin=origin, additional_headers=more) as line:
        return line.recv(10)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", None, "https://{host}", "http://localhost:1"]
)
def test_the_live_connection_is_for_the_page_alone(server, cookie, origin):
    given = origin and origin.replace("{host}", server.origin.removeprefix("http://"))
    with pytest.raises(InvalidStatus) as refused:
        knock(server, origin=given, cookie=cookie)
    assert refused.value.response.status_code == 403
    assert knock(server, origin=server.origin, cookie=cookie).startswith("0"), "the page itself gets in"


def test_the_live_connection_needs_the_key(server):
    with pytest.raises(InvalidStatus):
        knock(server, origin=server.origin, cookie=None)
    polling = "/_nicegui_ws/socket.io/?EIO=4&transport=polling"
    assert get(server, polling, "palette-1=x").status == 401
    cookie = cookie_of(server)
    assert get(server, polling, cookie, Origin="http://evil.example").status == 403
    assert get(server, polling, cookie, Sec_Fetch_Site="same-site", Sec_Fetch_Mode="no-cors").status == 403


_CLIMBING = [
    "/../brief.toml", "/%2e%2e/brief.toml", "/..%2fbrief.toml", "/..\\brief.toml", "/brief.toml%00.js",
    "/wall.svg",
    "/_nicegui/{v}/static/../../../../../../etc/passwd", "/_nicegui/{v}/static/%2e%2e/nicegui.py",
    "/_nicegui/{v}/static/..%2fnicegui.py", "/_nicegui/{v}/static/..\\nicegui.py",
    "/_nicegui/{v}/static//etc/passwd", "/_nicegui/{v}/static/nicegui.js%00", "/_nicegui/{v}/static/",
    "/_nicegui/{v}/resources/x/../../../etc/passwd", "/_nicegui/{v}/components/../../../etc/passwd",
    "/_nicegui/{v}/libraries/../../../etc/passwd", "/_nicegui/{v}/esm/x/../../../../etc/passwd",
    "/_nicegui/{v}/dynamic_resources/..%2f..%2fbrief.toml", "/_nicegui/client/x/upload/1",
    "/_nicegui_ws/../brief.toml", "/docs", "/redoc", "/openapi.json", "/.nicegui/storage-general.json",
]  # fmt: skip


def test_no_path_leads_to_a_file(server, cookie):
    from nicegui import __version__ as version

    for path in _CLIMBING:
        answer = get(server, path.replace("{v}", version), cookie)
        assert answer.status in (400, 404), path
        for secret in (b"root:", b"[[rule]]", b"<rect", b"import asyncio"):
            assert secret not in answer.body, path


# -- who speaks and does not go on ---------------------------------------------------------


def test_hundreds_of_half_requests_keep_nobody_out(server, cookie):
    host = server.origin.removeprefix("http://").encode()
    beginnings = [b"", HALF + host + b"\r\nX: ", HALF + b"x\r\n\r\n" + HALF,
                  b"POST / HTTP/1.1\r\nHost: " + host + b"\r\nContent-Length: 9\r\n\r\n"]  # fmt: skip
    lines = [socket.create_connection(place_of(server)) for _ in range(400)]
    try:
        for number, line in enumerate(lines):
            line.sendall(beginnings[number % len(beginnings)])
        tab = Visitor(server, cookie)
        assert tab.alive()
        tab.close()
        files = Path(f"/proc/{server.process.pid}/fd")
        until = time.monotonic() + 40
        while len(list(files.iterdir())) > 200 and time.monotonic() < until:
            for line in lines[::50]:
                # Drop by drop: that is no going on.
                with_no_word(line)
            time.sleep(0.5)
        assert len(list(files.iterdir())) < 200, "they are given up"
    finally:
        for line in lines:
            line.close()


def with_no_word(line):
    try:
        line.send(b"a")
    except OSError:
        return


# -- forged messages -----------------------------------------------------------------------


def test_forged_messages_change_nothing_and_stop_nothing(server, visitor):
    client = visitor.client_id
    key, button = visitor.button("Find the best scheme")
    listener = button["events"][0]["listener_id"]
    whole = {"client_id": client, "id": key, "listener_id": listener}
    deep = "[" * 9000 + "]" * 9000
    messages = [
        None,
        1,
        "x",
        [],
        {},
        {"client_id": client},
        {"client_id": [client]},
        {"client_id": "another"},
    ]
    messages += [{**whole, "listener_id": other} for other in ("x", [], None)]
    messages += [{**whole, "id": other} for other in ([key], 10**6, "x")]
    messages += [{**whole, "args": ["x", [5]][k]} for k in range(2)]
    messages += [{**whole, "args": [other]} for other in ("{", "NaN", '"\\ud800"', deep, "9" * 400)]
    before = (server.folder / "brief.toml").read_bytes()
    for name in ("event", "javascript_response", "ack", "handshake", "connect", "disconnect", "nothing"):
        for message in messages:
            visitor.emit(name, message)
    visitor.emit(
        "log", {"client_id": client, "level": "error", "message": "\x1b[31mA line of somebody else"}
    )
    visitor.emit("javascript_response", {"client_id": client, "request_id": "x", "result": "<script>"})
    for packet in ("42", "42[]", "42{}", '42["event"', "451-[]", '459999-["a"]', "40/admin,", "44{}", "9",
                   "4" + "9" * 30 + '["a"]', '42["event",' + "[" * 5000 + "]" * 5000 + "]"):  # fmt: skip
        visitor.line.send(packet)
    visitor.press(visitor.button("Keep this scheme"))
    visitor.listen(1)
    assert visitor.alive()
    other = Visitor(server, visitor.cookie)
    other.close()
    assert (server.folder / "brief.toml").read_bytes() == before
    assert "somebody else" not in server.said()


def test_a_message_of_any_length_ends_one_connection_at_most(server, cookie):
    for length in (900_000, 2**21, 2**26):
        tab = Visitor(server, cookie)
        with contextlib.suppress(ConnectionClosed):
            tab.line.send('42["event",{"client_id":"' + "x" * length + '"}]')
        assert length > 2**20 or tab.alive()
        tab.close()
    assert get(server, "/", cookie).status == 200
    assert resident_mib(server) < 400


def resident_mib(server) -> int:
    text = Path(f"/proc/{server.process.pid}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+)", text).group(1)) // 1024


# -- files ---------------------------------------------------------------------------------

EDGE = "----an-edge"


def part(name: str, data: bytes, field: str = "file") -> bytes:
    head = f'--{EDGE}\r\nContent-Disposition: form-data; name="{field}"; filename="{name}"\r\n\r\n'
    return head.encode("utf-8") + data + b"\r\n"


def upload_to(visitor, kinds: str) -> str:
    _, element = visitor.wait_for(
        lambda each: "url" in each.get("props", {}) and kinds in (each["props"].get("accept") or "image")
    )
    return element["props"]["url"]


def post(visitor, place: str, body: bytes, *, length: int | None = None, seconds: float = 20):
    host = visitor.server.origin.removeprefix("http://")
    return ask_raw(
        visitor.server, f"POST {place} HTTP/1.1", f"Host: {host}", f"Cookie: {visitor.cookie}",
        f"Origin: {visitor.server.origin}", f"Content-Type: multipart/form-data; boundary={EDGE}",
        f"Content-Length: {len(body) if length is None else length}", body=body, seconds=seconds,
    )  # fmt: skip


def drop(visitor, name: str, data: bytes, kinds: str = ".svg") -> str:
    """Give a file to the page as its own script does; return what the page says to it."""
    visitor.listen()
    visitor.heard.clear()
    answer = post(visitor, upload_to(visitor, kinds), part(name, data) + f"--{EDGE}--\r\n".encode())
    assert answer.status == 200
    until = time.monotonic() + 30
    while time.monotonic() < until:
        visitor.listen(0.1)
        for kind, message in visitor.heard:
            if kind == "notify":
                return message["message"]
    raise AssertionError("the page says nothing")


SVG = (b'<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm" viewBox="0 0 900 400">'
       b'<rect width="440" height="400"/><rect x="450" width="440" height="400"/></svg>')  # fmt: skip


def png(width: int, height: int) -> bytes:
    """Return a PNG of one bit a pixel that is all black (PNG specification, 5 and 11)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    rows = zlib.compress(b"\0" * min(((width + 7) // 8 + 1) * height, 2**26), 9)
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def zipped(*files: tuple[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files:
            archive.writestr(name, content)
    return buffer.getvalue()


def project(panel: str = "wall.svg") -> list[tuple[str, bytes]]:
    brief = (CANYON / "brief.toml").read_bytes().replace(b"wall.svg", panel.encode())
    return [("brief.toml", brief), ("paints.toml", (CANYON / "paints.toml").read_bytes()), (panel, SVG)]


def test_hostile_files_are_told_in_a_sentence_and_leave_nothing(server, visitor):
    listing = sorted(path.name for path in server.folder.rglob("*"))
    torn = bytearray(zipped(*project()))
    torn[300:360] = b"\0" * 60
    entities = b'<!DOCTYPE svg [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg">&b;</svg>'
    for name, data, kinds in [
        ("a.svg", b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>', ".svg"),
        ("a.svg", entities, ".svg"),
        ("a.svg", b'<svg xmlns="http://www.w3.org/2000/svg">' + b"<g>" * 50_000, ".svg"),
        ("a.toml", b'a = "' + b"x" * (39 * 2**20) + b'"', ".svg"),
        ("a.toml", b"a = " + b"[" * 50_000, ".svg"),
        ("a.png", png(60_000, 60_000), ".svg"),
        ("a.png", png(2**31 - 1, 2**31 - 1), ".svg"),
        ("a.png", png(60_000, 60_000), "image"),
        ("a.exe", b"MZ", ".svg"),
        ("paints.toml", b"name = 1", ".bfc"),
        ("a.zip", zipped(*project("scheme.json/wall.svg")), ".svg"),
        ("a.zip", zipped(*project("brief.toml/wall.svg")), ".svg"),
        ("a.zip", zipped(*project("w" * 300 + ".svg")), ".svg"),
        ("a.zip", zipped(*project("..\\..\\wall.svg")), ".svg"),
        ("a.zip", zipped(*project("C:wall.svg")), ".svg"),
        ("a.zip", bytes(torn), ".svg"),
        ("a.zip", zipped(("brief.toml", b"\0" * (60 * 2**20))), ".svg"),
        ("a.zip", zipped(*project(), ("page.json", b'{"kept": [5], "corners": "x", "proof": {}}')), ".svg"),
    ]:
        told = drop(visitor, name, data, kinds)
        assert told.rstrip().endswith("."), told
        assert "is on the page" not in told, told
        assert "Traceback" not in told
        assert "palette itself" not in told
        assert "/tmp" not in told
    assert sorted(path.name for path in server.folder.rglob("*")) == listing
    assert visitor.alive()
    assert resident_mib(server) < 400


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("../../wall.svg", "wall.svg"),
        ("..\\..\\wall.svg", "wall.svg"),
        ("<img src=x onerror=alert(1)>.svg", "<img src=x onerror=alert(1)>.svg"),
        # Unicode 15, 23.2: a right-to-left override would show it as "my exe.svg".
        ("my \u202egvs.svg", "my gvs.svg"),
        ("a\x07\x1b[31m.svg", "a[31m.svg"),
        ("x" * 3000 + ".svg", "x" * 75 + "….svg"),
    ],
)
def test_the_name_of_a_file_is_one_short_line(server, visitor, name, shown):
    told = drop(visitor, name, SVG)
    assert told == f"{shown} is on the page."
    assert {path.name for path in server.folder.iterdir()} >= {"wall.svg"}
    assert not [path for path in server.folder.parent.iterdir() if path != server.folder]
    deed = visitor.find(lambda each: each.get("text") == "Undo")[1]["props"]["aria-label"]
    assert deed == f"Undo: opened {shown}"


def test_bodies_that_lie_or_never_end(server, visitor):
    place = upload_to(visitor, ".svg")
    assert post(visitor, place, b"".join(part(f"{k}.svg", b"x") for k in range(3000))).status == 400
    assert post(visitor, place, part("a.svg", b"x"), length=41 * 2**20, seconds=5).status in (0, 413)
    assert 400 <= post(visitor, place, b"no edge at all").status <= 500
    assert post(visitor, place, f"--{EDGE}\r\nX: ".encode() + b"a" * 100_000).status == 400
    host = server.origin.removeprefix("http://")
    with socket.create_connection(place_of(server), timeout=20) as line:
        head = "\r\n".join([
            f"POST {place} HTTP/1.1", f"Host: {host}", f"Cookie: {visitor.cookie}",
            f"Origin: {server.origin}",
            f"Content-Type: multipart/form-data; boundary={EDGE}", "Transfer-Encoding: chunked", "", "",
        ])  # fmt: skip
        begun = part("a.svg", b"x" * 1000)
        line.sendall(head.encode() + f"{len(begun):x}\r\n".encode() + begun + b"\r\n")
        sent = 0
        try:
            while sent < 200 * 2**20:
                line.sendall(b"100000\r\n" + b"x" * 2**20 + b"\r\n")
                sent += 2**20
        except OSError:
            assert sent >= 39 * 2**20
    assert visitor.alive()
    assert resident_mib(server) < 400


def test_links_out_of_the_folder_are_neither_read_nor_written(tmp_path):
    folder, outside = tmp_path / "wall", tmp_path / "outside"
    folder.mkdir()
    outside.mkdir()
    for name in ("brief.toml", "paints.toml", "wall.svg"):
        (folder / name).write_bytes((CANYON / name).read_bytes())
    (outside / "page.json").write_text('{"version": 1, "photo_notes": ["a secret"]}')
    for name in ("page.json", "scheme.json"):
        (folder / name).symlink_to(outside / name)
    server = start_page(folder)
    try:
        tab = Visitor(server)
        tab.wait_for(lambda each: "outside the project folder" in str(each.get("text")))
        assert "a secret" not in json.dumps(tab.elements)
        tab.press(tab.button("Open the demo wall"))
        tab.wait_for(lambda each: each.get("props", {}).get("data-section") == "1")
        tab.press(tab.find(lambda each: each.get("props", {}).get("data-section") == "1"))
        tab.press(tab.wait_for(lambda each: "offer" in each.get("class", [])))
        tab.wait_for(lambda each: "Not saved" in str(each.get("text")))
        tab.close()
    finally:
        stop_page(server)
    assert sorted(path.name for path in outside.iterdir()) == ["page.json"]
    assert "a secret" in (outside / "page.json").read_text()
