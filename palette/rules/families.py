"""Families of hue kept apart, for people who think in colour names: no red beside orange."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from palette.colour import chroma_and_hue
from palette.demands import Breach, Demand, PairTable, Strength
from palette.errors import InputError
from palette.rules.clash import DEFAULT_MIN_CHROMA
from palette.rules.ladder import Ladder
from palette.rules.naming import nearest, unknown_names
from palette.rules.option import must_or_prefer, names, number, option, word_pairs
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["FAMILIES", "Families", "family_of"]

FAMILIES = (
    ("pink", 335.0, 20.0),
    ("red", 20.0, 50.0),
    ("orange", 50.0, 80.0),
    ("yellow", 80.0, 115.0),
    ("green", 115.0, 175.0),
    ("turquoise", 175.0, 230.0),
    ("blue", 230.0, 310.0),
    ("violet", 310.0, 335.0),
)
"""From and to, CIELAB hue angle in degrees. Judgement, drawn so that the plain colour names of
the web's standard (CSS Color 4) fall where they say."""

_NAMES = tuple(name for name, _, _ in FAMILIES)


def family_of(hue: float) -> str:
    """Return the family a hue angle in degrees belongs to."""
    for name, start, end in FAMILIES:
        if (start <= hue < end) if start < end else (hue >= start or hue < end):
            return name
    raise ValueError(hue)


@dataclass(frozen=True, slots=True, kw_only=True)
class Families:
    """Neighbours do not come from families that are kept apart; a family may be kept from itself.

    A paint with a chroma below `min_chroma` under a light belongs to no family there.
    """

    kind: ClassVar[str] = "families"

    apart: tuple[tuple[str, str], ...] = option(
        (), word_pairs(_NAMES), "pairs of families, never side by side"
    )
    lights: tuple[str, ...] | None = option(
        None, names("light"), "lights in which they are judged; all of them when left out"
    )
    min_chroma: float = option(
        DEFAULT_MIN_CHROMA, number(), "chroma from which a paint has a family", unit="CIELAB chroma"
    )
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        where = "in any light" if self.lights is None else "under " + " or ".join(self.lights)
        pairs = ", ".join(f"no {a} beside {b}" for a, b in self.apart)
        return f"{pairs[:1].upper()}{pairs[1:]}, {where}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown lights and families, and an empty list."""
        yield from unknown_names(self.kind, "light", self.lights or (), survey.appearance.lights)
        for name in (name for pair in self.apart for name in pair if name not in _NAMES):
            what = f'there is no family "{name}"'
            yield InputError(f'rule "{self.kind}"', what, nearest(name, _NAMES))
        if not self.apart:
            what = "it keeps no families apart, so it can never bind"
            yield InputError(f'rule "{self.kind}"', what, 'write apart = [["red", "orange"]]')

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one table of allowed pairs, shared by all neighbours."""
        allowed = np.ones((len(survey.paints), len(survey.paints)), bool)
        for light in self.lights or survey.appearance.lights:
            family = self._families(survey, light)
            for a, b in self.apart:
                clash = (family == a)[:, None] & (family == b)[None, :]
                allowed &= ~(clash | clash.T)
        for contact in survey.adjacency.neighbours:
            yield PairTable(rule=self.kind, a=contact.a, b=contact.b, allowed=allowed)

    def _families(self, survey: Survey, light: str) -> NDArray[np.str_]:
        lab = survey.appearance.lab[:, survey.appearance.light_index(light)]
        chroma, hue = chroma_and_hue(lab)
        return np.array(
            [
                family_of(angle) if strong >= self.min_chroma else ""
                for strong, angle in zip(chroma.tolist(), hue.tolist(), strict=True)
            ]
        )

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each pair of neighbours from families that are kept apart."""
        place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
        lights = self.lights or survey.appearance.lights
        families = {light: self._families(survey, light).tolist() for light in lights}
        forbidden = {frozenset(pair) for pair in self.apart}
        for contact in survey.adjacency.neighbours:
            first, second = scheme.paint_of[contact.a], scheme.paint_of[contact.b]
            seen = []
            for light in lights:
                a, b = families[light][place[first]], families[light][place[second]]
                if a and b and frozenset((a, b)) in forbidden:
                    seen.append(f"{a} beside {b} under {light}")
            if seen:
                yield Breach(
                    rule=self.kind,
                    sections=(contact.a, contact.b),
                    sentence=f"{contact.a} ({first}) and {contact.b} ({second}) are {' and '.join(seen)}.",
                    detail={"a": contact.a, "b": contact.b, "paints": [first, second]},
                )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield nothing: it can only be left out."""
        yield from ()
