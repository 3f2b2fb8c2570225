"""Who may talk to the page: this machine's own browser, with this start's key.

A plain ASGI layer before everything else, the live connection included. It refuses

- a Host that is not one of the page's own addresses (a foreign name that resolves here),
- an Origin that is not the page itself, on anything that can change something,
- whoever does not carry the key of this start, which came with the address and then lives in
  a cookie,
- bodies larger than an upload may be, counted as they arrive.
"""

from __future__ import annotations

import hmac
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qsl, urlencode

__all__ = ["MAX_UPLOAD_BYTES", "Guard"]

MAX_UPLOAD_BYTES = 40 * 2**20
"""A 50-megapixel phone JPEG has 15 to 30 MB."""

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    # Scripts are evaluated by the page's own library, so 'unsafe-eval' is needed; nothing may be
    # fetched from, or sent to, anywhere else.
    (
        b"content-security-policy",
        b"default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; "
        b"style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
        b"connect-src 'self' ws: wss:; object-src 'none'; base-uri 'none'; form-action 'self'; "
        b"frame-ancestors 'none'",
    ),
)


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
    """

    def __init__(self, app: App, *, hosts: Iterable[str], key: str, port: int) -> None:
        self.app = app
        self.hosts = frozenset(host.lower() for host in hosts)
        self.key = key
        self.cookie = f"palette-{port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Judge one request or one live connection."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {name.lower(): value.decode("latin-1") for name, value in scope["headers"]}
        fault = self._fault(scope, headers)
        if fault is not None:
            await _refuse(scope, receive, send, *fault)
            return
        if scope["type"] == "websocket":
            await self.app(scope, receive, send)
            return
        query = parse_qsl(scope.get("query_string", b"").decode("latin-1"), keep_blank_values=True)
        if any(name == "key" for name, _ in query):
            rest = urlencode([(name, value) for name, value in query if name != "key"])
            await self._welcome(send, scope["path"] + (f"?{rest}" if rest else ""))
            return
        await self.app(scope, _counted(receive), _with_headers(send))

    def _fault(self, scope: Scope, headers: MutableMapping[bytes, str]) -> tuple[int, str] | None:
        if headers.get(b"host", "").lower() not in self.hosts:
            return 421, "This page answers only to its own address; open the one palette printed."
        origin = headers.get(b"origin")
        risky = scope["type"] == "websocket" or scope.get("method") not in ("GET", "HEAD")
        if origin is not None and origin.lower().split("://")[-1] not in self.hosts:
            return 403, "Another page tried to speak to this one; that is not allowed."
        if risky and origin is None:
            return 403, "The request does not say which page it comes from."
        if not self._has_key(scope, headers):
            return 401, "The key of this start is missing; open the address palette printed, whole."
        length = headers.get(b"content-length", "0")
        if not length.isdigit() or int(length) > MAX_UPLOAD_BYTES:
            return 413, f"The file is larger than {MAX_UPLOAD_BYTES // 2**20} MiB; save a smaller one."
        return None

    def _has_key(self, scope: Scope, headers: MutableMapping[bytes, str]) -> bool:
        given = [value for name, value in parse_qsl(scope.get("query_string", b"").decode("latin-1"))
                 if name == "key" and scope["type"] == "http" and scope["method"] == "GET"]  # fmt: skip
        try:
            cookies = SimpleCookie(headers.get(b"cookie", ""))
        except CookieError:
            cookies = SimpleCookie()
        if self.cookie in cookies:
            given.append(cookies[self.cookie].value)
        return any(hmac.compare_digest(value.encode(), self.key.encode()) for value in given)

    async def _welcome(self, send: Send, path: str) -> None:
        # The key leaves the address line at once, so that it is not copied or kept in a history.
        # A path like //elsewhere would lead the browser away from here.
        path = "/" + path.lstrip("/")
        cookie = f"{self.cookie}={self.key}; Path=/; HttpOnly; SameSite=Lax"
        headers = [(b"location", path.encode()), (b"set-cookie", cookie.encode()), *_HEADERS]
        await send({"type": "http.response.start", "status": 303, "headers": headers})
        await send({"type": "http.response.body", "body": b""})


async def _refuse(scope: Scope, receive: Receive, send: Send, status: int, sentence: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": sentence[:120]})
        return
    headers = [(b"content-type", b"text/plain; charset=utf-8"), *_HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": sentence.encode()})


def _counted(receive: Receive) -> Receive:
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        if message["type"] == "http.request":
            taken += len(message.get("body", b""))
            if taken > MAX_UPLOAD_BYTES:
                # As if the sender had gone away: the reader of the body gives up, nothing is kept.
                return {"type": "http.disconnect"}
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", ()), *_HEADERS]
        await send(message)

    return sending
