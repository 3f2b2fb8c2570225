"""Who is let in: each refusal by its HTTP status (RFC 9110; 421 and 413 as there)."""

from __future__ import annotations

import contextlib

import pytest

from palette.page.conduct import Conduct
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


def guarded(inner, ticket=""):
    return Guard(inner, hosts=[HOST], key=KEY, port=8430, ticket=ticket)


def ask(
    method="GET", host=HOST, origin=None, cookie=KEY, query="", length=None, chunks=(b"",), kind="http",
    path="/", more=(), inner=None, guard=None,
):  # fmt: skip
    inner, sent = inner or Inner(), []
    headers = [(b"host", host.encode())]
    if origin is not None:
        headers.append((b"origin", origin.encode()))
    if cookie is not None:
        headers.append((b"cookie", f"palette-8430={cookie}".encode()))
    if length is not None:
        headers.append((b"content-length", str(length).encode()))
    headers += more
    scope = {
        "type": kind,
        "method": method,
        "path": path,
        "query_string": query.encode(),
        "headers": headers,
    }
    messages = [{"type": "http.request", "body": chunk, "more_body": k + 1 < len(chunks)}
                for k, chunk in enumerate(chunks)]  # fmt: skip

    async def receive():
        return messages.pop(0) if kind == "http" else {"type": "websocket.connect"}

    async def send(message):
        sent.append(message)

    drive(Conduct(guard or guarded(inner), hosts=[HOST])(scope, receive, send))
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
    assert headers[b"set-cookie"].split(b"; ")[1:] == [b"Path=/", b"HttpOnly", b"SameSite=Lax"]
    assert headers[b"referrer-policy"] == b"no-referrer"


def test_the_ticket_for_the_browser_opened_at_once_opens_one_time():
    inner = Inner()
    guard = guarded(inner, ticket="t1ck3t")
    _, first = ask(cookie=None, query="key=t1ck3t", guard=guard)
    _, second = ask(cookie=None, query="key=t1ck3t", guard=guard)
    assert (status(first), status(second)) == (303, 401)
    assert dict(first[0]["headers"])[b"set-cookie"].startswith(f"palette-8430={KEY};".encode())
    # The browser that has used it may ask again, and the key itself stays good.
    assert status(ask(query="key=t1ck3t", guard=guard)[1]) == 303
    assert status(ask(cookie=None, query=f"key={KEY}", guard=guard)[1]) == 303
    assert status(ask(cookie="t1ck3t", guard=guard)[1]) == 401


def test_no_ticket_is_no_key():
    assert status(ask(cookie=None, query="key=")[1]) == 401


# RFC 6265, 5.4: a browser sends all cookies that fit in one line, whatever others made of theirs.
@pytest.mark.parametrize(
    "line", ['a={"x": [1, 2]}; {ours}', "{ours}; =odd", "b=\x80; {ours}", "palette-8430=theirs; {ours}"]
)
def test_cookies_of_other_programs_shut_nobody_out(line):
    given = line.replace("{ours}", f"palette-8430={KEY}").encode("latin-1")
    inner, sent = ask(cookie=None, more=((b"cookie", given),))
    assert (inner.reached, status(sent)) == (1, 200)


@pytest.mark.parametrize(
    "more", [((b"host", b"evil.example"),), ((b"Host", HOST.encode()),), ((b"host", b""),)]
)
def test_two_hosts_are_none(more):
    # RFC 9112, 3.2: more than one Host line is an error.
    inner, sent = ask(more=more)
    assert (inner.reached, status(sent)) == (0, 421)


def test_one_foreign_origin_among_two_is_foreign():
    inner, sent = ask(origin=f"http://{HOST}", more=((b"origin", b"http://evil.example"),))
    assert (inner.reached, status(sent)) == (0, 403)


def fetch(site, mode, aim):
    return ((b"sec-fetch-site", site), (b"sec-fetch-mode", mode), (b"sec-fetch-dest", aim))


# Fetch Metadata Request Headers (W3C): what a browser says of a script, a picture or a frame another site,
# or another port of this machine, wants to make of the page; and of a link to it.
@pytest.mark.parametrize(
    ("more", "answer"),
    [
        (fetch(b"same-site", b"no-cors", b"script"), 403),
        (fetch(b"same-site", b"cors", b"empty"), 403),
        (fetch(b"cross-site", b"no-cors", b"image"), 403),
        (fetch(b"cross-site", b"navigate", b"iframe"), 403),
        (fetch(b"cross-site", b"navigate", b"document"), 200),
        (fetch(b"same-origin", b"no-cors", b"script"), 200),
        (fetch(b"none", b"navigate", b"document"), 200),
    ],
)
def test_other_sites_may_link_to_the_page_and_no_more(more, answer):
    inner, sent = ask(more=more)
    assert (inner.reached, status(sent)) == (int(answer == 200), answer)


@pytest.mark.parametrize(
    "path", ["//evil.example/", "/\\evil.example/", "/\r\nSet-Cookie: a=b", "/€", "/brief.toml"]
)
def test_there_is_no_other_place(path):
    assert status(ask(path=path)[1]) == 404
    assert status(ask(path=path, cookie=None, query=f"key={KEY}")[1]) == 404


@pytest.mark.parametrize("path", ["/_nicegui//evil", "/_nicegui/\r\nSet-Cookie: a=b", "/_nicegui/€"])
def test_the_way_on_from_the_key_stays_here_and_is_one_line(path):
    _, sent = ask(path=path, cookie=None, query=f"key={KEY}&next=//evil.example")
    place = dict(sent[0]["headers"])[b"location"]
    assert place.startswith(b"/_nicegui/")
    assert place.isascii()
    assert not set(b"\r\n ") & set(place)


def test_the_key_in_the_address_is_no_key_for_changes():
    inner, sent = ask(method="POST", cookie=None, origin=f"http://{HOST}", query=f"key={KEY}")
    assert (inner.reached, status(sent)) == (0, 401)


@pytest.mark.parametrize("length", [MAX_UPLOAD_BYTES + 1, "many", "-1", "\xb2", "9" * 5000])
def test_too_long_a_body_is_refused_before_it_is_read(length):
    inner, sent = ask(method="POST", origin=f"http://{HOST}", length=length)
    assert (inner.reached, status(sent)) == (0, 413)


class Faulty(Inner):
    """What lies behind the guard stumbles."""

    async def __call__(self, scope, receive, send):
        raise RuntimeError("Traceback (most recent call last)")


def test_a_fault_behind_it_is_answered_with_a_sentence():
    heard = []
    guard = Guard(Faulty(), hosts=[HOST], key=KEY, port=8430, on_fault=heard.append)
    _, sent = ask(guard=guard)
    assert status(sent) == 400
    assert b"Traceback" not in sent[1]["body"]
    assert [type(each) for each in heard] == [RuntimeError]


class Page(Inner):
    """A page as the library writes it, with a name in it that tries to be a script."""

    async def __call__(self, scope, receive, send):
        headers = [(b"content-type", b"text/html; charset=utf-8"), (b"content-length", b"59"),
                   (b"access-control-allow-origin", b"*")]  # fmt: skip
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": b"<script>ours()</script>", "more_body": True})
        await send({"type": "http.response.body", "body": b"String.raw`&lt;script&gt;theirs()`"})


def test_only_the_pages_own_scripts_carry_the_number_of_this_answer():
    numbers = set()
    for _ in range(2):
        _, sent = ask(inner=Page())
        headers, body = dict(sent[0]["headers"]), sent[1]["body"]
        number = body.split(b'"')[1]
        numbers.add(number)
        # Content Security Policy 3, 2.3.1: 'nonce-' and the number; with it there is no 'unsafe-inline'.
        rule = next(each for each in headers[b"content-security-policy"].split(b"; ")
                    if each.startswith(b"script-src"))  # fmt: skip
        assert b"'nonce-" + number + b"'" in rule
        assert b"unsafe-inline" not in rule
        assert body == b'<script nonce="' + number + b'">ours()</script>String.raw`&lt;script&gt;theirs()`'
        assert int(headers[b"content-length"]) == len(body)
        assert b"access-control-allow-origin" not in headers
        assert len(number) >= 22, "128 bits, as that specification advises"
    assert len(numbers) == 2


def test_nothing_may_be_reached_or_shown_from_elsewhere():
    headers = dict(ask()[1][0]["headers"])
    rules = dict(rule.split(b" ", 1) for rule in headers[b"content-security-policy"].split(b"; "))
    assert rules[b"default-src"] == b"'self'"
    assert rules[b"connect-src"] == b"'self' ws://" + HOST.encode()
    assert rules[b"frame-ancestors"] == rules[b"object-src"] == rules[b"base-uri"] == b"'none'"
    assert not [name for name in rules if b"http:" in rules[name] or b"*" in rules[name]]
    assert headers[b"x-content-type-options"] == b"nosniff"
    assert (
        headers[b"cross-origin-resource-policy"] == headers[b"cross-origin-opener-policy"] == b"same-origin"
    )


def test_a_body_that_says_no_length_is_cut_off_when_it_grows_too_long():
    chunk = b"x" * 2**20
    inner, sent = ask(method="POST", origin=f"http://{HOST}", chunks=(chunk,) * 60)
    assert len(inner.body) <= MAX_UPLOAD_BYTES
    assert status(sent) == 413


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
