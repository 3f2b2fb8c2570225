"""The cheapest cans against trying every combination."""

import itertools
import math

import numpy as np
import pytest

from palette.errors import InputError
from palette.plan import Container, choose_containers

SIZES_L = (0.25, 0.5, 0.75, 1.0, 2.5, 5.0, 0.946352946, 3.785411784)  # metric cans, US quart and gallon


def every_combination(litres, offers):
    """Return (price, litres, cans) of the best set by trying all, or None where all cans do not suffice."""
    most = [math.ceil(litres / o.litres) if o.at_most is None else o.at_most for o in offers]
    best = None
    for counts in itertools.product(*(range(n + 1) for n in most)):
        held = sum(n * o.litres for n, o in zip(counts, offers, strict=True))
        if held >= litres - 1e-9:
            key = (
                sum(n * o.price for n, o in zip(counts, offers, strict=True)),
                round(held, 6),
                sum(counts),
            )
            best = key if best is None else min(best, key)
    return best


@pytest.mark.parametrize("block", range(10))
def test_a_thousand_small_cases(block):
    rng = np.random.default_rng(block)
    for _ in range(100):
        offers = [
            Container(
                product="x", litres=float(rng.choice(SIZES_L)), price=int(rng.integers(100, 9000)),
                at_most=None if rng.random() < 0.6 else int(rng.integers(0, 5)),
            )
            for _ in range(rng.integers(1, 5))
        ]  # fmt: skip
        litres = float(rng.uniform(0.05, 6))
        found = choose_containers("x", litres, offers)
        expected = every_combination(litres, offers)
        if expected is None:
            assert found.missing_l > 0
            assert found.litres == pytest.approx(sum(o.litres * o.at_most for o in offers))
        else:
            assert found.missing_l == 0
            cans = sum(count for _, count in found.counts)
            assert (found.price, round(found.litres, 6), cans) == expected


def test_two_small_cans_beat_one_large_when_they_are_cheaper():
    small = Container(product="x", litres=1.0, price=1000)
    large = Container(product="x", litres=2.5, price=2100)
    assert choose_containers("x", 2.0, [small, large]).counts == ((small, 2),)
    assert choose_containers("x", 2.4, [small, large]).counts == ((large, 1),)


def test_at_one_price_the_least_is_left_over():
    offers = [
        Container(product="x", litres=2.5, price=2000),
        Container(product="x", litres=1.0, price=1000),
    ]
    found = choose_containers("x", 1.9, offers)
    assert (found.litres, found.price) == (2.0, 2000)


def test_nothing_short_buys_nothing():
    assert choose_containers("x", 0.0, [Container(product="x", litres=1.0, price=1)]).counts == ()


def test_wrong_containers_are_refused():
    with pytest.raises(InputError, match=r"its price is -1\.00, below zero"):
        Container(product="x", litres=1.0, price=-100)
    with pytest.raises(InputError, match="it holds 0 L"):
        Container(product="x", litres=0.0, price=100)
