"""Many jobs: one after the other, or side by side, with a word after each."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Generator, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from palette.batch.doing import Doing, Done, failed_result
from palette.batch.job import Job
from palette.batch.result import JobResult
from palette.batch.sheet import thumbnail_px
from palette.errors import InputError, Stopped
from palette.filing import make_folder
from palette.lanes import Died, do_side_by_side
from palette.progress import OnProgress, Step, silent

__all__ = ["Batch", "run_batch"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What became of many jobs, in the order they were given.

    Parameters
    ----------
    folder : Path
        Where everything was written.
    results : tuple of JobResult
        One for each job, in the order they were given.
    thumbnails : tuple of tuple of bytes
        Each job's pictures as JPEG.
    kept : int
        How many jobs were found done.
    """

    folder: Path
    results: tuple[JobResult, ...]
    thumbnails: tuple[tuple[bytes, ...], ...]
    kept: int


def run_batch(
    jobs: Sequence[Job],
    folder: Path,
    *,
    workers: int | None = None,
    again: bool = False,
    on_progress: OnProgress = silent,
) -> Batch:
    """Do jobs, each in a folder of its own; those that are done already are kept.

    Parameters
    ----------
    jobs : sequence of Job
    folder : Path
        Made if it is not there; each job has the folder of its id in it.
    workers : int or None
        How many jobs are done at once, each in a process of its own; as many as there are
        processors when None. With 1 they are done in this process, one after the other. A script
        that asks for more must keep its own doings behind ``if __name__ == "__main__":``.
    again : bool
        Do all of them, finished or not.
    on_progress : callable
        Told after each job, its id and state in the note.

    Returns
    -------
    Batch

    Raises
    ------
    InputError
        The folder cannot be made, or two jobs have one id.
    Stopped
        Ctrl-C, or `on_progress` raised it: what is finished stays, and the next start goes on there.
    """
    _refuse_shared_folders(jobs)
    make_folder(folder)
    lanes = min(len(jobs), workers if workers is not None else os.cpu_count() or 1)
    doing = Doing(folder=folder, again=again, thumbnail_px=thumbnail_px(len(jobs)))
    done: dict[int, Done] = {}
    told = "Stopped: {} of {} are done and stay in {}; give the same command again to go on."
    try:
        with _heeding_interrupts(), closing(_answers(jobs, doing, lanes)) as answers:
            for place, answer in answers:
                done[place] = answer
                note = f"{answer.result.id}: {answer.result.state}"
                on_progress(Step(room="batch", done=len(done), total=len(jobs), note=note))
    except (_Interrupted, KeyboardInterrupt, Stopped):
        raise Stopped(told.format(len(done), len(jobs), folder)) from None
    return Batch(
        folder=folder,
        results=tuple(done[place].result for place in range(len(jobs))),
        thumbnails=tuple(done[place].thumbnails for place in range(len(jobs))),
        kept=sum(not each.fresh for each in done.values()),
    )


def _answers(jobs: Sequence[Job], doing: Doing, lanes: int) -> Generator[tuple[int, Done]]:
    if lanes <= 1:
        for place, job in enumerate(jobs):
            yield place, doing(job)
        return
    with closing(do_side_by_side(jobs, doing, lanes=lanes)) as answers:
        for place, answer in answers:
            yield place, _done_of_dead(jobs[place], answer) if isinstance(answer, Died) else answer


def _done_of_dead(job: Job, died: Died) -> Done:
    code = died.exit_code or 0
    if code < 0:
        what = f"its process was ended from outside (signal {-code}), most often because memory ran out"
    else:
        what = f"its process ended by itself (exit code {code})"
    mend = "give the command again, with --workers 1 if it comes to the same"
    return Done(result=failed_result(job, "failed", f"{job.source}: {what}; {mend}."))


def _refuse_shared_folders(jobs: Sequence[Job]) -> None:
    seen: dict[str, Job] = {}
    for job in jobs:
        other = seen.setdefault(job.id.casefold(), job)
        if other is not job:
            what = f"its folder {job.id} is that of {other.source} as well"
            raise InputError(str(job.source), what, "give it another name")


class _Interrupted(BaseException):
    """Ctrl-C in the midst of a job. Not a KeyboardInterrupt, for to the engine that means "what you
    have is good enough", and the job would pass for finished."""


@contextmanager
def _heeding_interrupts() -> Iterator[None]:
    if threading.current_thread() is not threading.main_thread():
        # Only the main thread hears signals; whoever runs this elsewhere stops it by on_progress.
        yield
        return

    def interrupt(_number: int, _frame: FrameType | None) -> None:
        raise _Interrupted

    before = signal.signal(signal.SIGINT, interrupt)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
