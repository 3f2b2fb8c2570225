"""Undo and redo: plain bookkeeping, held against a list of states kept by hand."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from palette.page.history import History


def begun() -> History:
    history = History()
    history.record("opened", {"a": b"0"})
    return history


def test_nothing_to_undo_at_the_beginning():
    history = begun()
    assert history.undoable is None
    assert history.undo().files == {"a": b"0"}


def test_an_action_after_undo_drops_what_was_undone():
    history = begun()
    history.record("one", {"a": b"1"})
    history.undo()
    history.record("two", {"a": b"2"})
    assert history.redoable is None
    assert history.undoable == "two"
    assert history.undo().files == {"a": b"0"}


@given(st.lists(st.sampled_from(["act", "undo", "redo"]), max_size=60))
def test_history_is_a_list_with_a_finger_on_it(deeds):
    history, states, finger = begun(), [b"0"], 0
    for number, deed in enumerate(deeds, 1):
        if deed == "act":
            states = [*states[: finger + 1], str(number).encode()]
            finger += 1
            history.record(deed, {"a": states[finger]})
        else:
            finger = max(0, finger - 1) if deed == "undo" else min(len(states) - 1, finger + 1)
            getattr(history, deed)()
        assert history.now.files == {"a": states[finger]}


def test_a_thousand_actions_can_all_be_undone():
    history = begun()
    for number in range(1000):
        history.record(str(number), {"a": str(number).encode()})
    for _ in range(1000):
        history.undo()
    assert history.now.files == {"a": b"0"}
