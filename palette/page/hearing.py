"""What comes over the live connection, before the page's library hears it.

The library takes for granted that only its own script speaks there. Whatever does not have the shape
its script gives a message is dropped here without a word: nobody at the page did that, and an
exception for each would fill the terminal.
"""

from __future__ import annotations

import inspect
import json
import math
from collections.abc import Awaitable, Callable
from typing import Any

from nicegui import core
from nicegui.client import Client
from socketio.exceptions import ConnectionRefusedError as Refused

__all__ = ["hear_only_the_page"]

_MOST_DEEP = 40
"""A file's name lies three lists deep in what an upload tells."""

Handler = Callable[..., Any]
Fits = Callable[[dict[str, Any]], bool]


def hear_only_the_page() -> None:
    """Put a check before everything the library listens to on the live connection."""
    handlers = core.sio.handlers["/"]
    for name, fits in _SHAPES.items():
        handlers[name] = _checked(handlers[name], fits)
    handlers["connect"] = _welcoming(handlers["connect"])


def _welcoming(handler: Handler) -> Callable[..., Awaitable[None]]:
    async def connect(sid: str, environ: dict[str, Any], _: Any = None) -> None:
        try:
            await handler(sid, environ)
        except Refused:
            raise
        except Exception:  # noqa: BLE001
            # It asks in words the library's own script does not use.
            raise Refused from None

    return connect


def _checked(handler: Handler, fits: Fits) -> Callable[..., Awaitable[Any]]:
    async def hear(sid: str, message: Any = None, *_: Any) -> Any:
        if not isinstance(message, dict) or not isinstance(message.get("client_id"), str):
            return None
        if message["client_id"] not in Client.instances or not fits(message):
            return None
        try:
            answer = handler(sid, message)
            return await answer if inspect.isawaitable(answer) else answer
        except Exception:  # noqa: BLE001
            # What a part of the page does with an event is caught and told further in; what comes up to
            # here was addressed to an element, or a listener, that never was or is no more.
            return None

    return hear


def _is_event(message: dict[str, Any]) -> bool:
    arguments = message.get("args", [])
    return isinstance(arguments, list) and all(map(_is_argument, arguments))


def _is_argument(text: Any) -> bool:
    if text is None:
        return True
    try:
        return isinstance(text, str) and _is_plain(json.loads(text), _MOST_DEEP)
    except (ValueError, RecursionError):
        return False


def _is_plain(value: Any, deep: int) -> bool:
    """Return whether a value can be written down again: nothing in it that has no JSON of its own."""
    if isinstance(value, str):
        return value.isascii() or not any("\ud800" <= sign <= "\udfff" for sign in value)
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, int):
        return abs(value) < 2**63
    if isinstance(value, (list, dict)):
        inner = [*value, *value.values()] if isinstance(value, dict) else value
        return deep > 0 and all(_is_plain(each, deep - 1) for each in inner)
    return True


def _is_numbered(message: dict[str, Any]) -> bool:
    return type(message.get("next_message_id")) is int


def _is_answer(message: dict[str, Any]) -> bool:
    return isinstance(message.get("request_id"), str)


def _from_a_tab(_: dict[str, Any]) -> bool:
    return True


def _never(_: dict[str, Any]) -> bool:
    return False


_SHAPES: dict[str, Fits] = {
    "event": _is_event,
    "handshake": _from_a_tab,
    "ack": _is_numbered,
    "javascript_response": _is_answer,
    # A browser's own notes would be written to the terminal as they are.
    "log": _never,
}
