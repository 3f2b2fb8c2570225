"""How long the page waits for somebody who has begun to speak and does not go on.

Without an end to waiting, a few hundred requests begun and never finished would keep everybody else
out: each holds a file of this process.
"""

from __future__ import annotations

import asyncio
import contextlib
from typing import TYPE_CHECKING

from uvicorn.protocols.http.h11_impl import H11Protocol

if TYPE_CHECKING:
    import h11

__all__ = ["PatientConnection", "allow_many_connections"]

PATIENCE_S = 10.0
"""A request's head must be whole by then, and its body must not pause for longer."""

_CONNECTIONS = 8192


class PatientConnection(H11Protocol):
    """One connection of a visitor, given up when nothing comes of it.

    h11 is the strict reader among those uvicorn offers: it ends a head that grows beyond 64 KiB and
    refuses two Host lines.
    """

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait."""
        super().connection_made(transport)
        self._heard = self.loop.time()
        self._begun = self._heard
        self._look = self.loop.call_later(PATIENCE_S, self._look_whether_it_goes_on)

    def data_received(self, data: bytes) -> None:
        """Take in what came."""
        self._heard = self.loop.time()
        super().data_received(data)

    def on_response_complete(self) -> None:
        """Begin to wait for the next request."""
        self._begun = self.loop.time()
        super().on_response_complete()

    def handle_websocket_upgrade(self, event: h11.Request) -> None:
        """Leave the line to the live connection, which pings by itself."""
        self._look.cancel()
        super().handle_websocket_upgrade(event)

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop waiting."""
        self._look.cancel()
        super().connection_lost(exc)

    def _look_whether_it_goes_on(self) -> None:
        cycle = self.cycle
        if cycle is None or cycle.response_complete:
            # No head yet, or a sender that talks on after its answer: coming drop by drop is no excuse.
            since = self._begun
        elif cycle.more_body:
            since = self._heard
        else:
            since = self.loop.time()
        left = since + PATIENCE_S - self.loop.time()
        if left <= 0:
            self.transport.close()
        else:
            self._look = self.loop.call_later(left, self._look_whether_it_goes_on)


def allow_many_connections() -> None:
    """Let this process hold as many connections as the system allows, up to some thousand."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        most = _CONNECTIONS if hard == resource.RLIM_INFINITY else min(hard, _CONNECTIONS)
        if 0 <= soft < most:
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
