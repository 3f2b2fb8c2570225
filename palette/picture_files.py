"""Opening a picture file, without the words its library has for the terminal."""

from __future__ import annotations

import struct
import warnings
import zlib
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["TORN", "opened_picture"]

TORN = (OSError, EOFError, SyntaxError, ValueError, TypeError, LookupError, ArithmeticError, MemoryError,
        struct.error, zlib.error)  # fmt: skip
"""What Pillow raises, all of it seen or in its sources, where a picture is torn or lies about itself."""


@contextmanager
def opened_picture(path: Path, *, formats: Collection[str] | None = None) -> Iterator[Image]:
    """Open a picture, of these formats alone where they are named, and close it afterwards.

    Pillow warns of large sizes and of slips in what a phone noted; each reader decides itself what
    it takes, and tells it in a sentence.

    Raises
    ------
    Exception
        As `PIL.Image.open` does: it is no picture, or a far too large one.
    """
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with Image.open(path, formats=None if formats is None else list(formats)) as opened:
            yield opened
