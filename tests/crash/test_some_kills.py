"""A dozen moments of the long run (``python tests/crash/kill.py``): real processes, really killed."""

from __future__ import annotations

import os
import random

import pytest
from crash.saves import SavesKind, SittingKind

pytestmark = pytest.mark.skipif(os.name != "posix", reason="Windows has no SIGKILL to send")


def test_saves_without_pause_are_of_one_generation_after_any_kill(tmp_path):
    killed = SavesKind(tmp_path)
    fell = [killed.kill_once(number, random.Random(number)) for number in range(11)]
    assert sum(where != "elsewhere" for where in fell) >= 5, "most kills fall within a write"


def test_what_the_page_did_last_is_there_after_a_kill(tmp_path):
    killed = SittingKind(tmp_path)
    killed.kill_once(1, random.Random(1))
