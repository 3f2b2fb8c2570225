"""Schemes spoiled on purpose: for each kind of rule, changes that its own sentence forbids."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from third_judge import Painted, ThirdJudge

from palette.demands import Rule
from palette.survey import Survey

__all__ = ["harmless_changes", "spoilings"]


def spoilings(rng: np.random.Generator, survey: Survey, rule: Rule, painted: Painted) -> Iterator[Painted]:
    """Yield schemes changed in one or a few sections, the likeliest to break the rule first.

    Which of them does is for `ThirdJudge` to say, by the rule's sentence.
    """
    ids, paints = list(survey.panel.ids), list(survey.appearance.paints)
    aimed = getattr(_Aimed(rng, survey, rule, dict(painted)), rule.kind.replace("-", "_"), None)
    if aimed is not None:
        yield from aimed()
    for section in rng.permutation(ids).tolist():
        for paint in rng.permutation(paints).tolist():
            if painted[section] != paint:
                yield {**painted, section: paint}
    # Two swapped, and everything upside down.
    for a in rng.permutation(ids).tolist():
        for b in ids:
            if painted[a] != painted[b]:
                yield {**painted, a: painted[b], b: painted[a]}
    yield dict(zip(ids, [painted[section] for section in reversed(ids)], strict=True))
    # One can for the whole wall.
    for paint in rng.permutation(paints).tolist():
        yield dict.fromkeys(ids, paint)


def harmless_changes(rng: np.random.Generator, survey: Survey, painted: Painted) -> Iterator[Painted]:
    """Yield schemes with one section painted anew, or two swapped; which are harmless is for the judge."""
    ids, paints = list(survey.panel.ids), list(survey.appearance.paints)
    for section in rng.permutation(ids).tolist():
        for paint in rng.permutation(paints).tolist():
            if painted[section] != paint:
                yield {**painted, section: paint}
    a, b = rng.choice(ids, 2, replace=False).tolist()
    yield {**painted, a: painted[b], b: painted[a]}


class _Aimed:
    """For some kinds of rule, the fault that its sentence names."""

    def __init__(self, rng: np.random.Generator, survey: Survey, rule: Rule, painted: dict) -> None:
        self._rng, self._survey, self._rule, self._painted = rng, survey, rule, painted
        self._ids, self._paints = list(survey.panel.ids), list(survey.appearance.paints)

    def _shuffled(self, things: list) -> list:
        return [things[k] for k in self._rng.permutation(len(things)).tolist()]

    def clash(self) -> Iterator[Painted]:
        """A neighbour's paint, copied."""
        for contact in self._shuffled(list(self._survey.adjacency.neighbours)):
            yield {**self._painted, contact.a: self._painted[contact.b]}

    def depth(self) -> Iterator[Painted]:
        """The lightest paint high up, the darkest low down."""
        judge = ThirdJudge(self._survey)
        light = self._rule.light[0]
        by_shade = sorted(self._paints, key=lambda paint: judge.lightness(paint, light))
        for a in self._shuffled(self._ids):
            for b in self._shuffled(self._ids):
                if a != b:
                    yield {**self._painted, a: by_shade[-1], b: by_shade[0]}

    def pin(self) -> Iterator[Painted]:
        """Another paint where one is pinned."""
        others = [paint for paint in self._paints if paint != self._rule.paint]
        for section in self._shuffled(self._ids):
            for paint in self._shuffled(others):
                yield {**self._painted, section: paint}

    def stock(self) -> Iterator[Painted]:
        """One can used on more and more sections."""
        for paint in self._shuffled(self._paints):
            spoiled = dict(self._painted)
            for section in self._shuffled(self._ids):
                spoiled[section] = paint
                yield dict(spoiled)

    quota = share = stock

    def variety(self) -> Iterator[Painted]:
        """As few paints as can be, and as many."""
        yield dict.fromkeys(self._ids, self._paints[0])
        yield {
            section: self._paints[k % len(self._paints)]
            for k, section in enumerate(self._shuffled(self._ids))
        }

    def spacing(self) -> Iterator[Painted]:
        """Two sections that stand near each other, in one paint; three, for a stripe."""
        for a in self._shuffled(self._ids):
            for b in self._shuffled(self._ids):
                if a != b:
                    yield {**self._painted, a: self._painted[b]}
        for paint in self._shuffled(self._paints):
            for _ in range(10):
                some = self._rng.choice(self._ids, 3, replace=False).tolist()
                yield {**self._painted, **dict.fromkeys(some, paint)}

    stripe = different = any_order = spacing
