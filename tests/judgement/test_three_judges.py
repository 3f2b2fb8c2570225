"""The engine, the checker and a third judge are of one mind; `run_cases.py` asks them 100,000 times.

The third judge knows the rules from README.md alone (`third_judge.py`).
"""

from __future__ import annotations

from collections import Counter

import pytest
from cases import CASES, try_wall

from palette.rules import RULE_KINDS


@pytest.mark.parametrize("block", range(8))
def test_every_case_is_judged_alike(block):
    seen = sum((try_wall(seed) for seed in range(10**6 + 20 * block, 10**6 + 20 * (block + 1))), Counter())
    assert sum(seen[sort] for sort in CASES) >= 80
    assert seen["spoiled"] >= 25
    assert seen["harmless"] >= 20
    assert seen["no scheme"] >= 1


def test_every_kind_of_rule_is_broken_on_purpose():
    seen = sum((try_wall(seed) for seed in range(2 * 10**6, 2 * 10**6 + 120)), Counter())
    assert {kind for kind in RULE_KINDS if seen[f"spoiled {kind}"]} == set(RULE_KINDS)
