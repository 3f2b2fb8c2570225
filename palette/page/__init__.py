"""The page: the whole evening's work in a browser. Everything below knows the façade only."""

from palette.page.server import Address, serve

__all__ = ["Address", "serve"]
