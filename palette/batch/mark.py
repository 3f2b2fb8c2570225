"""The mark a finished job leaves in its folder, so that it need not be done again."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from palette.batch.result import JobResult
from palette.errors import InputError
from palette.filing import write_together
from palette.formats import FORMATS
from palette.reading import read_json
from palette.saving import json_bytes

__all__ = ["MARK", "SUMMARY", "begin_job", "finish_job", "kept_result"]

MARK = "job.json"
SUMMARY = "summary.json"
"""What the folder of a whole batch holds."""


def kept_result(folder: Path, fingerprint: str) -> JobResult | None:
    """Return the result of a finished job whose answer depends on nothing that has changed since.

    None where the job is not finished, or a file of its answer is gone.
    """
    mark = _read(folder)
    if mark is None or mark["fingerprint"] != fingerprint:
        return None
    try:
        result = JobResult.from_dict(mark["result"])
    except (TypeError, KeyError):
        return None
    there = all((folder / name).is_file() for name in result.files)
    return result if there else None


def begin_job(folder: Path) -> tuple[str, ...]:
    """Take the fingerprint off a folder's mark; return the files an earlier answer left there.

    From here until `finish_job` the folder holds no finished answer, whenever the program ends.
    """
    mark = _read(folder)
    if mark is None:
        return ()
    write_together(folder, {MARK: json_bytes(FORMATS["job"].stamp({**mark, "fingerprint": ""}))})
    listed = mark["result"].get("files", ())
    # These may be taken away later on: never anything outside the folder, whatever the file says.
    return tuple(name for name in listed if isinstance(name, str) and Path(name).name == name)


def finish_job(folder: Path, fingerprint: str, result: JobResult, *, earlier: tuple[str, ...] = ()) -> None:
    """Write the mark, last of all, and take away what only the earlier answer had."""
    document = FORMATS["job"].stamp({"fingerprint": fingerprint, "result": result.to_dict()})
    write_together(folder, {MARK: json_bytes(document)}, gone=sorted(set(earlier) - set(result.files)))


def _read(folder: Path) -> dict[str, Any] | None:
    path = folder / MARK
    if not path.is_file():
        return None
    try:
        mark = FORMATS["job"].newest(read_json(path), where=str(path))
    except (InputError, json.JSONDecodeError):
        # Whatever it was, it vouches for nothing: the job is done again.
        return None
    sound = isinstance(mark.get("fingerprint"), str) and isinstance(mark.get("result"), dict)
    return mark if sound else None
