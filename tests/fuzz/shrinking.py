"""The smallest input with the same fault, found by leaving pieces out.

``python tests/fuzz/shrinking.py svg fuzz-out/svg-1/faults/INPUT`` writes it beside the input.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from fuzz.judging import judge
from fuzz.readers import Reader, reader_by_name


def shrink(reader: Reader, data: bytes) -> bytes:
    """Return an input with the same fault from which no piece can be left out."""
    signature = judge(reader.target, data).signature
    if not signature:
        return data
    size = max(len(data) // 2, 1)
    while size:
        at = 0
        while at < len(data):
            shorter = data[:at] + data[at + size :]
            if judge(reader.target, shorter).signature == signature:
                data = shorter
            else:
                at += size
        size //= 2
    return data


def main() -> int:
    """Return 0 if the input was a fault, else 1."""
    name, file = sys.argv[1:]
    reader, path = reader_by_name(name), Path(file)
    data = path.read_bytes()
    ruling = judge(reader.target, data)
    if ruling.kind != "fault":
        print(f"{path}: a {ruling.kind}")
        return 1
    small = path.with_suffix(".small")
    small.write_bytes(shrink(reader, data))
    print(f"{small}: {small.stat().st_size} of {len(data)} bytes, {ruling.signature}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
