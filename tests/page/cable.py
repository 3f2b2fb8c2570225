"""The way between a browser and the page, to be cut, left silent, and mended."""

from __future__ import annotations

import contextlib
import dataclasses
import socket
import threading

from .wire import place_of


class Cable:
    """A relay on a port of its own; to the server everything seems to come over its own address.

    Attributes
    ----------
    end : Server
        The server as it is seen through the cable.
    """

    def __init__(self, server) -> None:
        self._there = place_of(server)
        self._listener = self._listen_beside()
        here = self._listener.getsockname()
        self._names = [f"{host}:{port}".encode() for host, port in (here, self._there)]
        address = server.address.replace(f":{self._there[1]}", f":{here[1]}")
        self.end = dataclasses.replace(server, address=address)
        self._pairs: list[tuple[socket.socket, socket.socket]] = []
        self._flowing = threading.Event()
        self._flowing.set()
        threading.Thread(target=self._accept, args=(self._listener,), daemon=True).start()

    def _listen_beside(self) -> socket.socket:
        # A port of as many digits: what is rewritten keeps its length.
        while True:
            listener = socket.create_server(("127.0.0.1", 0))
            if len(str(listener.getsockname()[1])) == len(str(self._there[1])):
                return listener
            listener.close()

    def _accept(self, listener: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while True:
                near, _ = listener.accept()
                try:
                    far = socket.create_connection(self._there, timeout=5)
                    far.settimeout(None)
                except OSError:
                    near.close()
                    continue
                self._pairs.append((near, far))
                threading.Thread(target=self._carry, args=(near, far, self._names), daemon=True).start()
                threading.Thread(target=self._carry, args=(far, near, None), daemon=True).start()

    def _carry(self, source: socket.socket, aim: socket.socket, names: list[bytes] | None) -> None:
        with contextlib.suppress(OSError):
            while data := source.recv(65536):
                self._flowing.wait()
                aim.sendall(data.replace(*names) if names else data)
        for each in (source, aim):
            with contextlib.suppress(OSError):
                each.shutdown(socket.SHUT_RDWR)
            each.close()

    def cut(self) -> None:
        """End every connection and take no new one."""
        address = self._listener.getsockname()
        with contextlib.suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        self._address = address
        for near, far in self._pairs:
            for each in (near, far):
                with contextlib.suppress(OSError):
                    each.shutdown(socket.SHUT_RDWR)
        self._pairs = []

    def mend(self) -> None:
        """Take connections again, and let flow what was held back."""
        self._flowing.set()
        if self._listener.fileno() < 0:
            self._listener = socket.create_server(self._address)
            threading.Thread(target=self._accept, args=(self._listener,), daemon=True).start()

    def hang(self) -> None:
        """Say nothing more, on either side, as when a lid is closed."""
        self._flowing.clear()
