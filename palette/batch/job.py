"""A job: one wall or one photo, with all it takes to answer it in a folder of its own."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any, Literal, Protocol

from palette.batch.result import JobResult
from palette.reading import digest_file
from palette.references import name_from

__all__ = ["Job", "fingerprint_of"]


class Job(Protocol):
    """What every kind of job can say and do. Jobs travel to worker processes, so they are small."""

    @property
    def id(self) -> str:
        """The name of its folder, unlike any other job's."""
        ...

    @property
    def kind(self) -> Literal["assign", "photo"]:
        """Which command answers it."""
        ...

    @property
    def source(self) -> Path:
        """The file it begins with."""
        ...

    def files(self) -> tuple[Path, ...]:
        """Return every file that its answer depends on."""
        ...

    def settings(self) -> Mapping[str, Any]:
        """Return all else that its answer depends on, as JSON values."""
        ...

    def do(self, folder: Path) -> JobResult:
        """Answer it and write the answer's files into a folder.

        Raises
        ------
        InputError
            Something a person wrote cannot be used.
        """
        ...


def fingerprint_of(job: Job, folder: Path) -> str:
    """Return a digest that changes with anything the answer in a folder depends on.

    Files count by their content and by their place as seen from the folder, so that a copy of the
    whole tree is still finished; palette's version counts too. A file that cannot be read is told by
    whoever needs it; when it can be, the fingerprint changes.
    """
    files = [[name_from(folder, file), digest_file(file)] for file in job.files()]
    said = {
        "palette": version("slabglow"),
        "kind": job.kind,
        "settings": dict(job.settings()),
        "files": files,
    }
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()
