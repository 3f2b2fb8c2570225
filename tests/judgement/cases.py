"""One wall's worth of cases: the engine's scheme, harmless changes of it, and spoiled ones."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence
from types import MappingProxyType

import numpy as np
from spoiling import harmless_changes, spoilings
from third_judge import Painted, Place, ThirdJudge, Unsure
from walls import random_wall
from wishes import random_rules

from palette.demands import Breach, Rule, check_scheme
from palette.errors import NoScheme
from palette.scheme import Scheme
from palette.solving import finish_scheme, solve
from palette.survey import Survey

__all__ = ["CASES", "Wrong", "try_wall"]

CASES = ("as found", "harmless", "no scheme", "spoiled")
"""The sorts of cases; the first three are sound."""

AIMS = ("weakest-pair", "repeats", "balance", "areas", "contrast")


class Wrong(AssertionError):
    """The engine, the checker and the third judge are not of one mind."""


def try_wall(seed: int) -> Counter[str]:
    """Judge the schemes of one random wall three times over; return how many cases of each sort it gave.

    Raises
    ------
    Wrong
        With the wall's seed, its rules and the scheme.
    """
    rng = np.random.default_rng(seed)
    survey = random_wall(rng)
    rules = random_rules(rng, survey)
    try:
        return _Wall(rng, survey, rules, seed).judge()
    except Unsure:
        return Counter({"unsure": 1})


class _Wall:
    def __init__(self, rng: np.random.Generator, survey: Survey, rules: list[Rule], seed: int) -> None:
        self._rng, self._survey, self._rules, self._seed = rng, survey, rules, seed
        self._third = ThirdJudge(survey)
        self._verdicts = [self._third.places(rule) for rule in rules]
        self._seen: Counter[str] = Counter()

    def judge(self) -> Counter[str]:
        started = self._start() if self._rng.random() < 0.1 else {}
        painted = self._solve(started)
        if painted is None:
            self._require_none(started)
            self._seen["no scheme"] += 1
            return self._seen
        self._hold(painted, started)
        self._seen["as found"] += 1
        # A walk of harmless changes, and a spoiled scheme from every step of it.
        for _ in range(4):
            self._spoil(painted)
            changed = self._change_harmlessly(painted)
            if changed is None:
                break
            painted = changed
        for _ in range(5):
            if self._seen["spoiled"] <= self._seen["as found"] + self._seen["harmless"]:
                self._spoil(painted)
        return self._seen

    def _start(self) -> dict[str, str]:
        ids = self._rng.choice(self._survey.panel.ids, 2, replace=False).tolist()
        return {str(section): str(self._rng.choice(self._survey.appearance.paints)) for section in ids}

    def _solve(self, started: Painted) -> Painted | None:
        aims = tuple(str(aim) for aim in self._rng.permutation(AIMS)[: int(self._rng.choice([0, 0, 1, 2]))])
        try:
            if started:
                scheme = finish_scheme(self._survey, self._rules, started, aims=aims).scheme
            else:
                scheme = solve(self._survey, self._rules, aims=aims)
        except NoScheme:
            return None
        return dict(scheme.paint_of)

    def _require_none(self, started: Painted) -> None:
        """Try every assignment: none may keep the rules."""
        free = [section for section in self._survey.panel.ids if section not in started]
        must = [v for v, rule in zip(self._verdicts, self._rules, strict=True) if rule.strength == "must"]
        for chosen in itertools.product(self._third.paints, repeat=len(free)):
            painted = {**started, **dict(zip(free, chosen, strict=True))}
            if not any(verdict(painted) for verdict in must):
                self._complain("solve says there is no scheme, but here is one", painted)

    def _hold(self, painted: Painted, started: Painted) -> None:
        """The engine's scheme: complete, true to what was started, and nowhere broken."""
        if any(painted[section] != paint for section, paint in started.items()):
            self._complain("a started section was painted over", painted)
        verdict = self._compare(painted)
        if not verdict.kept:
            self._complain("the engine's scheme breaks a rule", painted)

    def _spoil(self, painted: Painted) -> None:
        """Break one rule on purpose; the checker must name it, and where."""
        k = int(self._rng.integers(len(self._rules)))
        before = Counter(self._verdicts[k](painted))
        for spoiled in itertools.islice(spoilings(self._rng, self._survey, self._rules[k], painted), 120):
            if Counter(self._verdicts[k](spoiled)) - before:
                self._compare(spoiled)
                self._seen["spoiled"] += 1
                self._seen[f"spoiled {self._rules[k].kind}"] += 1
                return
        self._seen[f"cannot be broken {self._rules[k].kind}"] += 1

    def _change_harmlessly(self, painted: Painted) -> Painted | None:
        """Return a scheme with a change that breaks no rule, which the checker must not report."""
        for changed in harmless_changes(self._rng, self._survey, painted):
            places = [verdict(changed) for verdict in self._verdicts]
            if not any(places):
                verdict = self._compare(changed)
                if not verdict.kept or verdict.missed:
                    self._complain("a harmless change is reported", changed)
                self._seen["harmless"] += 1
                return changed
        return None

    def _compare(self, painted: Painted):
        """Hold the checker against the third judge, rule by rule and place by place."""
        verdict = check_scheme(self._survey, self._rules, Scheme(paint_of=MappingProxyType(dict(painted))))
        for rule, judge, breaches in zip(self._rules, self._verdicts, verdict.of_rule, strict=True):
            if any(breach.rule != rule.kind for breach in breaches):
                self._complain(f"a breach of {rule.kind} carries another name", painted)
            if not _same_places(breaches, judge(painted)):
                told = [breach.sections for breach in breaches]
                expected = [[sorted(one) for one in place] for place in judge(painted)]
                self._complain(f"{rule}: the checker names {told}, the sentence {expected}", painted)
            side = verdict.breaches if rule.strength == "must" else verdict.missed
            if any(breach not in side for breach in breaches):
                self._complain(f"{rule.kind} is {rule.strength}, its breaches are told otherwise", painted)
        if len(verdict.breaches) + len(verdict.missed) != sum(map(len, verdict.of_rule)):
            self._complain("breaches are told that belong to no rule", painted)
        self._compare_weakest(verdict.weakest, painted)
        return verdict

    def _compare_weakest(self, weakest, painted: Painted) -> None:
        expected = self._third.weakest(painted)
        if (weakest is None) != (expected is None):
            self._complain(
                "the weakest pair is told where there is none, or not where there is one", painted
            )
        if weakest is not None:
            least, pairs = expected
            right = abs(weakest.difference - least) < 1e-8
            if not right or (weakest.a, weakest.b, weakest.light) not in pairs:
                self._complain(f"the weakest pair is {weakest}, the looks say {pairs} {least}", painted)

    def _complain(self, what: str, painted: Painted) -> None:
        rules = "\n".join(str(rule) for rule in self._rules)
        raise Wrong(f"seed {self._seed}: {what}\n{rules}\n{dict(painted)}")


def _same_places(breaches: Sequence[Breach], expected: Sequence[Place]) -> bool:
    """Return whether the breaches are the expected places, each once, in any order."""
    left = list(expected)
    for breach in breaches:
        named = frozenset(breach.sections)
        fits = next((place for place in left if named in place), None)
        if fits is None:
            return False
        left.remove(fits)
    return not left
