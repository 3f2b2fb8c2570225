"""Look-alike paints never side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from palette.appearance import Appearance
from palette.colour import Array, chroma_and_hue, hue_distance
from palette.demands import Breach, Demand, PairTable, Strength
from palette.errors import InputError
from palette.eyes import parse_eye
from palette.likeness import (
    DEFAULT_MIN_CHROMA,
    DEFAULT_MIN_DIFFERENCE,
    DEFAULT_MIN_HUE_ANGLE,
    too_near_in_hue,
)
from palette.rules.ladder import Ladder, falling_below
from palette.rules.naming import unknown_names
from palette.rules.option import angle_or_off, must_or_prefer, names, number, number_or_off, option
from palette.scheme import Scheme
from palette.survey import Survey

__all__ = ["DEFAULT_MIN_CHROMA", "DEFAULT_MIN_DIFFERENCE", "DEFAULT_MIN_HUE_ANGLE", "Clash"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Neighbours look different in every chosen light, and two strong neighbours differ in hue.

    One paint on two neighbours is always a clash, also when either half of the rule is off.
    """

    kind: ClassVar[str] = "clash"

    lights: tuple[str, ...] | None = option(
        None, names("light"), "lights in which neighbours are compared; all of them when left out"
    )
    min_difference: float | None = option(
        DEFAULT_MIN_DIFFERENCE, number_or_off(), "least difference of two neighbours", unit="CIEDE2000"
    )
    min_hue_angle: float | None = option(
        DEFAULT_MIN_HUE_ANGLE, angle_or_off(), "least angle between two strong hues", unit="degrees"
    )
    min_chroma: float = option(
        DEFAULT_MIN_CHROMA, number(), "chroma above which a paint counts as strong", unit="CIELAB chroma"
    )
    eyes: tuple[str, ...] = option(
        (), names("eye", least=0), "colour-blind eyes that must see the difference too, like deutan/0.6"
    )
    strength: Strength = option("must", must_or_prefer(), "must it hold, or is it only preferred")

    def sentence(self) -> str:
        """Return the rule as one plain sentence."""
        where = "in every light" if self.lights is None else "under " + " and ".join(self.lights)
        parts = ["never have the same paint"]
        if self.min_difference is not None:
            also = f", also to {' and '.join(self.eyes)} eyes" if self.eyes else ""
            parts.append(f"differ by at least {self.min_difference:g} (CIEDE2000) {where}{also}")
        if self.min_hue_angle is not None:
            strong = f"where both are strongly coloured (chroma above {self.min_chroma:g})"
            parts.append(f"{strong}, stand at least {self.min_hue_angle:g} degrees of hue apart {where}")
        text = ", and ".join([", ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else parts[0]
        return f"Neighbours {text}."

    def faults(self, survey: Survey) -> Iterator[InputError]:
        """Yield the lights and eyes that are unknown here."""
        yield from unknown_names(self.kind, "light", self.lights or (), survey.appearance.lights)
        for eye in self.eyes:
            try:
                parse_eye(eye, where=f"rule {self.kind}, eyes")
            except InputError as fault:
                yield fault

    def demands(self, survey: Survey) -> Iterator[Demand]:
        """Yield one table of allowed pairs, shared by all neighbours."""
        allowed = self.allowed_pairs(survey)
        for contact in survey.adjacency.neighbours:
            yield PairTable(rule=self.kind, a=contact.a, b=contact.b, allowed=allowed)

    def allowed_pairs(self, survey: Survey) -> NDArray[np.bool_]:
        """Return which two paints may be neighbours, bool, shape (P, P)."""
        appearance = survey.appearance
        lights = self.lights or appearance.lights
        allowed = ~np.eye(len(appearance.paints), dtype=bool)
        if self.min_difference is not None:
            for seen in (appearance, *self._seen(appearance).values()):
                allowed &= seen.weakest_differences(lights) >= self.min_difference
        if self.min_hue_angle is not None:
            for light in lights:
                lab = appearance.lab[:, appearance.light_index(light)]
                allowed &= ~too_near_in_hue(
                    lab, min_hue_angle=self.min_hue_angle, min_chroma=self.min_chroma
                )
        return allowed

    def breaches(self, survey: Survey, scheme: Scheme) -> Iterator[Breach]:
        """Yield each pair of neighbours that clash, with the figures that say so."""
        lights = self.lights or survey.appearance.lights
        tables = self._tables(survey.appearance)
        place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
        for contact in survey.adjacency.neighbours:
            first, second = scheme.paint_of[contact.a], scheme.paint_of[contact.b]
            p, q = place[first], place[second]
            difference = {light: float(tables[light][p, q]) for light in lights}
            angle = {light: self._strong_angle(survey, light, p, q) for light in lights}
            reasons = self._reasons(survey, tables, p, q)
            if reasons:
                who = f"{contact.a} ({first}) and {contact.b} ({second})"
                yield Breach(
                    rule=self.kind,
                    sections=(contact.a, contact.b),
                    sentence=f"{who} {' and '.join(reasons)}.",
                    detail={
                        "a": contact.a,
                        "b": contact.b,
                        "paints": [first, second],
                        "border_mm": contact.border_mm,
                        "difference": difference,
                        "hue_angle": angle,
                    },
                )

    def reasons(self, survey: Survey, first: str, second: str) -> list[str]:
        """Return why two paints clash, in words; none where they do not."""
        p, q = (survey.appearance.paints.index(paint) for paint in (first, second))
        return self._reasons(survey, self._tables(survey.appearance), p, q)

    def _tables(self, appearance: Appearance) -> dict[str, Array]:
        """Return the differences by where they are seen: under each light, and to each eye there."""
        lights = self.lights or appearance.lights
        usual = {light: appearance.differences(light) for light in lights}
        return usual | {
            f"{light} to a {eye} eye": seen.differences(light)
            for eye, seen in self._seen(appearance).items()
            for light in lights
        }

    def _reasons(self, survey: Survey, tables: dict[str, Array], p: int, q: int) -> list[str]:
        if p == q:
            return [f"both are {survey.appearance.paints[p]}"]
        told = []
        for where, table in tables.items():
            if self.min_difference is not None and table[p, q] < self.min_difference:
                told.append(f"differ by only {table[p, q]:.1f} under {where}")
        for light in self.lights or survey.appearance.lights:
            found = self._strong_angle(survey, light, p, q)
            if self.min_hue_angle is not None and found is not None and found < self.min_hue_angle:
                told.append(f"stand only {found:.0f} degrees of hue apart under {light}")
        return told

    def looser(self, survey: Survey) -> Iterator[Ladder]:
        """Yield a smaller least difference, and a smaller hue angle."""
        appearance = survey.appearance
        lights = self.lights or appearance.lights
        upper = np.triu_indices(len(appearance.paints), 1)
        if self.min_difference is not None:
            looks = (appearance, *self._seen(appearance).values())
            weakest = np.min([look.weakest_differences(lights) for look in looks], axis=0)
            seen = falling_below(self.min_difference, weakest[upper])
            yield [
                (f"lower min_difference of {self.kind} to {step:g}", replace(self, min_difference=step))
                for step in seen
            ] + [(f"switch min_difference of {self.kind} off", replace(self, min_difference=None))]
        if self.min_hue_angle is not None:
            hues = [chroma_and_hue(appearance.lab[:, appearance.light_index(light)])[1] for light in lights]
            angles = np.concatenate([hue_distance(hue[:, None], hue[None, :])[upper] for hue in hues])
            yield [
                (f"lower min_hue_angle of {self.kind} to {step:g}", replace(self, min_hue_angle=step))
                for step in falling_below(self.min_hue_angle, angles)
            ] + [(f"switch min_hue_angle of {self.kind} off", replace(self, min_hue_angle=None))]

    def _seen(self, appearance: Appearance) -> dict[str, Appearance]:
        """Return the looks as each of the eyes sees them."""
        return {eye: appearance.seen_by(parse_eye(eye, where="eyes")) for eye in self.eyes}

    def _strong_angle(self, survey: Survey, light: str, p: int, q: int) -> float | None:
        """Return the hue angle between two paints, or None where either is weakly coloured."""
        lab = survey.appearance.lab[:, survey.appearance.light_index(light)]
        chroma, hue = chroma_and_hue(lab[[p, q]])
        if min(chroma) <= self.min_chroma:
            return None
        return float(hue_distance(hue[0], hue[1]))
