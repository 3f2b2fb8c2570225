"""Every reader, in the default run: what once was a fault, and a few hundred fresh hostile inputs.

Nothing here knows what a reader should answer; each target states what a sound result is
(`fuzz.sanity` and the reader's own module), and `fuzz.judging` what a sentence is.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzz.judging import judge
from fuzz.readers import READERS, reader_by_name

FOUND = Path(__file__).resolve().parents[1] / "data" / "found"
KEPT = [(name, path) for name in READERS for path in sorted((FOUND / name).glob("*")) if path.is_file()]


@pytest.mark.parametrize(("name", "path"), KEPT, ids=[f"{name}-{path.name}" for name, path in KEPT])
def test_what_once_was_a_fault_is_told_or_read(name, path):
    ruling = judge(reader_by_name(name).target, path.read_bytes())
    assert ruling.kind != "fault", ruling.told


@pytest.mark.parametrize("name", READERS)
def test_every_seed_is_read(name):
    reader = reader_by_name(name)
    kinds = [judge(reader.target, seed) for seed in reader.seeds()]
    assert [(ruling.kind, ruling.told) for ruling in kinds] == [("result", "")] * len(kinds)


@pytest.mark.parametrize("name", READERS)
def test_a_changed_file_is_told_or_read(name):
    reader = reader_by_name(name)
    seeds = reader.seeds()

    @_fresh(reader.examples)
    @given(which=st.integers(0, len(seeds) - 1), random=st.integers(0, 2**32), times=st.integers(1, 3))
    def change_and_judge(which, random, times):
        data, dice = seeds[which], Random(random)
        for _ in range(times):
            data = reader.mutate(data, dice)
        ruling = judge(reader.target, data)
        assert ruling.kind != "fault", f"{ruling.told}\n{data[:3000]!r}"

    change_and_judge()


@pytest.mark.parametrize("name", READERS)
def test_any_bytes_are_told_or_read(name):
    reader = reader_by_name(name)
    texts = st.text(max_size=300).map(lambda text: text.encode("utf-8", "replace"))

    @_fresh(100)
    @given(data=st.binary(max_size=300) | texts)
    def just_judge(data):
        ruling = judge(reader.target, data)
        assert ruling.kind != "fault", f"{ruling.told}\n{data!r}"

    just_judge()


@pytest.mark.slow
@pytest.mark.parametrize("name", READERS)
def test_inputs_of_no_end_are_told_or_read(name):
    reader = reader_by_name(name)
    faults = [
        (label, ruling.told)
        for label, data in reader.heavy()
        if (ruling := judge(reader.target, data)).kind == "fault"
    ]
    assert faults == []


def _fresh(examples):
    return settings(
        max_examples=examples,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
