"""The paint on hand is enough."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, Strength, Total
from palette.errors import InputError
from palette.paint import Paint
from palette.rules.ladder import Ladder
from palette.rules.naming import unknown_names
from palette.rules.option import must_or_prefer, number, option, volumes
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["DEFAULT_WASTE", "Stock", "coverable_mm2", "whole_mm2"]

_CANS_L = (0.05, 0.1, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 20.0)  # sold

DEFAULT_WASTE = 0.10
"""Share lost in roller, brush and tray: common practice is a tenth with brush and roller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """No paint is needed beyond the litres on hand.

    Reckoned in whole square millimetres, every section rounded up and every can down, so that
    nothing is lost to rounding: area x coats / coverage x (1 + waste) against the litres.
    """

    kind: ClassVar[str] = "stock"

    waste: float = option(DEFAULT_WASTE, number(0.0, 5.0), "share of paint lost on the way to the wall")
    extra: tuple[tuple[str, float], ...] = option(
        (), volumes(), "litres that can still be had of a paint, beside its stock", unit="L"
    )
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"No paint is needed beyond the litres on hand, {self.waste:.0%} waste reckoned in."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield negative stock, and a shelf on which nothing is limited."""
        for paint in survey.paints:
            if paint.stock_l is not None and paint.stock_l < 0:
                what = f"its stock of {paint.stock_l:g} L is negative"
                yield InputError(
                    f'paint "{paint.id}"', what, "write the litres on hand, or leave stock out"
                )
        extra = (paint for paint, _ in self.extra)
        yield from unknown_names(self.kind, "paint", extra, survey.appearance.paints)
        if all(paint.stock_l is None for paint in survey.paints):
            what = "no paint states its stock, so it can never bind"
            yield InputError(f'rule "{self.kind}"', what, "give a paint its stock, or leave the rule out")

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one total for each paint whose stock is known."""
        areas = whole_mm2(survey)
        for k, paint in enumerate(survey.paints):
            limit = coverable_mm2(paint, self.waste, dict(self.extra).get(paint.id, 0.0))
            if limit is not None:
                weight = np.zeros((len(areas), len(survey.paints)), np.int64)
                weight[:, k] = areas
                yield Total(rule=self.kind, weight=weight, at_most=limit)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each paint of which there is too little."""
        for paint in survey.paints:
            painted = [
                section for section in survey.panel.sections if scheme.paint_of[section.id] == paint.id
            ]
            needed_mm2 = sum(math.ceil(section.outline.area) for section in painted)
            if paint.stock_l is None:
                continue
            # Exact fractions: a scheme is over stock or it is not, whatever the last digit.
            per_mm2 = Fraction(paint.coats) / Fraction(paint.spread_m2_per_l) * (1 + Fraction(self.waste))
            on_hand = Fraction(paint.stock_l) + Fraction(dict(self.extra).get(paint.id, 0.0))
            if needed_mm2 * per_mm2 / 10**6 > on_hand:
                litres = float(needed_mm2 * per_mm2 / 10**6)
                yield Breach(
                    rule=self.kind,
                    sections=tuple(section.id for section in painted),
                    sentence=f"{paint.id}: {litres:.2f} L are needed, {float(on_hand):.2f} L are on hand.",
                    detail={"paint": paint.id, "needed_l": litres, "stock_l": float(on_hand)},
                )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield more of each paint in turn."""
        for paint in survey.paints:
            if paint.stock_l is not None:
                already = dict(self.extra)
                yield [
                    (
                        f"get {litres:g} L more of {paint.id}",
                        replace(
                            self,
                            extra=tuple({**already, paint.id: already.get(paint.id, 0) + litres}.items()),
                        ),
                    )
                    for litres in _CANS_L
                ]


def whole_mm2(survey: Survey) -> np.ndarray:
    """Return the area of every section in whole square millimetres, rounded up; int64, shape (S,)."""
    return np.array([math.ceil(section.outline.area) for section in survey.panel.sections], np.int64)


def coverable_mm2(paint: Paint, waste: float, extra_l: float = 0.0) -> int | None:
    """Return the whole square millimetres a paint's stock covers with all its coats, or None."""
    if paint.stock_l is None:
        return None
    per_litre = Fraction(paint.spread_m2_per_l) * 10**6 / paint.coats / (1 + Fraction(waste))
    return math.floor((Fraction(paint.stock_l) + Fraction(extra_l)) * per_litre)
