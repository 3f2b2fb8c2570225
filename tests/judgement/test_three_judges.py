"""The engine, the checker and a third judge are of one mind; `run_cases.py` asks them 100,000 times.

The third judge knows the rules from README.md alone (`third_judge.py`).
"""

from __future__ import annotations

from collections import Counter

import pytest
from cases import CASES, try_wall

from palette.rules import RULE_KINDS


@pytest.mark.parametrize("block", range(40))
def test_every_case_is_judged_alike(block):
    """Small blocks, so that a fault is found soon."""
    seen = sum((try_wall(seed) for seed in range(10**6 + 4 * block, 10**6 + 4 * (block + 1))), Counter())
    assert sum(seen[sort] for sort in CASES) >= 4


def test_every_kind_of_rule_is_broken_on_purpose_and_half_of_all_cases_are():
    seen = sum((try_wall(seed) for seed in range(2 * 10**6, 2 * 10**6 + 120)), Counter())
    assert {kind for kind in RULE_KINDS if seen[f"spoiled {kind}"]} == set(RULE_KINDS)
    assert seen["spoiled"] >= 0.48 * sum(seen[sort] for sort in CASES)
    assert seen["no scheme"] >= 10
    assert seen["unsure"] <= 3
