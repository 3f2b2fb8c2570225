"""The power fails before each call a write makes; whatever of it reached the disk, nothing is mixed."""

from __future__ import annotations

from filing.recording import Disk
from filing.test_faults import NEW, OLD, hidden, lay, seen, write_one, write_set

from palette.filing import finish_interrupted


def after_power_cut(folder, state):
    lay(folder, state)
    finish_interrupted(folder)
    return folder


def distinct(states):
    return list({tuple(sorted(state.items())): state for state in states}.values())


def test_several_files_are_all_old_or_all_new_after_any_power_cut(tmp_path):
    folder = lay(tmp_path / "out", OLD)
    disk = Disk(folder)
    with disk.watch():
        write_set(folder)
    during, after = distinct(disk.states), distinct(disk.possible())
    # The look at the disk is worth something only if it sees mixtures that only the journal tells apart.
    mixed = [state for state in during if state.get("scheme.json") == NEW["scheme.json"]
             and state.get("both.png") == OLD["both.png"]]  # fmt: skip
    assert len(during) > 30
    assert mixed
    outcomes = []
    for number, state in enumerate(during):
        left = after_power_cut(tmp_path / f"during-{number}", state)
        assert seen(left) in (OLD, NEW), state
        outcomes.append(seen(left) == NEW)
        write_set(left)
        assert seen(left) == NEW
        assert hidden(left) == []
    assert {True, False} == set(outcomes)
    for number, state in enumerate(after):
        assert seen(after_power_cut(tmp_path / f"after-{number}", state)) == NEW, "it was told as written"


def test_one_file_is_the_old_or_the_new_after_any_power_cut(tmp_path):
    folder = lay(tmp_path / "out", OLD)
    disk = Disk(folder)
    with disk.watch():
        write_one(folder)
    new = {**OLD, "scheme.json": NEW["scheme.json"]}
    for number, state in enumerate(distinct(disk.states)):
        assert seen(after_power_cut(tmp_path / f"during-{number}", state)) in (OLD, new)
    for number, state in enumerate(distinct(disk.possible())):
        assert seen(after_power_cut(tmp_path / f"after-{number}", state)) == new, "it was told as written"
