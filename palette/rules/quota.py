"""How many paints are used, and how much of each."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, Strength, Total
from palette.demands import Variety as VarietyDemand
from palette.errors import InputError
from palette.rules.ladder import Ladder
from palette.rules.naming import unknown_names
from palette.rules.option import count, must_or_prefer, names, number, option
from palette.rules.stock import whole_mm2
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["Quota", "Share", "Variety"]

_PAINTS = "the paints it is about, each by itself; every paint when left out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Variety:
    """So many different paints are used."""

    kind: ClassVar[str] = "variety"

    at_least: int = option(0, count(0), "fewest different paints")
    at_most: int | None = option(None, count(1), "most different paints")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        wanted = _between(self.at_least, self.at_most)
        return f"{wanted} {'paint is' if _one(wanted) else 'different paints are'} used."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield ends that contradict, can never bind, or are beyond the shelf."""
        yield from _bound_faults(self.kind, self.at_least, self.at_most, len(survey.paints), "paints")

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield the demand on the number of paints."""
        yield VarietyDemand(rule=self.kind, at_least=self.at_least, at_most=self.at_most)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield at most one: too few or too many paints."""
        used = sorted(set(scheme.paint_of.values()))
        if len(used) < self.at_least or (self.at_most is not None and len(used) > self.at_most):
            wanted = _between(self.at_least, self.at_most).lower()
            said = "paint is" if len(used) == 1 else "paints are"
            yield Breach(
                rule=self.kind,
                sections=(),
                sentence=f"{len(used)} different {said} used, not {wanted}.",
                detail={"used": used},
            )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield fewer asked for, and more allowed."""
        yield from _looser_ends(self, self.at_least, self.at_most, len(survey.paints), "different paints")


@dataclass(frozen=True, slots=True, kw_only=True)
class Quota:
    """Each of some paints is on so many sections; at least one makes every paint used."""

    kind: ClassVar[str] = "quota"

    paints: tuple[str, ...] | None = option(None, names("paint"), _PAINTS)
    at_least: int = option(0, count(0), "fewest sections")
    at_most: int | None = option(None, count(0), "most sections")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        wanted = _between(self.at_least, self.at_most).lower()
        return f"{_each(self.paints)} on {wanted} {'section' if _one(wanted) else 'sections'}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown paints and ends that contradict or can never bind."""
        yield from unknown_names(self.kind, "paint", self.paints or (), survey.appearance.paints)
        sections = len(survey.panel.sections)
        yield from _bound_faults(self.kind, self.at_least, self.at_most, sections, "sections")

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one total for each paint."""
        ones = np.ones(len(survey.panel.sections), np.int64)
        for weight in _columns(survey, self.paints, ones):
            yield Total(rule=self.kind, weight=weight, at_least=self.at_least or None, at_most=self.at_most)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each paint that is on too few or too many sections."""
        for paint in survey.appearance.paints if self.paints is None else self.paints:
            found = [section for section, its in scheme.paint_of.items() if its == paint]
            if len(found) < self.at_least or (self.at_most is not None and len(found) > self.at_most):
                wanted = _between(self.at_least, self.at_most).lower()
                yield Breach(
                    rule=self.kind,
                    sections=tuple(found),
                    sentence=f"{paint} is on {_counted(len(found), 'sections')}, not {wanted}.",
                    detail={"paint": paint, "count": len(found)},
                )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield fewer asked for, and more allowed."""
        yield from _looser_ends(self, self.at_least, self.at_most, len(survey.panel.sections), "sections")


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Each of some paints covers such a share of the painted area."""

    kind: ClassVar[str] = "share"

    paints: tuple[str, ...] | None = option(None, names("paint"), _PAINTS)
    at_least: float = option(0.0, number(0.0, 1.0), "least share of the painted area")
    at_most: float = option(1.0, number(0.0, 1.0), "greatest share of the painted area")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"{_each(self.paints)} on {self.at_least:.0%} to {self.at_most:.0%} of the painted area."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield unknown paints and ends that contradict or can never bind."""
        yield from unknown_names(self.kind, "paint", self.paints or (), survey.appearance.paints)
        if self.at_least > self.at_most:
            what = f"at least {self.at_least:g} and at most {self.at_most:g} contradict each other"
            yield InputError(f'rule "{self.kind}"', what, "make at_least the smaller")
        if self.at_least == 0 and self.at_most == 1:
            what = "it neither asks for nor limits anything, so it can never bind"
            yield InputError(f'rule "{self.kind}"', what, "write at_least or at_most")

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one total for each paint, in whole square millimetres."""
        areas = whole_mm2(survey)
        whole = int(areas.sum())
        least = math.ceil(Fraction(self.at_least) * whole)
        most = math.floor(Fraction(self.at_most) * whole)
        for weight in _columns(survey, self.paints, areas):
            yield Total(
                rule=self.kind,
                weight=weight,
                at_least=least if self.at_least > 0 else None,
                at_most=most if self.at_most < 1 else None,
            )

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each paint that covers too little or too much."""
        area = {section.id: math.ceil(section.outline.area) for section in survey.panel.sections}
        whole = sum(area.values())
        for paint in survey.appearance.paints if self.paints is None else self.paints:
            found = [section for section, its in scheme.paint_of.items() if its == paint]
            share = Fraction(sum(area[section] for section in found), whole)
            if not Fraction(self.at_least) <= share <= Fraction(self.at_most):
                wanted = f"{self.at_least:.0%} to {self.at_most:.0%}"
                yield Breach(
                    rule=self.kind,
                    sections=tuple(found),
                    sentence=f"{paint} covers {float(share):.1%} of the painted area, not {wanted}.",
                    detail={"paint": paint, "share": float(share)},
                )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield a smaller least share and a greater greatest one, by hundredths."""
        fewer = [step / 100 for step in range(int(self.at_least * 100 - 1e-9), -1, -1)]
        more = [step / 100 for step in range(int(self.at_most * 100 + 1), 101)]
        if self.at_least > 0:
            yield [
                (f"ask {self.kind} for at least {step:.0%}", replace(self, at_least=step)) for step in fewer
            ]
        yield [(f"allow {self.kind} up to {step:.0%}", replace(self, at_most=step)) for step in more]


def _columns(survey: Survey, paints: tuple[str, ...] | None, amounts: np.ndarray) -> Iterator[np.ndarray]:
    for k, paint in enumerate(survey.appearance.paints):
        if paints is None or paint in paints:
            weight = np.zeros((len(amounts), len(survey.paints)), np.int64)
            weight[:, k] = amounts
            yield weight


def _bound_faults(kind: str, least: int, most: int | None, there: int, noun: str) -> Iterator[InputError]:
    if least == 0 and (most is None or most >= there):
        what = f"there are {there} {noun}, so it can never bind"
        yield InputError(f'rule "{kind}"', what, "write a greater at_least or a smaller at_most")
    if most is not None and least > most:
        what = f"at least {least} and at most {most} contradict each other"
        yield InputError(f'rule "{kind}"', what, "make at_least the smaller")
    if least > there:
        what = f"at least {least} are asked for, but there are {there} {noun}"
        yield InputError(f'rule "{kind}"', what, f"write at most {there}")


def _looser_ends(
    rule: Variety | Quota, least: int, most: int | None, there: int, noun: str
) -> Iterator[Ladder]:
    yield [
        (f"ask {rule.kind} for at least {_counted(step, noun)}", replace(rule, at_least=step))
        for step in range(least - 1, -1, -1)
    ]
    if most is not None:
        yield [
            (f"allow {rule.kind} up to {_counted(step, noun)}", replace(rule, at_most=step))
            for step in range(most + 1, there + 1)
        ]


def _between(least: int, most: int | None) -> str:
    if most is None:
        return f"At least {least}"
    if least == 0:
        return f"At most {most}"
    return f"Exactly {least}" if least == most else f"Between {least} and {most}"


def _counted(many: int, noun: str) -> str:
    return f"{many} {noun.removesuffix('s') if many == 1 else noun}"


def _one(wanted: str) -> bool:
    return wanted.endswith(" 1")


def _each(paints: tuple[str, ...] | None) -> str:
    if paints is None:
        return "Every paint is"
    if len(paints) == 1:
        return f"{paints[0]} is"
    return f"{', '.join(paints[:-1])} and {paints[-1]} are each"
