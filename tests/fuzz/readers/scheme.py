"""scheme.json: which section gets which paint."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator

from fuzz.desk import lay
from palette.errors import InputError
from palette.scheme_file import brief_of_scheme, read_scheme

WORDS = (
    '"version"', '"brief"', '"paint_of"', '"proof"', '"status"', '"levels"', '"engine"', '"seed"', '"seconds"', "brief.toml",
    "optimal", "feasible", "null", "true", "NaN", "Infinity", "\\ud800", "\\u0000", "\\n", "1e999", "{}", "[]",
)  # fmt: skip


def target(data: bytes) -> object:
    """Read a scheme and, where it names one, the way to its brief."""
    path = lay("scheme.json", data)
    scheme = read_scheme(path)
    for section, paint in scheme.paint_of.items():
        assert isinstance(section, str)
        assert isinstance(paint, str)
        # What is read can be written again.
        f"{section}{paint}".encode()
    with contextlib.suppress(InputError):
        str(brief_of_scheme(path)).encode()
    return scheme


def seeds() -> list[bytes]:
    """Return a scheme with all its parts, and one as short as can be."""
    whole = {
        "version": 1,
        "brief": "../brief.toml",
        "paint_of": {"cap west": "lagoon blue", "cap east": "moss green", "sill": "gorse yellow"},
        "proof": {
            "status": "optimal",
            "levels": [{"aim": "weakest-pair", "value": 21.5, "bound": 21.5}],
            "engine": "CaDiCaL",
            "seed": 0,
            "seconds": 0.5,
        },
    }
    return [json.dumps(whole, indent=2).encode(), b'{"paint_of": {"a": "b"}}']


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield schemes that are too much in one way each."""
    many = ", ".join(f'"s{n}": "p"' for n in range(400_000))
    yield "400,000 sections", ('{"paint_of": {' + many + "}}").encode()
    yield "lists in lists, 1,000,000 deep", b'{"paint_of": ' + b"[" * 1_000_000
    yield (
        "objects in objects, 900 deep",
        b'{"proof": ' + b'{"a":' * 900 + b"1" + b"}" * 900 + b', "paint_of": {}}',
    )
    yield "a paint that is a list, 900 deep", b'{"paint_of": {"a": ' + b"[" * 900 + b"]" * 900 + b"}}"
    yield "a version of 4,000 digits", b'{"version": ' + b"9" * 4000 + b', "paint_of": {}}'
    yield "a version of 5,000 digits", b'{"version": ' + b"9" * 5000 + b', "paint_of": {}}'
    yield "a name of 10 MiB", b'{"paint_of": {"' + b"n" * 10 * 2**20 + b'": 1}}'
    yield "an unknown key of 10 MiB", b'{"' + b"n" * 10 * 2**20 + b'": 1}'
    yield "100,000 unknown keys", ("{" + ", ".join(f'"k{n}": 1' for n in range(100_000)) + "}").encode()
