"""A concealed service hatch whose outline is not given away.

Never for a required exit: building and life-safety codes want exits readily distinguishable and
unobstructed, and the rule refuses to hide one. The local authority decides what is an exit.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import ClassVar

import numpy as np

from palette.adjacency import Contact
from palette.demands import Breach, Clause, Demand, PairWeights, Strength, Total
from palette.errors import InputError
from palette.rules.ladder import Ladder
from palette.rules.naming import unknown_names
from palette.rules.option import must_or_prefer, names, number, option, yes_or_no
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["DEFAULT_RATIO", "Hatch", "outline_contrast"]

DEFAULT_RATIO = 1.0
"""The outline may show as much as the other gaps do on the mean, and no more."""

EXIT_CAUTION = (
    "leave this rule out and keep the exit, its sign and its path plainly visible; "
    "the local authority decides what is required"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hatch:
    """The hatch's outline shows no more than the other gaps.

    Three things give an outline away, and each is held in check: a mean contrast along it (CIEDE2000
    by border length) greater than `ratio` times the mean along all other gaps; a paint that, among
    the sections at the outline, stands on one side only; a straight side along which the step from
    lighter to darker always goes the same way.
    """

    kind: ClassVar[str] = "hatch"

    ratio: float = option(
        DEFAULT_RATIO, number(0.1, 10.0), "contrast along the outline over that elsewhere, at most"
    )
    both_sides: bool = option(True, yes_or_no(), "must a paint at the outline stand on both sides of it")
    mixed_sides: bool = option(True, yes_or_no(), "must steps along a straight side go both ways")
    lights: tuple[str, ...] | None = option(
        None, names("light"), "lights in which it is hidden; all of them when left out"
    )
    required_exit: bool = option(
        False, yes_or_no(), "is it an exit that a code requires: then it is never hidden"
    )
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        parts = [f"shows at most {self.ratio:g} times the contrast of the other gaps"]
        if self.both_sides:
            parts.append("has no paint at it on one side only")
        if self.mixed_sides:
            parts.append("has no straight side with one contrast")
        return f"The hatch's outline {', '.join(parts[:-1]) + ' and ' if parts[:-1] else ''}{parts[-1]}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield a required exit, a missing hatch, a hatch across a section, unknown lights."""
        where = f'rule "{self.kind}"'
        yield from unknown_names(self.kind, "light", self.lights or (), survey.appearance.lights)
        if self.required_exit:
            yield InputError(where, "a required exit must never be concealed", EXIT_CAUTION)
            return
        hatch = survey.panel.hatch
        if hatch is None:
            yield InputError(where, "the layout has no hatch", "give its outline the role hatch")
            return
        for section in survey.panel.sections:
            inside = section.outline.intersection(hatch).area / section.outline.area
            if 0.02 < inside < 0.98:
                what = f'the hatch crosses the section "{section.id}"'
                mend = 'cut the section along the hatch and tie the pieces with kind = "same"'
                yield InputError(where, what, mend)
        if not _along_and_elsewhere(survey)[0]:
            what = "no two neighbours stand on either side of its outline, so it can never bind"
            yield InputError(where, what, "check the hatch's outline")

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield a total for each light, a clause for each section and paint, totals for each side."""
        along, elsewhere = _along_and_elsewhere(survey)
        nothing = np.zeros((len(survey.panel.sections), len(survey.paints)), np.int64)
        share = Fraction(self.ratio).limit_denominator(1000)
        for light in self.lights or survey.appearance.lights:
            table = np.rint(survey.appearance.differences(light) * 100).astype(np.int64)
            near = sum(_whole(contact) for contact, _, _ in along)
            far = sum(_whole(contact) for contact in elsewhere)
            # Sum along / near <= share x sum elsewhere / far, multiplied out into whole numbers.
            pairs = [
                PairWeights(a=c.a, b=c.b, weight=table * _whole(c) * far * share.denominator)
                for c, _, _ in along
            ]
            pairs += [
                PairWeights(a=c.a, b=c.b, weight=-table * _whole(c) * near * share.numerator)
                for c in elsewhere
            ]
            if far:
                yield Total(rule=self.kind, weight=nothing, at_most=0, pairs=tuple(pairs))
            if self.mixed_sides:
                yield from self._side_demands(survey, light, nothing)
        if self.both_sides:
            yield from self._clauses(survey)

    def _side_demands(self, survey: Survey, light: str, nothing: np.ndarray) -> Iterator[Demand]:
        shade = survey.appearance.lightness(light)
        lighter = (shade[:, None] > shade[None, :]).astype(np.int64)
        for contacts in _straight_sides(survey):
            for table in (lighter, lighter.T):
                # `table` has the inner section's paint as its row.
                pairs = tuple(PairWeights(a=inner, b=outer, weight=table) for _, inner, outer in contacts)
                yield Total(rule=self.kind, weight=nothing, at_most=len(contacts) - 1, pairs=pairs)

    def _clauses(self, survey: Survey) -> Iterator[Demand]:
        inner, outer = _sides(survey)
        for here, there in ((inner, outer), (outer, inner)):
            for section in here:
                for paint in range(len(survey.paints)):
                    yield Clause(
                        rule=self.kind,
                        have=tuple((other, paint) for other in there),
                        lack=((section, paint),),
                    )

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each way in which the outline is given away."""
        place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
        ratio = float(Fraction(self.ratio).limit_denominator(1000))
        for light in self.lights or survey.appearance.lights:
            near, far = outline_contrast(survey, scheme, light)
            if far is not None and near > ratio * far + 1e-12:
                told = f"Under {light} the hatch's outline has a mean contrast of {near:.1f}"
                yield Breach(
                    rule=self.kind,
                    sections=tuple(dict.fromkeys(s for side in _sides(survey) for s in side)),
                    sentence=f"{told}, the other gaps of {far:.1f}.",
                    detail={"light": light, "outline": near, "elsewhere": far},
                )
            shade = survey.appearance.lightness(light)
            for contacts in _straight_sides(survey) if self.mixed_sides else ():
                steps = [
                    float(shade[place[scheme.paint_of[inner]]] - shade[place[scheme.paint_of[outer]]])
                    for _, inner, outer in contacts
                ]
                if min(steps) > 0 or max(steps) < 0:
                    way = "lighter" if min(steps) > 0 else "darker"
                    named = tuple(inner for _, inner, _ in contacts)
                    told = f"Under {light} one straight side of the hatch is {way} inside all along"
                    yield Breach(
                        rule=self.kind,
                        sections=named,
                        sentence=f"{told}.",
                        detail={"light": light, "steps": steps},
                    )
        if self.both_sides:
            inside, outside = _sides(survey)
            for here, there, word in ((inside, outside, "outside"), (outside, inside, "inside")):
                others = {scheme.paint_of[section] for section in there}
                for section in here:
                    paint = scheme.paint_of[section]
                    if paint not in others:
                        told = f"At the hatch {section} is {paint}, which stands nowhere {word} along it."
                        yield Breach(
                            rule=self.kind,
                            sections=(section,),
                            sentence=told,
                            detail={"section": section, "paint": paint},
                        )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield greater ratios, and each of the other two marks let go."""
        yield [
            (f"raise the ratio of {self.kind} to {step / 10:g}", replace(self, ratio=step / 10))
            for step in range(int(self.ratio * 10) + 1, 31)
        ]
        if self.both_sides:
            yield [(f"switch both_sides of {self.kind} off", replace(self, both_sides=False))]
        if self.mixed_sides:
            yield [(f"switch mixed_sides of {self.kind} off", replace(self, mixed_sides=False))]


def outline_contrast(survey: Survey, scheme: Scheme, light: str) -> tuple[float, float | None]:
    """Return the mean CIEDE2000 along the hatch's outline and along all other gaps (None: no others).

    Weighted by border length in whole millimetres; differences to a hundredth.
    """
    table = survey.appearance.differences(light)
    place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
    along, elsewhere = _along_and_elsewhere(survey)

    def mean(contacts: list[Contact]) -> float:
        weights = [max(1, round(contact.border_mm)) for contact in contacts]
        seen = [
            round(float(table[place[scheme.paint_of[contact.a]], place[scheme.paint_of[contact.b]]]), 2)
            for contact in contacts
        ]
        return sum(w * d for w, d in zip(weights, seen, strict=True)) / sum(weights)

    return mean([contact for contact, _, _ in along]), mean(elsewhere) if elsewhere else None


def _whole(contact: Contact) -> int:
    return max(1, round(contact.border_mm))


def _along_and_elsewhere(survey: Survey) -> tuple[list[tuple[Contact, str, str]], list[Contact]]:
    """Return the contacts across the outline, each with its inner and outer section, and the rest."""
    hatch = survey.panel.hatch
    if hatch is None:
        return [], list(survey.adjacency.neighbours)
    inside = {
        section.id
        for section in survey.panel.sections
        if section.outline.intersection(hatch).area > section.outline.area / 2
    }
    along: list[tuple[Contact, str, str]] = []
    elsewhere = []
    for contact in survey.adjacency.neighbours:
        if (contact.a in inside) == (contact.b in inside):
            elsewhere.append(contact)
        else:
            first = contact.a in inside
            along.append((contact, contact.a if first else contact.b, contact.b if first else contact.a))
    return along, elsewhere


def _sides(survey: Survey) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the sections at the outline, inside and outside."""
    along, _ = _along_and_elsewhere(survey)
    return (
        tuple(dict.fromkeys(inner for _, inner, _ in along)),
        tuple(dict.fromkeys(outer for _, _, outer in along)),
    )


def _straight_sides(survey: Survey) -> list[list[tuple[Contact, str, str]]]:
    """Return, for each straight side with at least two contacts across it, those contacts."""
    import shapely

    hatch = survey.panel.hatch
    if hatch is None:
        return []
    corners = list(hatch.simplify(1.0).exterior.coords)
    sides = [shapely.LineString(ends) for ends in itertools.pairwise(corners)]
    grouped: list[list[tuple[Contact, str, str]]] = [[] for _ in sides]
    outline_of = {section.id: section.outline for section in survey.panel.sections}
    for one in _along_and_elsewhere(survey)[0]:
        contact, inner, outer = one
        spot = contact.mid_line
        if spot.is_empty:
            spot = shapely.shortest_line(outline_of[inner], outline_of[outer])
        apart = [side.distance(spot.centroid) for side in sides]
        grouped[int(np.argmin(apart))].append(one)
    return [contacts for contacts in grouped if len(contacts) >= 2]
