"""Talk to the page without a browser: raw bytes, and messages as the browser's library sends them.

The live connection is Socket.IO protocol 5 over Engine.IO protocol 4 over a WebSocket (RFC 6455);
``40`` opens it, ``42`` carries an event, ``2`` and ``3`` are ping and pong.
"""

from __future__ import annotations

import ast
import contextlib
import html
import http.client
import io
import json
import queue
import re
import socket
import threading
import time
import uuid
from dataclasses import dataclass
from urllib.parse import urlencode

from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect


@dataclass(frozen=True)
class Answer:
    """What came back to a raw request."""

    status: int
    headers: dict[str, str]
    body: bytes


def place_of(server):
    """Return host and port of a server."""
    host, port = server.origin.removeprefix("http://").split(":")
    return host, int(port)


def say(server, data: bytes, *, seconds: float = 10) -> bytes:
    """Send bytes as they are; return what comes back until the other side closes or is silent."""
    with socket.create_connection(place_of(server), timeout=seconds) as line:
        line.sendall(data)
        heard = b""
        with contextlib.suppress(TimeoutError, ConnectionResetError):
            while chunk := line.recv(65536):
                heard += chunk
        return heard


def ask_raw(server, *lines: str, body: bytes = b"", seconds: float = 10) -> Answer:
    """Send a request line and header lines as they are, ``Connection: close`` added."""
    text = "\r\n".join([*lines, "Connection: close", "", ""])
    heard = say(server, text.encode("latin-1") + body, seconds=seconds)
    return parse_answer(heard)


def parse_answer(heard: bytes) -> Answer:
    """Return the answer that bytes on the line hold; status 0 where there is none."""
    if not heard.startswith(b"HTTP/"):
        return Answer(0, {}, heard)
    answer = http.client.HTTPResponse(_Line(heard))
    answer.begin()
    body = b""
    with contextlib.suppress(http.client.HTTPException):
        body = answer.read()
    return Answer(answer.status, {name.lower(): value for name, value in answer.getheaders()}, body)


class _Line:
    """Bytes that came, where http.client expects a socket."""

    def __init__(self, data: bytes) -> None:
        self._file = io.BytesIO(data)

    def makefile(self, *_):
        return self._file


def cookie_of(server) -> str:
    """Return the cookie the address of a page is exchanged for."""
    path = server.address.removeprefix(server.origin)
    answer = ask_raw(server, f"GET {path} HTTP/1.1", f"Host: {server.origin.removeprefix('http://')}")
    assert answer.status == 303, answer
    return answer.headers["set-cookie"].split(";")[0]


def get(server, path: str, cookie: str, **headers: str) -> Answer:
    """Return the answer to a plain GET of somebody who was let in."""
    host = server.origin.removeprefix("http://")
    more = [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
    return ask_raw(server, f"GET {path} HTTP/1.1", f"Host: {host}", f"Cookie: {cookie}", *more)


class Visitor:
    """A tab without a browser: it knows the elements the page consists of, and can press them."""

    def __init__(self, server, cookie: str | None = None) -> None:
        self.server = server
        self.cookie = cookie or cookie_of(server)
        text = get(server, "/", self.cookie).body.decode()
        raw = re.search(r"parseElements\(String\.raw`(.*?)`\)", text, re.DOTALL).group(1)
        self.elements = {int(k): v for k, v in json.loads(html.unescape(raw)).items()}
        query = ast.literal_eval(re.search(r"query: (\{.*?\}),\n", text).group(1))
        self.client_id = query["client_id"]
        self.next_id = int(query["next_message_id"])
        self.heard: list[list] = []
        self._stack = contextlib.ExitStack()
        self._said: queue.Queue[str | bytes] = queue.Queue()
        self.line = self._connect()
        threading.Thread(target=self._hear, daemon=True).start()

    def _connect(self):
        query = {
            "EIO": "4", "transport": "websocket", "client_id": self.client_id, "implicit_handshake": "true",
            "document_id": str(uuid.uuid4()), "tab_id": str(uuid.uuid4()), "next_message_id": self.next_id,
        }  # fmt: skip
        address = self.server.origin.replace("http", "ws") + "/_nicegui_ws/socket.io/?" + urlencode(query)
        line = self._stack.enter_context(connect(
            address, origin=self.server.origin, additional_headers={"Cookie": self.cookie}, max_size=None,
            compression=None,
        ))  # fmt: skip
        assert line.recv(10).startswith("0")
        line.send("40")
        assert line.recv(10).startswith("40"), "the page takes the connection"
        return line

    def emit(self, event: str, message) -> None:
        """Send an event of any shape."""
        self.line.send("42" + json.dumps([event, message]))

    def _hear(self) -> None:
        # Pings are answered at once, as a browser does, also while the test is busy with something else.
        with contextlib.suppress(ConnectionClosed):
            for heard in self.line:
                if heard == "2":
                    self.line.send("3")
                else:
                    self._said.put(heard)

    def listen(self, seconds: float = 0.0) -> int:
        """Take in what the page said meanwhile; return how many messages."""
        count = 0
        until = time.monotonic() + seconds
        with contextlib.suppress(queue.Empty):
            while True:
                heard = self._said.get(timeout=max(0.001, until - time.monotonic()))
                if isinstance(heard, str) and heard.startswith("42"):
                    count += 1
                    name, data = json.loads(heard[2:])
                    self.heard.append([name, data])
                    if name == "update":
                        self._take(data)
        return count

    def _take(self, data) -> None:
        data.pop("_id", None)
        for key, element in data.items():
            if element is None:
                self.elements.pop(int(key), None)
            else:
                self.elements[int(key)] = element

    def find(self, what) -> tuple[int, dict]:
        """Return the first element for which `what` is true, and its number."""
        return next((key, each) for key, each in sorted(self.elements.items()) if what(each))

    def button(self, label: str) -> tuple[int, dict]:
        """Return a button by what it says."""
        return self.find(lambda each: each.get("tag") == "button" and (
            each.get("text") == label or each.get("props", {}).get("aria-label", "") == label))  # fmt: skip

    def press(self, found: tuple[int, dict], kind: str = "click", args=()) -> None:
        """Press an element, or let another of its events happen."""
        key, element = found
        listener = next(each for each in element["events"] if each["type"] == kind)
        self.emit("event", {
            "id": key, "client_id": self.client_id, "listener_id": listener["listener_id"],
            "args": [json.dumps(arg) for arg in args],
        })  # fmt: skip

    def wait_for(self, what, seconds: float = 20.0):
        """Listen until an element satisfies `what`; return it."""
        until = time.monotonic() + seconds
        while True:
            with contextlib.suppress(StopIteration):
                return self.find(what)
            assert time.monotonic() < until, "it never came"
            self.listen(0.2)

    def text_of(self, style: str) -> str:
        """Return the text of the first element of a style."""
        return self.find(lambda each: style in each.get("class", []))[1].get("text", "")

    def alive(self) -> bool:
        """Return whether the connection still stands."""
        try:
            self.line.ping().wait(5)
        except ConnectionClosed:
            return False
        return True

    def close(self) -> None:
        """Close the tab."""
        self._stack.close()
