"""Projects dropped on the page as a zip."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import PurePosixPath
from random import Random

from fuzz.hostile import mutate_text
from fuzz.pictures import _mutate_bytes
from palette.page.folder import MAX_FILE_BYTES
from palette.page.starting import demo_files, files_from_upload

WORDS = ("brief.toml", "scheme.json", "wall.svg", "paints.toml", "panel", "../", "/", "C:\\", "PK")
_ODD_NAMES = (
    "../brief.toml", "/etc/passwd", "a/../../b.svg", "C:\\x.svg", "wall\0.svg", "brief.toml/brief.toml", ".",
    "..", "", "a" * 5000, "\u202ewall.svg", "con.toml", "wall.svg\n", "sub/brief.toml", "scheme.json/x",
)  # fmt: skip


def target(data: bytes) -> object:
    """Take a zip apart as the page does; what comes of it stays inside its folder."""
    files = files_from_upload({}, "hall.zip", data)
    assert "brief.toml" in files
    assert sum(map(len, files.values())) <= MAX_FILE_BYTES + len(files)
    for name in files:
        place = PurePosixPath(name)
        assert not place.is_absolute()
        assert ".." not in place.parts
        assert "\\" not in name
        assert name.isprintable()
    return files


def _zipped(files: dict[str, bytes], *, method: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as archive:
        for name, content in files.items():
            archive.writestr(zipfile.ZipInfo(name), content, compress_type=method)
    return buffer.getvalue()


def seeds() -> list[bytes]:
    """Return the demo in a folder and without one, packed and not."""
    demo = demo_files()
    small = {name: demo[name] for name in demo if name in ("brief.toml", "wall.svg")}
    return [_zipped(demo), _zipped({f"hall/{name}": demo[name] for name in demo}),
            _zipped(small, method=zipfile.ZIP_STORED)]  # fmt: skip


def mutate(data: bytes, random: Random) -> bytes:
    """Change a file in the archive, a name, or bytes of the archive itself."""
    if random.random() < 0.4:
        return _mutate_bytes(data, random)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            held = {entry.filename: archive.read(entry) for entry in archive.infolist()[:20]}
    except Exception:  # noqa: BLE001 - no archive any more: change its bytes instead
        return _mutate_bytes(data, random)
    name = random.choice(sorted(held)) if held else "brief.toml"
    content = held.pop(name, b"")
    if random.random() < 0.3:
        name = random.choice(_ODD_NAMES)
    else:
        content = mutate_text(content, random, WORDS)
    held[name] = content
    try:
        return _zipped(held, method=random.choice((zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED)))
    except (ValueError, UnicodeError, OSError):
        return _mutate_bytes(data, random)


def _mostly_nothing(brief: bytes) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("brief.toml", brief)
        with archive.open("wall.svg", "w", force_zip64=True) as wall:
            for _ in range(1024):
                wall.write(b"\0" * 2**20)
    return buffer.getvalue()


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield archives that are too much in one way each."""
    brief = demo_files()["brief.toml"]
    yield "a gibibyte of nothing", _mostly_nothing(brief)
    yield "60,000 files", _zipped({"brief.toml": brief, **{f"f{k}": b"" for k in range(60_000)}})
    yield "a brief of 100 MiB", _zipped({"brief.toml": b"#" * (100 * 2**20)})
