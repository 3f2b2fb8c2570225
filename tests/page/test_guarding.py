"""Who is let in: each refusal by its HTTP status (RFC 9110; 421 and 413 as there)."""

from __future__ import annotations

import contextlib

import pytest

from palette.page.guarding import MAX_UPLOAD_BYTES, Guard

KEY, HOST = "k3y", "127.0.0.1:8430"


class Inner:
    """What lies behind the guard: remembers whether anybody came through."""

    def __init__(self):
        self.reached = 0
        self.body = b""

    async def __call__(self, scope, receive, send):
        self.reached += 1
        if scope["type"] == "http":
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    return
                self.body += message.get("body", b"")
                if not message.get("more_body"):
                    break
            await send({"type": "http.response.start", "status": 200, "headers": []})
            await send({"type": "http.response.body", "body": b"in"})


def drive(coroutine):
    """Run a coroutine that never waits for anything outside: no loop is needed, one may be running."""
    with contextlib.suppress(StopIteration):
        coroutine.send(None)
        pytest.fail("it waits for something")


def ask(
    method="GET", host=HOST, origin=None, cookie=KEY, query="", length=None, chunks=(b"",), kind="http"
):
    inner, sent = Inner(), []
    headers = [(b"host", host.encode())]
    if origin is not None:
        headers.append((b"origin", origin.encode()))
    if cookie is not None:
        headers.append((b"cookie", f"palette-8430={cookie}".encode()))
    if length is not None:
        headers.append((b"content-length", str(length).encode()))
    scope = {
        "type": kind,
        "method": method,
        "path": "/",
        "query_string": query.encode(),
        "headers": headers,
    }
    messages = [{"type": "http.request", "body": chunk, "more_body": k + 1 < len(chunks)}
                for k, chunk in enumerate(chunks)]  # fmt: skip

    async def receive():
        return messages.pop(0) if kind == "http" else {"type": "websocket.connect"}

    async def send(message):
        sent.append(message)

    drive(Guard(inner, hosts=[HOST], key=KEY, port=8430)(scope, receive, send))
    return inner, sent


def status(sent):
    return sent[0].get("status")


def test_the_owner_gets_in_and_is_told_how_to_behave():
    inner, sent = ask()
    assert (inner.reached, status(sent)) == (1, 200)
    headers = dict(sent[0]["headers"])
    assert headers[b"x-frame-options"] == b"DENY"
    assert b"default-src 'self'" in headers[b"content-security-policy"]


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8430", "127.0.0.1:9999", "127.0.0.1", ""])
def test_a_foreign_host_is_refused(host):
    inner, sent = ask(host=host)
    assert (inner.reached, status(sent)) == (0, 421)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "http://127.0.0.1:9999", "http://127.0.0.1:8430.evil"]
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_foreign_origin_is_refused(origin, method):
    inner, sent = ask(method=method, origin=origin)
    assert (inner.reached, status(sent)) == (0, 403)


def test_a_change_without_an_origin_is_refused():
    inner, sent = ask(method="POST")
    assert (inner.reached, status(sent)) == (0, 403)


def test_a_change_from_the_page_itself_gets_in():
    inner, sent = ask(method="POST", origin=f"http://{HOST}", chunks=(b"a", b"b"))
    assert (inner.body, status(sent)) == (b"ab", 200)


@pytest.mark.parametrize("cookie", [None, "", "wrong", "k3yk3y", "ké"])
def test_without_the_key_nobody_gets_in(cookie):
    inner, sent = ask(cookie=cookie)
    assert (inner.reached, status(sent)) == (0, 401)


def test_the_key_in_the_address_becomes_a_cookie_and_leaves_the_address():
    inner, sent = ask(cookie=None, query=f"key={KEY}&x=1")
    headers = dict(sent[0]["headers"])
    assert (inner.reached, status(sent)) == (0, 303)
    assert headers[b"location"] == b"/?x=1"
    assert b"HttpOnly" in headers[b"set-cookie"]


def test_the_key_in_the_address_is_no_key_for_changes():
    inner, sent = ask(method="POST", cookie=None, origin=f"http://{HOST}", query=f"key={KEY}")
    assert (inner.reached, status(sent)) == (0, 401)


@pytest.mark.parametrize("length", [MAX_UPLOAD_BYTES + 1, "many", "-1"])
def test_too_long_a_body_is_refused_before_it_is_read(length):
    inner, sent = ask(method="POST", origin=f"http://{HOST}", length=length)
    assert (inner.reached, status(sent)) == (0, 413)


def test_a_body_that_says_no_length_is_cut_off_when_it_grows_too_long():
    chunk = b"x" * 2**20
    inner, sent = ask(method="POST", origin=f"http://{HOST}", chunks=(chunk,) * 60)
    assert len(inner.body) <= MAX_UPLOAD_BYTES
    assert not sent, "no answer that would say all is well"


@pytest.mark.parametrize(
    ("origin", "cookie"), [("http://evil.example", KEY), (None, KEY), (f"http://{HOST}", "no")]
)
def test_a_live_connection_is_held_to_the_same(origin, cookie):
    inner, sent = ask(kind="websocket", origin=origin, cookie=cookie)
    assert inner.reached == 0
    assert sent[0]["type"] == "websocket.close"


def test_a_live_connection_of_the_page_gets_in():
    inner, _ = ask(kind="websocket", origin=f"http://{HOST}")
    assert inner.reached == 1
