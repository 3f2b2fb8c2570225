"""The panel beside this one: built already, or any of a set in any order."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from palette.demands import Breach, Demand, OnlyPaints, PairTable, Strength
from palette.errors import InputError
from palette.panel import Member
from palette.rules.clash import DEFAULT_MIN_DIFFERENCE, DEFAULT_MIN_HUE_ANGLE, Clash
from palette.rules.edges import DEFAULT_EDGE_REACH_MM, Edging, Side, edge_sections, facing_mm
from palette.rules.ladder import Ladder
from palette.rules.naming import unknown_names
from palette.rules.option import (
    angle_or_off,
    facings,
    length,
    must_or_prefer,
    number_or_off,
    option,
    word,
    yes_or_no,
)
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["AnyOrder", "Seam"]

_MIN_FACING_MM = 25.0
"""Shorter than a 1 in brush is wide, two sections across a seam meet at a corner only."""

_DIFFERENCE = "least difference of two sections across the seam"
_ANGLE = "least angle between two strong hues across the seam"
_REACH = "how near the edge a section counts as standing at it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Sections at one edge do not clash with what stands beside it already.

    `facing` are the paints of the other panel's edge: from and to which height above the
    bottom edge, in mm, and the paint.
    """

    kind: ClassVar[str] = "seam"

    side: Side = option("right", word("left", "right"), "the edge the other panel stands at")
    facing: tuple[tuple[float, float, str], ...] = option(
        (), facings(), "the other panel's edge: heights above the bottom, and paints"
    )
    min_difference: float | None = option(
        DEFAULT_MIN_DIFFERENCE, number_or_off(), _DIFFERENCE, unit="CIEDE2000"
    )
    min_hue_angle: float | None = option(DEFAULT_MIN_HUE_ANGLE, angle_or_off(), _ANGLE, unit="degrees")
    reach: float = option(DEFAULT_EDGE_REACH_MM, length(), _REACH, unit="mm")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        return f"Sections at the {self.side} edge do not clash with the panel that stands beside it."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield paints that are not on the shelf, and a neighbour that faces nothing."""
        named = dict.fromkeys(paint for _, _, paint in self.facing)
        yield from unknown_names(self.kind, "paint", named, survey.appearance.paints)
        if not any(self._meetings(survey)):
            what = f"no section at the {self.side} edge faces anything, so it can never bind"
            yield InputError(f'rule "{self.kind}"', what, "check the side and the heights")

    def _meetings(self, survey: Survey) -> Iterator[tuple[str, str, float]]:
        """Yield section, paint it faces, and over what height."""
        panel = survey.panel
        edging = edge_sections(
            panel.sections,
            side=self.side,
            at_mm=0.0 if self.side == "left" else panel.width_mm,
            height_mm=panel.height_mm,
            reach_mm=self.reach,
        )
        for own in edging:
            for low, high, paint in self.facing:
                other = Edging(section="", top_mm=panel.height_mm - high, bottom_mm=panel.height_mm - low)
                shared = facing_mm(own, other)
                if shared >= _MIN_FACING_MM:
                    yield own.section, paint, shared

    def _clash(self) -> Clash:
        return Clash(min_difference=self.min_difference, min_hue_angle=self.min_hue_angle)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield the paints each section may have beside what it faces."""
        allowed = self._clash().allowed_pairs(survey)
        place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
        for section, paint, _ in self._meetings(survey):
            yield OnlyPaints(rule=self.kind, section=section, allowed=allowed[:, place[paint]])

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each section that clashes with what it faces."""
        clash = self._clash()
        for section, paint, shared in self._meetings(survey):
            reasons = clash.reasons(survey, scheme.paint_of[section], paint)
            if reasons:
                told = f"{section} ({scheme.paint_of[section]}) and {paint} beside the {self.side} edge"
                yield Breach(
                    rule=self.kind,
                    sections=(section,),
                    sentence=f"{told} {' and '.join(reasons)}.",
                    detail={"section": section, "facing": paint, "border_mm": shared},
                )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield smaller least differences and hue angles."""
        yield from _looser_clashes(self, self._clash(), survey)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnyOrder:
    """The panels of a run may be hung in every order without a clash at any seam."""

    kind: ClassVar[str] = "any-order"

    mirrored: bool = option(False, yes_or_no(), "may a panel also be turned round, left to right")
    min_difference: float | None = option(
        DEFAULT_MIN_DIFFERENCE, number_or_off(), _DIFFERENCE, unit="CIEDE2000"
    )
    min_hue_angle: float | None = option(DEFAULT_MIN_HUE_ANGLE, angle_or_off(), _ANGLE, unit="degrees")
    reach: float = option(DEFAULT_EDGE_REACH_MM, length(), _REACH, unit="mm")
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        turned = ", turned round or not," if self.mirrored else ""
        return f"The panels may stand side by side in every order{turned} without a clash at a seam."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield a panel that is no run."""
        if len(survey.panel.members) < 2:
            what = "the layout is a single panel, so it can never bind"
            yield InputError(f'rule "{self.kind}"', what, "name at least two panels in a run")

    def _meetings(self, survey: Survey) -> Iterator[tuple[str, str, float]]:
        """Yield two sections of different panels that may come to face each other, and how far."""
        edges = {
            (member.name, side): self._edge(survey, member, side)
            for member in survey.panel.members
            for side in ("left", "right")
        }
        seen: set[tuple[str, str]] = set()
        for one, other in itertools.permutations([member.name for member in survey.panel.members], 2):
            sides = [("right", "left")]
            if self.mirrored:
                sides += [("right", "right"), ("left", "left")]
            for own, theirs in sides:
                for a in edges[one, own]:
                    for b in edges[other, theirs]:
                        pair = (min(a.section, b.section), max(a.section, b.section))
                        if pair not in seen and facing_mm(a, b) >= _MIN_FACING_MM:
                            seen.add(pair)
                            yield a.section, b.section, facing_mm(a, b)

    def _edge(self, survey: Survey, member: Member, side: str) -> tuple[Edging, ...]:
        own = set(member.sections)
        return edge_sections(
            [section for section in survey.panel.sections if section.id in own],
            side="left" if side == "left" else "right",
            at_mm=member.left_mm + (0.0 if side == "left" else member.width_mm),
            height_mm=survey.panel.height_mm,
            reach_mm=self.reach,
        )

    def _clash(self) -> Clash:
        return Clash(min_difference=self.min_difference, min_hue_angle=self.min_hue_angle)

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one table for every two sections that may meet."""
        allowed: np.ndarray = self._clash().allowed_pairs(survey)
        for a, b, _ in self._meetings(survey):
            yield PairTable(rule=self.kind, a=a, b=b, allowed=allowed)

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield every two sections that would clash if their panels stood side by side."""
        clash = self._clash()
        for a, b, shared in self._meetings(survey):
            first, second = scheme.paint_of[a], scheme.paint_of[b]
            reasons = clash.reasons(survey, first, second)
            if reasons:
                yield Breach(
                    rule=self.kind,
                    sections=(a, b),
                    sentence=f"Side by side, {a} ({first}) and {b} ({second}) {' and '.join(reasons)}.",
                    detail={"a": a, "b": b, "paints": [first, second], "border_mm": shared},
                )

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield smaller least differences and hue angles."""
        yield from _looser_clashes(self, self._clash(), survey)


def _looser_clashes(rule: Seam | AnyOrder, clash: Clash, survey: Survey) -> Iterator[Ladder]:
    """Yield the ladders of the clash rule that holds across the seam, as versions of `rule`."""
    for ladder in clash.looser(survey):
        yield [
            (
                told.replace(Clash.kind, rule.kind),
                replace(rule, min_difference=step.min_difference, min_hue_angle=step.min_hue_angle),
            )
            for told, step in ladder
            if isinstance(step, Clash)
        ]
