"""Who may talk to the page: this machine's own browser, with this start's key.

A plain ASGI layer before everything else, the live connection included. It refuses

- a Host that is not one of the page's own addresses (a foreign name that resolves here),
- an Origin that is not the page itself, on anything that can change something, and whatever a
  browser itself says another site asked for,
- whoever does not carry the key of this start, which came with the address and then lives in
  a cookie,
- bodies larger than an upload may be, counted as they arrive,
- places the page does not have.
"""

from __future__ import annotations

import hmac
from collections.abc import Awaitable, Callable, Iterable, Iterator, MutableMapping
from typing import Any
from urllib.parse import parse_qsl, quote, urlencode

__all__ = ["MAX_UPLOAD_BYTES", "App", "Guard", "Message", "Receive", "Scope", "Send"]

MAX_UPLOAD_BYTES = 40 * 2**20
"""A 50-megapixel phone JPEG has 15 to 30 MB."""

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Fault = tuple[int, str]

_PLACES = ("/", "/favicon.ico")
_LIBRARY = ("/_nicegui/", "/_nicegui_ws/")

_TOO_LONG = f"The file is larger than {MAX_UPLOAD_BYTES // 2**20} MiB; save a smaller one."


class Guard:
    """Let only the page's own visitors through.

    Parameters
    ----------
    app : ASGI application
    hosts : iterable of str
        ``name:port`` the page answers to.
    key : str
        This start's secret.
    port : int
        Part of the cookie's name: cookies do not tell ports apart.
    ticket : str
        Opens the page once, in place of the key; "" where there is none.
    on_fault : callable
        Hears of an exception nobody foresaw; whoever asked is answered with a sentence.
    """

    def __init__(
        self,
        app: App,
        *,
        hosts: Iterable[str],
        key: str,
        port: int,
        ticket: str = "",
        on_fault: Callable[[Exception], object] = lambda _: None,
    ) -> None:
        self.app = app
        self.hosts = frozenset(host.lower() for host in hosts)
        self.origins = frozenset(f"http://{host}" for host in self.hosts)
        self.key = key
        self.cookie = f"palette-{port}"
        self._ticket = ticket
        self._on_fault = on_fault

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Judge one request or one live connection."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        fault = self._fault(scope)
        if fault is not None:
            await _refuse(scope, receive, send, *fault)
            return
        if scope["type"] == "websocket":
            await self.app(scope, receive, send)
            return
        query = _query(scope)
        if any(name == "key" for name, _ in query):
            rest = urlencode([(name, value) for name, value in query if name != "key"])
            await self._welcome(send, scope["path"], rest)
            return
        await self._pass_on(scope, receive, send)

    async def _pass_on(self, scope: Scope, receive: Receive, send: Send) -> None:
        body = _CountedBody(receive)
        started = False

        async def sending(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, body.receive, sending)
        except Exception as fault:  # noqa: BLE001
            if not body.gone:
                self._on_fault(fault)
            if not started and not body.too_long:
                await _refuse(scope, receive, send, 400, "This could not be understood; try it again.")
                started = True
        if body.too_long and not started:
            await _refuse(scope, receive, send, 413, _TOO_LONG)

    def _fault(self, scope: Scope) -> Fault | None:
        hosts, origins = _values(scope, b"host"), _values(scope, b"origin")
        if len(hosts) != 1 or hosts[0].lower() not in self.hosts:
            return 421, "This page answers only to its own address; open the one palette printed."
        if any(origin.lower() not in self.origins for origin in origins):
            return 403, "Another page tried to speak to this one; that is not allowed."
        if not origins and (scope["type"] == "websocket" or scope["method"] not in ("GET", "HEAD")):
            return 403, "The request does not say which page it comes from."
        if _asked_by_another_site(scope):
            return 403, "Another page tried to use a part of this one; that is not allowed."
        if not self._has_key(scope):
            return 401, "The key of this start is missing; open the address palette printed, whole."
        if scope["path"] not in _PLACES and not scope["path"].startswith(_LIBRARY):
            return 404, "There is nothing here; open the address palette printed."
        if any(not _is_short(length) for length in _values(scope, b"content-length")):
            return 413, _TOO_LONG
        return None

    def _has_key(self, scope: Scope) -> bool:
        # Other programs of this machine set cookies for the same name, in whatever shape: each is
        # looked at by itself, and one of ours is enough.
        if any(_same(value, self.key) for value in _cookies(scope, self.cookie)):
            return True
        if scope["type"] != "http" or scope["method"] != "GET":
            return False
        given = [value for name, value in _query(scope) if name == "key"]
        if any(_same(value, self.key) for value in given):
            return True
        if self._ticket and any(_same(value, self._ticket) for value in given):
            self._ticket = ""
            return True
        return False

    async def _welcome(self, send: Send, path: str, query: str) -> None:
        # The key leaves the address line at once, so that it is not copied or kept in a history.
        # A path like //elsewhere would lead the browser away from here, and one with a line's end
        # in it would be taken for another header.
        place = "/" + quote(path.replace("\\", "/").lstrip("/")) + (f"?{query}" if query else "")
        cookie = f"{self.cookie}={self.key}; Path=/; HttpOnly; SameSite=Lax"
        headers = [(b"location", place.encode()), (b"set-cookie", cookie.encode()),
                   (b"cache-control", b"no-store")]  # fmt: skip
        await send({"type": "http.response.start", "status": 303, "headers": headers})
        await send({"type": "http.response.body", "body": b""})


def _values(scope: Scope, name: bytes) -> list[str]:
    return [value.decode("latin-1") for key, value in scope["headers"] if key.lower() == name]


def _query(scope: Scope) -> list[tuple[str, str]]:
    return parse_qsl(scope.get("query_string", b"").decode("latin-1"), keep_blank_values=True)


def _cookies(scope: Scope, name: str) -> Iterator[str]:
    for line in _values(scope, b"cookie"):
        for pair in line.split(";"):
            key, _, value = pair.strip().partition("=")
            if key == name:
                yield value


def _same(given: str, secret: str) -> bool:
    return hmac.compare_digest(given.encode("utf-8", "replace"), secret.encode())


def _asked_by_another_site(scope: Scope) -> bool:
    """Return whether a browser says another site wants a part of the page; a link to the page is fine.

    A page of another program on this machine is the same site to a browser, only another port, and
    gets our cookie: the browser's own word (Fetch Metadata, W3C) tells them apart.
    """
    site = _values(scope, b"sec-fetch-site")
    if not site or site[0] in ("same-origin", "none"):
        return False
    mode, aim = _values(scope, b"sec-fetch-mode"), _values(scope, b"sec-fetch-dest")
    return scope.get("method") != "GET" or mode != ["navigate"] or aim != ["document"]


def _is_short(length: str) -> bool:
    digits = length.strip()
    return digits.isascii() and digits.isdigit() and len(digits) < 16 and int(digits) <= MAX_UPLOAD_BYTES


async def _refuse(scope: Scope, receive: Receive, send: Send, status: int, sentence: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": sentence[:120]})
        return
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"cache-control", b"no-store")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": sentence.encode()})


class _CountedBody:
    """The body of a request as it arrives, cut off where it grows longer than an upload may be."""

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._taken = 0
        self.too_long = False
        self.gone = False

    async def receive(self) -> Message:
        """Return the next piece."""
        message = await self._receive()
        if message["type"] == "http.request":
            self._taken += len(message.get("body", b""))
            self.too_long = self._taken > MAX_UPLOAD_BYTES
        self.gone = self.too_long or message["type"] == "http.disconnect"
        # As if the sender had gone away: the reader of the body gives up, nothing is kept.
        return {"type": "http.disconnect"} if self.gone else message
