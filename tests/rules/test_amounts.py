"""Stock, quotas, shares and how many paints."""

from __future__ import annotations

from types import MappingProxyType

import pytest
import shapely
from grounds import distinct_labs, make_survey

from palette.demands import check_scheme
from palette.errors import NoScheme
from palette.rules import Quota, Share, Stock, Variety
from palette.scheme import Scheme
from palette.solving import solve


def squares(sections: int, side: float, stock_l):
    boxes = [shapely.box(k * (side + 10), 0, k * (side + 10) + side, side) for k in range(sections)]
    return make_survey(boxes, [], distinct_labs(len(stock_l)), stock_l=stock_l)


def painted(*paints: int) -> Scheme:
    return Scheme(paint_of=MappingProxyType({f"s{k:03d}": f"paint-{p}" for k, p in enumerate(paints)}))


def test_the_litres_of_a_worked_example():
    """2.7 m2 x 2 coats / 7 m2 per litre x 1.15 = 0.887 L: a common worked example of the trade."""
    wall = squares(3, 948.683298, [0.89, 5.0])  # three squares of 0.9 m2
    assert check_scheme(wall, [Stock(waste=0.15)], painted(0, 0, 0)).kept
    wall = squares(3, 948.683298, [0.88, 5.0])
    (breach,) = check_scheme(wall, [Stock(waste=0.15)], painted(0, 0, 0)).breaches
    assert breach.sentence == "paint-0: 0.89 L are needed, 0.88 L are on hand."
    assert breach.detail["needed_l"] == pytest.approx(2.7 * 2 / 7 * 1.15, rel=1e-6)


def test_stock_is_exact_to_the_square_millimetre():
    """1 m2 x 2 / 7 x 1.0: two sevenths of a litre cover a square metre, and not one mm2 more."""
    enough = 2 / 7 * (1 + 1e-9)
    assert check_scheme(squares(1, 1000.0, [enough]), [Stock(waste=0.0)], painted(0)).kept
    assert solve(squares(1, 1000.0, [enough]), [Stock(waste=0.0)])
    short = 2 / 7 * (1 - 1e-9)
    assert not check_scheme(squares(1, 1000.0, [short]), [Stock(waste=0.0)], painted(0)).kept
    with pytest.raises(NoScheme):
        solve(squares(1, 1000.0, [short]), [Stock(waste=0.0)])


def test_more_that_can_be_had_counts():
    wall = squares(3, 948.683298, [0.5, 5.0])
    assert check_scheme(wall, [Stock(waste=0.15, extra=(("paint-0", 0.39),))], painted(0, 0, 0)).kept


@pytest.mark.parametrize(
    ("rule", "paints", "kept"),
    [
        (Variety(at_least=2), (0, 0, 0, 0), False),
        (Variety(at_most=2), (0, 1, 2, 0), False),
        (Variety(at_least=2, at_most=2), (0, 1, 1, 0), True),
        (Quota(at_least=1), (0, 1, 1, 0), False),
        (Quota(at_least=1), (0, 1, 2, 0), True),
        (Quota(paints=("paint-0",), at_most=1), (0, 1, 2, 0), False),
        (Share(at_most=0.5), (0, 1, 2, 0), True),
        (Share(at_most=0.49), (0, 1, 2, 0), False),
        (Share(paints=("paint-2",), at_least=0.25), (0, 1, 2, 0), True),
        (Share(paints=("paint-2",), at_least=0.26), (0, 1, 2, 0), False),
    ],
)
def test_how_much_of_each(rule, paints, kept):
    wall = squares(4, 100.0, [None] * 3)
    assert not list(rule.faults(wall))
    assert check_scheme(wall, [rule], painted(*paints)).kept is kept


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        (Stock(), "no paint states its stock, so it can never bind"),
        (Variety(), "there are 3 paints, so it can never bind"),
        (Variety(at_least=3, at_most=2), "at least 3 and at most 2 contradict each other"),
        (Variety(at_least=4), "at least 4 are asked for, but there are 3 paints"),
        (Quota(), "there are 4 sections, so it can never bind"),
        (Share(), "it neither asks for nor limits anything, so it can never bind"),
        (Share(at_least=0.6, at_most=0.5), "at least 0.6 and at most 0.5 contradict each other"),
    ],
)
def test_faults_are_one_sentence(rule, told):
    wall = squares(4, 100.0, [None] * 3)
    assert told in str(next(iter(rule.faults(wall))))


def test_negative_stock_is_refused():
    fault = next(iter(Stock().faults(squares(1, 10.0, [-1.0]))))
    assert str(fault).startswith('paint "paint-0": its stock of -1 L is negative;')


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        (Stock(), "No paint is needed beyond the litres on hand, 10% waste reckoned in."),
        (Variety(at_most=5), "At most 5 different paints are used."),
        (Variety(at_most=1), "At most 1 paint is used."),
        (Quota(at_least=1), "Every paint is on at least 1 section."),
        (Quota(at_least=1, at_most=11), "Every paint is on between 1 and 11 sections."),
        (Share(paints=("moss",), at_most=0.1), "moss is on 0% to 10% of the painted area."),
    ],
)
def test_sentences_are_plain(rule, sentence):
    assert rule.sentence() == sentence
