"""How the browser is told to treat the page: what may run in it, what it may reach, who may show it.

The library writes scripts into the page itself, so these get a number that is new with every answer
(a nonce, Content Security Policy 3): a script that came in with a name or a drawing has none and
does not run, even if it ever got into the page as markup.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable

from palette.page.guarding import App, Message, Receive, Scope, Send

__all__ = ["Conduct"]

_ALWAYS = (
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)


class Conduct:
    """Add the rules to every answer.

    Parameters
    ----------
    app : ASGI application
    hosts : iterable of str
        ``name:port`` the page answers to: the live connection may go there, and nowhere else.
    """

    def __init__(self, app: App, *, hosts: Iterable[str]) -> None:
        self._app = app
        self._lines = " ".join(f"ws://{host}" for host in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, and its answer back."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        await self._app(scope, receive, _Answer(send, self._lines).send)


class _Answer:
    def __init__(self, send: Send, lines: str) -> None:
        self._send = send
        self._lines = lines
        self._page: list[bytes] | None = None
        self._start: Message = {}

    async def send(self, message: Message) -> None:
        """Send one part of the answer on; a page waits until it is whole."""
        if message["type"] == "http.response.start":
            headers = [(name, value) for name, value in message.get("headers", ())
                       if not name.lower().startswith(b"access-control-")]  # fmt: skip
            nonce = secrets.token_urlsafe(16)
            self._start = {**message, "headers": [*headers, *_ALWAYS, self._policy(nonce)]}
            if dict(headers).get(b"content-type", b"").startswith(b"text/html"):
                self._page, self._nonce = [], nonce
            else:
                await self._send(self._start)
        elif self._page is None:
            await self._send(message)
        else:
            self._page.append(message.get("body", b""))
            if not message.get("more_body"):
                await self._send_page(b"".join(self._page))

    async def _send_page(self, body: bytes) -> None:
        # What is shown stands there as data with each < escaped: the scripts left are the library's own.
        body = body.replace(b"<script", b'<script nonce="' + self._nonce.encode() + b'"')
        headers = [(name, value) for name, value in self._start["headers"] if name != b"content-length"]
        self._start["headers"] = [*headers, (b"content-length", str(len(body)).encode())]
        await self._send(self._start)
        await self._send({"type": "http.response.body", "body": body})

    def _policy(self, nonce: str) -> tuple[bytes, bytes]:
        # The library compiles what it shows in the browser, hence 'unsafe-eval'; styles stand in place.
        policy = (
            f"default-src 'self'; script-src 'self' 'nonce-{nonce}' 'unsafe-eval'; "
            "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
            f"connect-src 'self' {self._lines}; object-src 'none'; base-uri 'none'; form-action 'none'; "
            "frame-src 'none'; worker-src 'none'; frame-ancestors 'none'"
        )
        return b"content-security-policy", policy.encode()
