"""A third judge of schemes, beside the engine and the checker, that shares no code with either.

Each kind of rule is judged here from its sentence in README.md ("The rules" and the options named
there), on plain numbers: boxes, borders and Lab values. It knows the walls of `walls.py` only, where
every section is an upright box in whole millimetres. CIEDE2000 comes from colour-science.

What is judged is a place: the sections at which a rule is broken. Where the sentence leaves open which
of several sections is named, all of them are given.
"""

from __future__ import annotations

import fnmatch
import itertools
import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

import numpy as np
from colour.difference import delta_E_CIE2000

from palette.demands import Rule
from palette.rules.families import FAMILIES
from palette.survey import Survey

__all__ = ["Place", "ThirdJudge", "Unsure"]

Place = frozenset[frozenset[str]]
"""The sections that may be named for one broken place: one set of them, or any of several."""

Painted = Mapping[str, str]
Verdicts = Callable[[Painted], list[Place]]


class Unsure(Exception):
    """Two figures are so near to each other that rounding decides."""


def _at(*sections: str) -> Place:
    return frozenset([frozenset(sections)])


def _below(value: float, limit: float, *, slack: float = 1e-7) -> bool:
    """Return whether a value is less than a limit; equal is not, nearly equal is nobody's to say."""
    if value != limit and abs(value - limit) < slack:
        raise Unsure
    return value < limit


class ThirdJudge:
    """Judges schemes of one wall."""

    def __init__(self, survey: Survey) -> None:
        self._survey = survey
        self.ids = survey.panel.ids
        self.paints = survey.appearance.paints
        self._lights = survey.appearance.lights
        self._box = {section.id: section.outline.bounds for section in survey.panel.sections}
        self.neighbours = [(c.a, c.b) for c in survey.adjacency.contacts if not c.corner]
        self._looks = survey.appearance.lab
        self._lab = {
            (paint, light): self._looks[p, k].tolist()
            for p, paint in enumerate(self.paints)
            for k, light in enumerate(self._lights)
        }
        self._difference = self._differences(self._looks)

    def places(self, rule: Rule) -> Verdicts:
        """Return the function that says where a scheme breaks a rule."""
        return getattr(self, "_" + rule.kind.replace("-", "_"))(rule)

    def weakest(self, painted: Painted) -> tuple[float, set[tuple[str, str, str]]] | None:
        """Return the least difference of neighbours, and every pair and light that has it."""
        seen = {
            (a, b, light): self._difference[light][painted[a], painted[b]]
            for a, b in self.neighbours
            for light in self._lights
        }
        if not seen:
            return None
        least = min(seen.values())
        return least, {who for who, value in seen.items() if value < least + 1e-9}

    def lightness(self, paint: str, light: str) -> float:
        """Return L* of a paint under a light."""
        return self._lab[paint, light][0]

    # Looks

    def _differences(self, lab: np.ndarray) -> dict[str, dict[tuple[str, str], float]]:
        found = {}
        for k, light in enumerate(self._lights):
            table = np.asarray(delta_E_CIE2000(lab[:, None, k], lab[None, :, k]))
            found[light] = {
                (one, two): float(table[p, q])
                for p, one in enumerate(self.paints)
                for q, two in enumerate(self.paints)
            }
        return found

    def _chroma(self, paint: str, light: str) -> float:
        return math.hypot(*self._lab[paint, light][1:])

    def _hue(self, paint: str, light: str) -> float:
        _, a, b = self._lab[paint, light]
        return math.degrees(math.atan2(b, a)) % 360

    def _clashing(self, rule, lights: Sequence[str], min_chroma: float, eyes=()) -> set[tuple[str, str]]:
        """Return the paints that clash in any light: one paint, too alike, or strong and near in hue."""
        tables = [self._difference[light] for light in lights]
        for eye in eyes:
            # What such an eye sees is the business of palette.eyes, and tested there.
            from palette.eyes import parse_eye

            seen = self._differences(self._survey.appearance.seen_by(parse_eye(eye, where="x")).lab)
            tables += [seen[light] for light in lights]
        found = {(paint, paint) for paint in self.paints}
        for one, two in itertools.permutations(self.paints, 2):
            least = rule.min_difference
            if least is not None and any(_below(table[one, two], least) for table in tables):
                found.add((one, two))
            if rule.min_hue_angle is not None:
                for light in lights:
                    weaker = min(self._chroma(one, light), self._chroma(two, light))
                    turn = abs(self._hue(one, light) - self._hue(two, light))
                    if _below(min_chroma, weaker) and _below(min(turn, 360 - turn), rule.min_hue_angle):
                        found.add((one, two))
        return found

    # Rules about neighbours

    def _clash(self, rule) -> Verdicts:
        bad = self._clashing(rule, rule.lights or self._lights, rule.min_chroma, rule.eyes)
        return lambda painted: [_at(a, b) for a, b in self.neighbours if (painted[a], painted[b]) in bad]

    def _families(self, rule) -> Verdicts:
        apart = {pair for one in rule.apart for pair in (one, one[::-1])}
        bad = set()
        for light in rule.lights or self._lights:
            family = {
                paint: self._family(paint, light)
                for paint in self.paints
                if not _below(self._chroma(paint, light), rule.min_chroma)
            }
            bad |= {(p, q) for p in family for q in family if (family[p], family[q]) in apart}
        return lambda painted: [_at(a, b) for a, b in self.neighbours if (painted[a], painted[b]) in bad]

    def _family(self, paint: str, light: str) -> str:
        hue = self._hue(paint, light)
        return next(name for name, start, end in FAMILIES if (hue - start) % 360 < (end - start) % 360)

    # Darker toward the top

    def _depth(self, rule) -> Verdicts:
        pairs = self._higher_and_lower(rule)

        def judge(painted: Painted) -> list[Place]:
            found = []
            for light, (upper, below) in itertools.product(rule.light, pairs.items()):
                shade = self.lightness(painted[upper], light)
                excess = {other: shade - self.lightness(painted[other], light) for other in below}
                most = max(excess.values())
                if _below(rule.tolerance, most):
                    worst = [other for other, value in excess.items() if value > most - 1e-9]
                    found.append(frozenset(frozenset((upper, other)) for other in worst))
            return found

        return judge

    def _higher_and_lower(self, rule) -> dict[str, list[str]]:
        """Return each section with those it may not outshine."""
        if rule.by == "given":
            depth_of = {s.id: s.depth for s in self._survey.panel.sections if s.depth is not None}
            pairs = [(a, b) for a in depth_of for b in depth_of if depth_of[a] > depth_of[b]]
        else:
            centre = {name: Fraction(box[1] + box[3]) / 2 for name, box in self._box.items()}
            tall = Fraction(self._survey.panel.height_mm)
            if rule.by == "bands":
                band = {name: math.floor((tall - y) * rule.bands / tall) for name, y in centre.items()}
                pairs = [(a, b) for a in band for b in band if band[a] > band[b]]
            else:
                pairs = [
                    (a, b)
                    for a in centre
                    for b in centre
                    if centre[b] > centre[a] and centre[b] - centre[a] >= Fraction(rule.rise)
                ]
        return {a: [b for one, b in pairs if one == a] for a in dict.fromkeys(a for a, _ in pairs)}

    # Single sections

    def _chosen(self, named) -> list[str]:
        if named is None:
            return list(self.ids)
        return [name for name in self.ids if any(fnmatch.fnmatchcase(name, one) for one in named)]

    def _pin(self, rule) -> Verdicts:
        chosen = self._chosen(rule.sections)
        return lambda painted: [_at(s) for s in chosen if painted[s] != rule.paint]

    def _only(self, rule) -> Verdicts:
        chosen = self._chosen(rule.sections)
        return lambda painted: [_at(s) for s in chosen if painted[s] not in rule.paints]

    def _never(self, rule) -> Verdicts:
        chosen = self._chosen(rule.sections)
        return lambda painted: [_at(s) for s in chosen if painted[s] in rule.paints]

    def _same(self, rule) -> Verdicts:
        first, *others = self._chosen(rule.sections)
        return lambda painted: [_at(first, s) for s in others if painted[s] != painted[first]]

    def _different(self, rule) -> Verdicts:
        pairs = list(itertools.combinations(self._chosen(rule.sections), 2))
        return lambda painted: [_at(a, b) for a, b in pairs if painted[a] == painted[b]]

    # Amounts

    def _area(self, sections: Sequence[str]) -> int:
        return sum(
            int((right - left) * (bottom - top))
            for left, top, right, bottom in (self._box[name] for name in sections)
        )

    def _with(self, painted: Painted, paint: str) -> list[str]:
        return [section for section in self.ids if painted[section] == paint]

    def _stock(self, rule) -> Verdicts:
        limit = {}
        for paint in self._survey.paints:
            if paint.stock_l is not None:
                litres = Fraction(paint.stock_l) + Fraction(dict(rule.extra).get(paint.id, 0))
                per_mm2 = Fraction(paint.coats) / Fraction(paint.spread_m2_per_l) / 10**6
                limit[paint.id] = litres / (per_mm2 * (1 + Fraction(rule.waste)))
        return lambda painted: [
            _at(*self._with(painted, paint))
            for paint, most in limit.items()
            if self._area(self._with(painted, paint)) > most
        ]

    def _variety(self, rule) -> Verdicts:
        most = math.inf if rule.at_most is None else rule.at_most
        return lambda painted: [] if rule.at_least <= len(set(painted.values())) <= most else [_at()]

    def _quota(self, rule) -> Verdicts:
        most = math.inf if rule.at_most is None else rule.at_most
        return lambda painted: [
            _at(*self._with(painted, paint))
            for paint in rule.paints or self.paints
            if not rule.at_least <= len(self._with(painted, paint)) <= most
        ]

    def _share(self, rule) -> Verdicts:
        whole = self._area(self.ids)

        def judge(painted: Painted) -> list[Place]:
            found = []
            for paint in rule.paints or self.paints:
                share = self._area(self._with(painted, paint)) / whole
                if _below(share, rule.at_least) or _below(rule.at_most, share):
                    found.append(_at(*self._with(painted, paint)))
            return found

        return judge

    # Places on the wall

    def _apart(self, a: str, b: str) -> float:
        one, two = self._box[a], self._box[b]
        aside = max(0.0, two[0] - one[2], one[0] - two[2])
        above = max(0.0, two[1] - one[3], one[1] - two[3])
        return math.hypot(aside, above)

    def _spacing(self, rule) -> Verdicts:
        pairs = [
            pair
            for pair in itertools.combinations(self.ids, 2)
            if _below(self._apart(*pair), rule.distance)
        ]
        return lambda painted: [_at(a, b) for a, b in pairs if painted[a] == painted[b]]

    def _centre(self, section: str) -> tuple[float, float]:
        left, top, right, bottom = self._box[section]
        return (left + right) / 2, (top + bottom) / 2

    def _stripe(self, rule) -> Verdicts:
        areas = sorted(self._area([section]) for section in self.ids)
        half = len(areas) // 2
        median = areas[half] if len(areas) % 2 else (areas[half - 1] + areas[half]) / 2
        longest = rule.step * math.sqrt(median)
        lines = []
        for middle in self.ids:
            x, y = self._centre(middle)
            ways = {}
            for other in self.ids:
                dx, dy = self._centre(other)[0] - x, self._centre(other)[1] - y
                far = math.hypot(dx, dy)
                if other != middle and far > 0 and not _below(longest, far):
                    ways[other] = math.degrees(math.atan2(dy, dx))
            for a, b in itertools.combinations(ways, 2):
                # Straight on, the two ways from the middle are 180 degrees apart.
                apart = abs(ways[a] - ways[b]) % 360
                if _below(180 - min(apart, 360 - apart), rule.bend, slack=1e-5):
                    lines.append((a, middle, b))
        return lambda painted: [_at(*line) for line in lines if len({painted[s] for s in line}) == 1]

    # What stands beside

    def _standing_at(self, sections: Sequence[str], x: float, side: str, reach: float) -> list[str]:
        low, high = (x, x + reach) if side == "left" else (x - reach, x)
        return [s for s in sections if self._box[s][0] < high and self._box[s][2] > low]

    def _seam(self, rule) -> Verdicts:
        bad = self._clashing(rule, self._lights, 25.0)
        panel = self._survey.panel
        at = 0.0 if rule.side == "left" else panel.width_mm
        meet = []
        for section in self._standing_at(self.ids, at, rule.side, rule.reach):
            _, top, _, bottom = self._box[section]
            for low, high, paint in rule.facing:
                shared = min(panel.height_mm - top, high) - max(panel.height_mm - bottom, low)
                if shared >= 25:
                    meet.append((section, paint))
        return lambda painted: [_at(s) for s, paint in meet if (painted[s], paint) in bad]

    def _any_order(self, rule) -> Verdicts:
        bad = self._clashing(rule, self._lights, 25.0)
        edge = {}
        for member in self._survey.panel.members:
            for side, x in (("left", member.left_mm), ("right", member.left_mm + member.width_mm)):
                edge[member.name, side] = self._standing_at(member.sections, x, side, rule.reach)
        meet = set()
        for (one, side), (two, other) in itertools.permutations(edge, 2):
            if one != two and (side != other or rule.mirrored):
                for a, b in itertools.product(edge[one, side], edge[two, other]):
                    top = max(self._box[a][1], self._box[b][1])
                    bottom = min(self._box[a][3], self._box[b][3])
                    if bottom - top >= 25:
                        meet.add(frozenset((a, b)))
        pairs = sorted(tuple(sorted(pair)) for pair in meet)
        return lambda painted: [_at(a, b) for a, b in pairs if (painted[a], painted[b]) in bad]

    # The hatch

    def _hatch(self, rule) -> Verdicts:
        left, top, right, bottom = self._survey.panel.hatch.bounds
        inside = {
            name
            for name, box in self._box.items()
            if left <= box[0] and box[2] <= right and top <= box[1] and box[3] <= bottom
        }
        across, other = [], []
        sides: dict[str, list[tuple[str, str]]] = {}
        for contact in self._survey.adjacency.contacts:
            if contact.corner:
                continue
            entry = (contact.a, contact.b, round(contact.border_mm))
            if (contact.a in inside) == (contact.b in inside):
                other.append(entry)
                continue
            across.append(entry)
            within, without = (contact.a, contact.b) if contact.a in inside else (contact.b, contact.a)
            x, y = contact.mid_line.centroid.x, contact.mid_line.centroid.y
            side = {x - left: "left", right - x: "right", y - top: "top", bottom - y: "bottom"}[0]
            sides.setdefault(side, []).append((within, without))
        straight = [pairs for pairs in sides.values() if len(pairs) >= 2]
        touching = {s for a, b, _ in across for s in (a, b)}

        def mean(entries, painted: Painted, light: str) -> float:
            whole = sum(length for _, _, length in entries)
            table = self._difference[light]
            return sum(n * table[painted[a], painted[b]] for a, b, n in entries) / whole

        def judge(painted: Painted) -> list[Place]:
            found = []
            for light in rule.lights or self._lights:
                if other:
                    limit = rule.ratio * mean(other, painted, light)
                    # The rule reckons in hundredths of a CIEDE2000.
                    slack = 0.006 * (1 + rule.ratio)
                    seen = mean(across, painted, light)
                    if seen != limit and abs(seen - limit) < slack:
                        raise Unsure
                    if seen > limit:
                        found.append(_at(*touching))
                if rule.mixed_sides:
                    for pairs in straight:
                        steps = {
                            np.sign(self.lightness(painted[a], light) - self.lightness(painted[b], light))
                            for a, b in pairs
                        }
                        if steps in ({1.0}, {-1.0}):
                            found.append(_at(*(a for a, _ in pairs)))
            if rule.both_sides:
                used = Counter((painted[s], s in inside) for s in touching)
                found += [_at(s) for s in sorted(touching) if (painted[s], s not in inside) not in used]
            return found

        return judge
