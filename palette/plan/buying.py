"""The cheapest cans that hold at least what is short: a small integer program, solved exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour import Array
from palette.plan.settings import Container

__all__ = ["Purchase", "choose_containers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """Cans of one product to buy.

    `counts` pairs each container bought with how many; `price` is their sum in hundredths;
    `missing_l` is above 0 where the shops do not have enough.
    """

    product: str
    counts: tuple[tuple[Container, int], ...]
    price: int
    litres: float
    missing_l: float


def choose_containers(product: str, litres: float, offers: Sequence[Container]) -> Purchase:
    """Return the cheapest set of containers that holds at least `litres`.

    Among sets of one price the one that leaves least over is taken, and of those the one with
    the fewest cans. Where all cans there are do not suffice, all of them are bought.

    Parameters
    ----------
    product : str
        Carried into the answer.
    litres : float
        What is short; 0 buys nothing.
    offers : sequence of Container
        Any sizes and prices, each with or without a limit.

    Notes
    -----
    minimise Σ price·n subject to Σ litres·n ≥ need and 0 ≤ n ≤ limit, n whole; HiGHS
    (scipy.optimize.milp) with no gap allowed, three times over, each result fixed for the next.
    """
    if litres <= 0:
        return Purchase(product=product, counts=(), price=0, litres=0.0, missing_l=0.0)
    sizes = np.array([offer.litres for offer in offers])
    prices = np.array([offer.price for offer in offers], float)
    # One can more than would do alone is never needed, so plenty has a limit too.
    enough = np.ceil(litres / sizes - 1e-9) if len(offers) else np.zeros(0)
    limits = np.array([
        most if offer.at_most is None else min(most, offer.at_most)
        for offer, most in zip(offers, enough, strict=True)
    ])  # fmt: skip
    if float(sizes @ limits) < litres - 1e-9:
        counts = np.array([offer.at_most or 0 for offer in offers])
    else:
        counts = _cheapest(sizes, prices, limits, litres)
    bought = tuple((offer, int(n)) for offer, n in zip(offers, counts, strict=True) if n > 0)
    total = sum(offer.litres * n for offer, n in bought)
    return Purchase(
        product=product,
        counts=bought,
        price=sum(offer.price * n for offer, n in bought),
        litres=total,
        missing_l=litres - total if total < litres - 1e-9 else 0.0,
    )


def _cheapest(sizes: Array, prices: Array, limits: Array, litres: float) -> Array:
    # Prices are whole hundredths, so half a hundredth of slack keeps the first result fixed.
    # Volumes are in millilitres to stand well clear of the engine's feasibility tolerance of 1e-6.
    millilitres = sizes * 1000
    rows = [(millilitres, litres * 1000 - 1e-6, np.inf)]
    counts = _solve(prices, rows, limits)
    rows.append((prices, -np.inf, float(prices @ counts) + 0.5))
    counts = _solve(millilitres, rows, limits)
    rows.append((millilitres, -np.inf, float(millilitres @ counts) + 1e-3))
    return _solve(np.ones_like(sizes), rows, limits)


def _solve(cost: Array, rows: list[tuple[Array, float, float]], limits: Array) -> Array:
    from scipy.optimize import Bounds, LinearConstraint, milp

    matrix, low, high = (np.array(column) for column in zip(*rows, strict=True))
    found = milp(
        cost,
        constraints=LinearConstraint(matrix, low, high),
        integrality=np.ones_like(cost),
        bounds=Bounds(np.zeros_like(cost), limits),
        options={"mip_rel_gap": 0.0},
    )
    whole: Array = np.round(found.x)
    return whole
