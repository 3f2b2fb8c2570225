"""The same model for OR-Tools CP-SAT: the peer of the engine's benchmarks.

It starts from the engine's own tables (one boolean a section and paint, the same step function
for slopes, the same distances for repeats) and is given the same tricks: each level is solved on
top of the ones before, with the scheme so far as a full hint, and where sums of areas are limited
the bound without them comes first.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Sequence

import numpy as np
from ortools.sat.python import cp_model

from palette.solving.gathering import build_model
from palette.solving.repeats import _near_pairs, _pigeonhole_mm


class Peer:
    """One survey and its rules in CP-SAT with two workers."""

    def __init__(self, survey, rules: Sequence, *, seconds: float, limits: bool = True) -> None:
        self.start = time.perf_counter()
        self.survey, self.rules, self.seconds = survey, rules, seconds
        self.model = model = build_model(survey, rules)
        self.cp = cp = cp_model.CpModel()
        sections, paints = model.shape
        self.has = [[cp.new_bool_var("") for _ in range(paints)] for _ in range(sections)]
        for row in self.has:
            cp.add_exactly_one(row)
        for s, p in np.argwhere(~model.mask).tolist():
            cp.add(self.has[s][p] == 0)
        tables = model.must.tables
        for (a, b), table in zip(tables.pairs.tolist(), tables.table_of.tolist(), strict=True):
            for p, q in np.argwhere(~tables.tables[table]).tolist():
                cp.add_bool_or(~self.has[a][p], ~self.has[b][q])
        for slope in model.must.slopes:
            self._slope(slope)
        for alike in model.must.alike:
            for p in range(paints):
                cp.add_bool_or([~self.has[s][p] for s in alike])
        for limit in itertools.chain(*model.must.limits) if limits else ():
            terms = zip(limit.sections.tolist(), limit.paints.tolist(), limit.weight.tolist(), strict=True)
            total = sum(w * (self.has[s][p] if limit.holds else ~self.has[s][p]) for s, p, w in terms)
            cp.add(total <= limit.cap)
        self.scheme: np.ndarray | None = None
        self.proven = True

    def _slope(self, slope) -> None:
        cp = self.cp
        values, value = np.unique(slope.value, return_inverse=True)
        places, place = np.unique(slope.position, return_inverse=True)
        low = [[cp.new_bool_var("") for _ in values] for _ in places]
        for g in range(len(places)):
            for k in range(len(values)):
                if g:
                    cp.add_implication(low[g - 1][k], low[g][k])
                if k:
                    cp.add_implication(low[g][k - 1], low[g][k])
        far = (places[:, None] - places[None, :] >= slope.apart) & (places[:, None] > places[None, :])
        before = far.sum(axis=1) - 1
        for row, s in enumerate(slope.sections.tolist()):
            for p in range(len(slope.value)):
                cp.add_implication(self.has[s][p], low[place[row]][value[p]])
                dark = [k for k in range(len(values)) if slope.value[p] - values[k] > slope.tolerance]
                if dark and before[place[row]] >= 0:
                    cp.add_implication(low[before[place[row]]][dark[-1]], ~self.has[s][p])

    def _maximise(self, goal, *, at_most: int | None = None) -> int | None:
        """Return the best value found; the next level keeps it."""
        left = self.seconds - (time.perf_counter() - self.start)
        if left <= 0.05:
            self.proven = False
            return None
        self.cp.maximize(goal)
        if at_most is not None:
            self.cp.add(goal <= at_most)
        self.cp.clear_hints()
        if self.scheme is not None:
            for s, row in enumerate(self.has):
                for p, var in enumerate(row):
                    self.cp.add_hint(var, bool(self.scheme[s] == p))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 2
        solver.parameters.max_time_in_seconds = left
        status = solver.solve(self.cp)
        self.proven = self.proven and status == cp_model.OPTIMAL
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        self.scheme = np.array([[solver.value(var) for var in row] for row in self.has]).argmax(axis=1)
        value = round(solver.objective_value)
        self.cp.add(goal >= value)
        return value

    def weakest(self, bound: float | None = None) -> float | None:
        """Solve for the weakest pair, at most a bound that is known already."""
        strengths, rank = np.unique(self.model.strength, return_inverse=True)
        rank = rank.reshape(self.model.strength.shape)
        reach = [self.cp.new_bool_var("") for _ in strengths]
        for lower, upper in itertools.pairwise(reach):
            self.cp.add_implication(upper, lower)
        for a, b in self.model.contacts.tolist():
            for p, q in np.argwhere(rank + 1 < len(strengths)).tolist():
                self.cp.add_bool_or(~self.has[a][p], ~self.has[b][q], ~reach[rank[p, q] + 1])
        most = None if bound is None else int(np.searchsorted(strengths, bound + 1e-9))
        value = self._maximise(sum(reach), at_most=most)
        return None if value is None else float(strengths[value - 1])

    def repeats(self) -> float | None:
        """Solve for the nearest repeat."""
        outlines = np.array([section.outline for section in self.survey.panel.sections])
        pairs, apart = _near_pairs(outlines, _pigeonhole_mm(outlines, self.model.shape[1]))
        steps, rank = np.unique(np.round(apart, 6), return_inverse=True)
        reach = [self.cp.new_bool_var("") for _ in steps]
        for lower, upper in itertools.pairwise(reach):
            self.cp.add_implication(upper, lower)
        for (a, b), r in zip(pairs.tolist(), rank.tolist(), strict=True):
            for p in range(self.model.shape[1]):
                self.cp.add_bool_or(~self.has[a][p], ~self.has[b][p], ~reach[r])
        value = self._maximise(sum(reach))
        return None if value is None else float(steps[value])

    def balance(self) -> float | None:
        """Solve for the range of counts."""
        sections, paints = self.model.shape
        least, most = self.cp.new_int_var(0, sections, ""), self.cp.new_int_var(0, sections, "")
        for p in range(paints):
            count = sum(self.has[s][p] for s in range(sections))
            self.cp.add(count >= least)
            self.cp.add(count <= most)
        value = self._maximise(least - most)
        return None if value is None else float(-value)

    def contrast(self) -> float | None:
        """Solve for the mean contrast, each contact as a ladder of its strengths."""
        model, terms = self.model, []
        for (a, b), border in zip(model.contacts.tolist(), model.borders.tolist(), strict=True):
            gain = np.rint(model.strength * border * 100).astype(np.int64)
            values, rank = np.unique(gain, return_inverse=True)
            rank = rank.reshape(gain.shape)
            ladder = [self.cp.new_bool_var("") for _ in values[1:]]
            for lower, upper in itertools.pairwise(ladder):
                self.cp.add_implication(upper, lower)
            for p, q in np.argwhere(rank < len(ladder)).tolist():
                self.cp.add_bool_or(~self.has[a][p], ~self.has[b][q], ~ladder[rank[p, q]])
            terms += [int(grow) * step for grow, step in zip(np.diff(values), ladder, strict=True)]
        if self._maximise(sum(terms)) is None and self.scheme is None:
            return None
        return self.model.contrast(self.scheme) / float(self.model.borders.sum())

    @property
    def spent(self) -> float:
        """Seconds since the model was begun."""
        return time.perf_counter() - self.start
