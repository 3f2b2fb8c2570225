"""One job from start to mark, whatever happens on the way."""

from __future__ import annotations

import contextlib
import time
from dataclasses import dataclass, replace
from pathlib import Path

from palette.batch.job import Job, fingerprint_of
from palette.batch.mark import begin_job, finish_job, kept_result
from palette.batch.result import JobResult, State
from palette.errors import InputError, PaletteError
from palette.photos import read_small

__all__ = ["Done", "Doing", "failed_result"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A job's result, its pictures for the contact sheet, and whether it was done anew."""

    result: JobResult
    thumbnails: tuple[bytes, ...] = ()
    fresh: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """How jobs are done: in folders of `folder`, finished ones kept unless `again`.

    Calling it does one job. It travels to worker processes, and so imports what jobs need only there.
    """

    folder: Path
    again: bool
    thumbnail_px: int

    def __call__(self, job: Job) -> Done:
        """Do one job, or find it done; every fault becomes its result."""
        folder = self.folder / job.id
        start = time.perf_counter()
        try:
            fingerprint = fingerprint_of(job, folder)
            kept = None if self.again else kept_result(folder, fingerprint)
            if kept is not None:
                result = replace(kept, source=job.source.as_posix())
                return Done(result=result, thumbnails=self._thumbnails(result), fresh=False)
            result = _do_anew(job, folder, fingerprint)
        except InputError as fault:
            result = failed_result(job, "wrong-input", " ".join(str(each) for each in fault.each()))
        except PaletteError as fault:
            result = failed_result(job, "failed", str(fault))
        except MemoryError:
            told = f"{job.source}: memory ran out; close other programs, or give --workers 1."
            result = failed_result(job, "failed", told)
        except Exception as fault:  # noqa: BLE001  one wall's fault, even ours, must not cost the others
            what = f"palette itself failed here ({type(fault).__name__}: {fault})"
            told = f"{job.source}: {what}; please report it, with the file."
            result = failed_result(job, "failed", told)
        if result.state in ("wrong-input", "failed"):
            result = replace(result, seconds=round(time.perf_counter() - start, 2))
        return Done(result=result, thumbnails=self._thumbnails(result))

    def _thumbnails(self, result: JobResult) -> tuple[bytes, ...]:
        """Return a job's pictures, small; one that is gone is left out."""
        found = []
        for shown in result.pictures:
            path = self.folder / result.id / shown.file
            with contextlib.suppress(InputError):
                found.append(read_small(path, side_px=self.thumbnail_px, aspect=shown.aspect))
        return tuple(found)


def failed_result(job: Job, state: State, sentence: str) -> JobResult:
    """Return the result of a job that came to nothing."""
    source = job.source.as_posix()
    return JobResult(id=job.id, kind=job.kind, name=job.id, source=source, state=state, sentence=sentence)


def _do_anew(job: Job, folder: Path, fingerprint: str) -> JobResult:
    start = time.perf_counter()
    earlier = begin_job(folder)
    result = job.do(folder)
    result = replace(result, seconds=round(time.perf_counter() - start, 2))
    if fingerprint_of(job, folder) != fingerprint:
        what = "it, or a file it names, was changed while it was worked on"
        raise InputError(str(job.source), what, "give the command again")
    finish_job(folder, fingerprint, result, earlier=earlier)
    return result
