"""Rules at random, of every kind, in every setting that a small wall can tell apart."""

from __future__ import annotations

import numpy as np

from palette.demands import Rule
from palette.rules import (
    AnyOrder,
    Clash,
    Depth,
    Different,
    Families,
    Hatch,
    Never,
    Only,
    Pin,
    Quota,
    Same,
    Seam,
    Share,
    Spacing,
    Stock,
    Stripe,
    Variety,
)
from palette.rules.families import FAMILIES
from palette.survey import Survey

__all__ = ["random_rules"]


def random_rules(rng: np.random.Generator, survey: Survey) -> list[Rule]:
    """Return one to four rules that fit the wall, three in ten of them only preferred."""
    wishes = _Wishes(rng, survey)
    names = [name for name in sorted(vars(_Wishes)) if not name.startswith("_")]
    order = [names[k] for k in rng.permutation(len(names)).tolist()]
    if rng.random() < 0.2:  # these two fit few walls
        order.sort(key=lambda name: name not in ("hatch", "any_order"))
    rules: list[Rule] = []
    wanted = int(rng.integers(1, 5))
    for name in order:
        rule = getattr(wishes, name)()
        if not list(rule.faults(survey)):
            rules.append(rule)
        if len(rules) == wanted:
            break
    return rules


class _Wishes:
    """One method for each kind of rule."""

    def __init__(self, rng: np.random.Generator, survey: Survey) -> None:
        self._rng, self._survey = rng, survey
        self._ids, self._paints = list(survey.panel.ids), list(survey.appearance.paints)
        self._families = [name for name, _, _ in FAMILIES]

    def _chance(self, share: float) -> bool:
        return bool(self._rng.random() < share)

    def _any(self, choices):
        return choices[int(self._rng.integers(len(choices)))]

    def _some(self, names: list[str], least: int, most: int) -> tuple[str, ...]:
        many = int(self._rng.integers(min(least, len(names)), min(most, len(names)) + 1))
        return tuple(names[k] for k in sorted(self._rng.choice(len(names), many, replace=False).tolist()))

    def _sections(self, least: int, most: int) -> tuple[str, ...]:
        if self._chance(0.2):
            return (f"s00[{self._any('012')}-{self._any('345')}]",)
        return self._some(self._ids, least, most)

    def _sections_or_all(self):
        return None if self._chance(0.1) else self._sections(1, 3)

    def _lights(self):
        return None if self._chance(0.6) else (self._any(("daylight", "blacklight")),)

    def _paints_or_all(self):
        return None if self._chance(0.3) else self._some(self._paints, 1, 2)

    def _strength(self) -> str:
        return "prefer" if self._chance(0.3) else "must"

    def _halves(self) -> dict:
        return {
            "min_difference": self._any((None, 3.0, 8.0, 15.0, 20.0, 35.0)),
            "min_hue_angle": self._any((None, 5.0, 15.0, 40.0, 90.0)),
        }

    def clash(self):
        return Clash(
            lights=self._lights(),
            min_chroma=self._any((0.0, 25.0, 25.0, 60.0)),
            eyes=("deutan",) if self._chance(0.05) else (),
            strength=self._strength(),
            **self._halves(),
        )

    def families(self):
        pairs = tuple((self._any(self._families), self._any(self._families)) for _ in range(4))
        return Families(
            apart=pairs,
            lights=self._lights(),
            min_chroma=self._any((5.0, 25.0)),
            strength=self._strength(),
        )

    def depth(self):
        return Depth(
            by=self._any(("bands", "order", "given")),
            bands=int(self._rng.integers(2, 6)),
            light=("daylight", "blacklight")
            if self._chance(0.3)
            else (self._any(("daylight", "blacklight")),),
            tolerance=self._any((0.0, 8.0, 25.0, 50.0)),
            rise=self._any((0.0, 50.0, 100.0, 200.0)),
            strength=self._strength(),
        )

    def pin(self):
        return Pin(sections=self._sections(1, 2), paint=self._any(self._paints), strength=self._strength())

    def only(self):
        return Only(
            sections=self._sections_or_all(),
            paints=self._some(self._paints, 1, 3),
            strength=self._strength(),
        )

    def never(self):
        return Never(
            sections=self._sections_or_all(),
            paints=self._some(self._paints, 1, 1),
            strength=self._strength(),
        )

    def same(self):
        return Same(sections=self._sections(2, 3), strength=self._strength())

    def different(self):
        return Different(sections=self._sections(2, 3), strength=self._strength())

    def stock(self):
        extra = tuple((paint, self._any((0.005, 0.02))) for paint in self._some(self._paints, 0, 2))
        return Stock(waste=self._any((0.0, 0.1, 0.25)), extra=extra, strength=self._strength())

    def variety(self):
        least = int(self._rng.integers(0, 4))
        most = self._any((None, least + 1, max(1, least)))
        return Variety(at_least=least, at_most=most, strength=self._strength())

    def quota(self):
        least = int(self._rng.integers(0, 3))
        return Quota(
            paints=self._paints_or_all(),
            at_least=least,
            at_most=self._any((None, least, least + 1, least + 2)),
            strength=self._strength(),
        )

    def share(self):
        return Share(
            paints=self._paints_or_all(),
            at_least=self._any((0.0, 0.05, 0.15)),
            at_most=self._any((0.3, 0.6, 0.8, 1.0)),
            strength=self._strength(),
        )

    def spacing(self):
        # 6 mm is every joint: two slabs side by side stand exactly so far apart.
        return Spacing(distance=self._any((6.0, 7.0, 50.0, 120.0, 250.0)), strength=self._strength())

    def stripe(self):
        return Stripe(
            bend=self._any((10.0, 15.0, 35.0, 60.0)),
            step=self._any((1.0, 1.75, 3.0)),
            strength=self._strength(),
        )

    def seam(self):
        tall = int(self._survey.panel.height_mm)
        cut = int(self._rng.integers(10, tall))
        facing = (
            (0.0, float(cut), self._any(self._paints)),
            (float(cut), float(tall + 50), self._any(self._paints)),
        )
        return Seam(
            side=self._any(("left", "right")),
            facing=facing,
            reach=self._any((10.0, 80.0, 200.0)),
            strength=self._strength(),
            **self._halves(),
        )

    def any_order(self):
        return AnyOrder(
            mirrored=self._chance(0.5),
            reach=self._any((10.0, 80.0, 200.0)),
            strength=self._strength(),
            **self._halves(),
        )

    def hatch(self):
        return Hatch(
            ratio=self._any((0.5, 0.8, 1.0, 1.5, 3.0)),
            both_sides=self._chance(0.4),
            mixed_sides=self._chance(0.6),
            lights=self._lights(),
            strength=self._strength(),
        )
