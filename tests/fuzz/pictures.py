"""Pictures to begin from, and changes that leave a picture a picture: chunk by chunk, pixel by pixel.

PNG's chunks and their checksum: PNG specification (third edition), 5; JPEG's markers: ITU-T T.81, annex B.
"""

from __future__ import annotations

import io
import struct
import zlib
from random import Random

import numpy as np
from PIL import Image, PngImagePlugin

SIGNATURE = b"\x89PNG\r\n\x1a\n"
_NUMBERS = (0, 1, 2, 3, 4, 8, 15, 16, 100, 255, 256, 4096, 65535, 65536, 2**24, 2**31 - 1, 2**31, 2**32 - 1)


def png(pixels: np.ndarray, *, dpi: float = 25.4, **texts: str) -> bytes:
    """Return pixels, uint8 or uint16, as PNG with its resolution and text chunks."""
    told = PngImagePlugin.PngInfo()
    for key, value in texts.items():
        told.add_text(key.replace("_", " "), value)
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "PNG", dpi=(dpi, dpi), pnginfo=told)
    return buffer.getvalue()


def blank_png(width: int, height: int) -> bytes:
    """Return a PNG of one bit a pixel, all black, made line by line: it may be larger than memory."""
    packed = zlib.compressobj(9)
    line = bytes(1 + (width + 7) // 8)
    body = b"".join(packed.compress(line) for _ in range(height)) + packed.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return _joined([(b"IHDR", head), (b"IDAT", body), (b"IEND", b"")])


def stones(columns: int, rows: int, *, side_px: int = 12, gap_px: int = 2) -> np.ndarray:
    """Return a label image of a wall of stones, uint8 of shape (H, W, 3), black between them."""
    step = side_px + gap_px
    pixels = np.zeros((rows * step + gap_px, columns * step + gap_px, 3), np.uint8)
    for k in range(columns * rows):
        x, y = (k % columns) * step + gap_px, (k // columns) * step + gap_px
        pixels[y : y + side_px, x : x + side_px] = (
            40 + 29 * k % 200,
            200 - 17 * k % 150,
            60 + 53 * k % 190,
        )
    return pixels


def mutate_picture(data: bytes, random: Random) -> bytes:
    """Return a picture changed in its chunks, in its pixels, or byte by byte."""
    if data.startswith(SIGNATURE) and random.random() < 0.8:
        return _mutate_png(data, random)
    return _mutate_bytes(data, random)


def _mutate_bytes(data: bytes, random: Random) -> bytes:
    if not data:
        return bytes(random.randrange(256) for _ in range(random.randrange(1, 64)))
    changed = bytearray(data)
    for _ in range(random.choice((1, 1, 2, 4, 16))):
        # The head, where sizes and kinds stand, more often than the body.
        at = random.randrange(min(len(changed), 700) if random.random() < 0.6 else len(changed))
        match random.randrange(4):
            case 0:
                changed[at] = random.randrange(256)
            case 1:
                changed[at] ^= 1 << random.randrange(8)
            case 2:
                number = struct.pack(
                    random.choice((">H", "<H", ">I", "<I"))[:1] + "I", random.choice(_NUMBERS)
                )
                changed[at : at + len(number)] = number
            case _:
                del changed[at : at + random.choice((1, 2, 8, 100))]
                if not changed:
                    return b""
    if random.random() < 0.1:
        return bytes(changed[: random.randrange(len(changed) + 1)])
    return bytes(changed)


def _chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    found, at = [], len(SIGNATURE)
    while at + 8 <= len(data):
        (size,) = struct.unpack(">I", data[at : at + 4])
        found.append((data[at + 4 : at + 8], data[at + 8 : at + 8 + size]))
        at += 12 + size
    return found


def _joined(chunks: list[tuple[bytes, bytes]]) -> bytes:
    parts = [SIGNATURE]
    for kind, body in chunks:
        parts += [struct.pack(">I", len(body)), kind, body, struct.pack(">I", zlib.crc32(kind + body))]
    return b"".join(parts)


def _mutate_png(data: bytes, random: Random) -> bytes:
    chunks = _chunks(data)
    if not chunks:
        return _mutate_bytes(data, random)
    at = random.randrange(len(chunks))
    kind, body = chunks[at]
    match random.randrange(7):
        case 0:
            chunks[0] = (b"IHDR", _changed_head(chunks[0][1], random))
        case 1:
            chunks[at] = (kind, _mutate_bytes(body, random))
        case 2:
            chunks.insert(random.randrange(len(chunks) + 1), chunks[at])
        case 3 if len(chunks) > 1:
            del chunks[at]
        case 4:
            chunks.insert(1, _odd_chunk(random))
        case _:
            chunks = [
                (kind, _changed_pixels(body, random)) if kind == b"IDAT" else (kind, body)
                for kind, body in chunks
            ]
    return _joined(chunks)


def _changed_head(head: bytes, random: Random) -> bytes:
    if len(head) < 13:
        return head
    width, height, depth, colour, packed, filtered, laced = struct.unpack(">IIBBBBB", head[:13])
    match random.randrange(5):
        case 0:
            width = random.choice((*_NUMBERS, width + 1))
        case 1:
            height = random.choice((*_NUMBERS, height + 1))
        case 2:
            depth = random.choice((1, 2, 4, 8, 16, 3))
        case 3:
            colour = random.choice((0, 2, 3, 4, 6, 5))
        case _:
            laced = random.choice((0, 1, 2))
    return struct.pack(">IIBBBBB", width, height, depth, colour, packed, filtered, laced)


def _changed_pixels(body: bytes, random: Random) -> bytes:
    try:
        raw = bytearray(zlib.decompress(body))
    except zlib.error:
        return _mutate_bytes(body, random)
    for _ in range(random.choice((1, 3, 30))):
        if raw:
            start = random.randrange(len(raw))
            value = random.randrange(256)
            for at in range(start, min(len(raw), start + random.choice((1, 3, 40)))):
                raw[at] = value
    return zlib.compress(bytes(raw), 1)


def _odd_chunk(random: Random) -> tuple[bytes, bytes]:
    numbers = [random.choice(_NUMBERS) for _ in range(2)]
    return random.choice(
        (
            (b"pHYs", struct.pack(">IIB", *numbers, random.randrange(3))),
            (b"tRNS", bytes(random.randrange(256) for _ in range(random.randrange(8)))),
            (b"PLTE", bytes(random.randrange(256) for _ in range(3 * random.randrange(1, 300)))),
            (b"gAMA", struct.pack(">I", numbers[0])),
            (b"iCCP", b"own\0\0" + zlib.compress(bytes(random.randrange(256) for _ in range(200)))),
            (b"tEXt", b"Title\0" + bytes(random.randrange(1, 256) for _ in range(random.randrange(200)))),
            (b"tEXt", b"Section names\0" + random.choice((b"{", b"[]", b'{"#28c83c": 3}', b'{"a": "b"}'))),
            (b"zTXt", b"Title\0\0" + zlib.compress(b"a" * 2_000_000)),
            (b"eXIf", b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0" + bytes([random.randrange(12)]) + b"\0\0"),
            (b"acTL", struct.pack(">II", *numbers)),
        )
    )  # fmt: skip
