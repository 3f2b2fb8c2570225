"""Processes side by side: who dies takes one task along, and nobody outlives the rest."""

from __future__ import annotations

import os
import signal
import time
from contextlib import closing

import pytest

from palette.lanes import Died, do_side_by_side


def act(task):
    """Do as the task says; runs in a process of its own."""
    if task == "leave":
        os._exit(7)
    if task == "be killed":
        os.kill(os.getpid(), signal.SIGKILL)
    if task == "sleep":
        time.sleep(60)
    if task == "threads":
        return os.environ["OMP_NUM_THREADS"], os.environ["OPENCV_FOR_THREADS_NUM"]
    if task == "pid":
        return os.getpid()
    return task.upper()


def test_a_process_that_dies_takes_just_its_own_task_along():
    tasks = ["one", "leave", "two", "be killed", "three", "four"]
    answers = dict(do_side_by_side(tasks, act, lanes=2))
    assert sorted(answers) == [0, 1, 2, 3, 4, 5]
    assert [answers[k] for k in (0, 2, 4, 5)] == ["ONE", "TWO", "THREE", "FOUR"]
    # 7 as it said itself; -9 as Popen.returncode counts signals (Python's documentation of `exitcode`).
    assert answers[1] == Died(exit_code=7)
    assert answers[3] == Died(exit_code=-9)


def test_libraries_get_their_share_of_the_processors():
    share = str(max(1, (os.cpu_count() or 1) // 2))
    assert dict(do_side_by_side(["threads", "threads"], act, lanes=2)) == {0: (share,) * 2, 1: (share,) * 2}


def test_opencv_and_blas_heed_their_share():
    share = max(1, (os.cpu_count() or 1) // 2)
    answers = dict(do_side_by_side(["", ""], count_threads, lanes=2))
    assert set(answers.values()) == {(share, share)}


def count_threads(task):
    """Return how many threads OpenCV and the BLAS behind numpy would use, as threadpoolctl asks them."""
    import cv2
    import numpy as np
    import threadpoolctl

    square = np.ones((400, 400))
    assert (square @ square)[0, 0] == 400
    blas = {pool["num_threads"] for pool in threadpoolctl.threadpool_info() if pool["user_api"] == "blas"}
    return cv2.getNumThreads(), max(blas)


def test_no_process_outlives_the_generator():
    with closing(do_side_by_side(["pid", "sleep", "sleep"], act, lanes=2)) as answers:
        place, pid = next(answers)
        assert place == 0
        os.kill(pid, 0)
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_nothing_to_do_starts_nothing():
    assert list(do_side_by_side([], act, lanes=4)) == []
