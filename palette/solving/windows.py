"""Large walls improved window by window, each window exactly."""

from __future__ import annotations

import numpy as np

from palette.solving.branching import branch
from palette.solving.elimination import Gains, TooWide, best_sum, eliminate
from palette.solving.formula import Ints
from palette.solving.limits import Undecided
from palette.solving.slopes import slope_masks
from palette.solving.standing import Standing
from palette.solving.steps import promising_masks

__all__ = ["improve_in_windows"]

_CELLS = 300_000
"""Greatest table of a window: some tens of milliseconds."""

_SWEEPS = 4
"""Rounds over the whole wall where no time is set; the later ones gain little."""

_RESTARTS = 3
"""Other ways to set the steps of a slope that are tried."""

_PRICINGS = 12
"""Times a window is solved anew, at higher prices for what was over its limit."""

_NODES = 60
"""Questions to the solver over one window that whole-panel rules reach into."""


def improve_in_windows(
    standing: Standing, allowed: list[Ints], gains: dict[tuple[int, int], Gains]
) -> None:
    """Raise the contrast of the best scheme until no window can, or the time is up.

    A window is a section with those around it; everything outside stands still. What only pairs
    of sections say is solved exactly in it; when a whole-panel rule or promise objects, branching
    with the solver looks for the best that it does not object to. A window is visited again only
    when something in it or beside it has changed.
    """
    _descend(standing, allowed, gains, None)
    if standing.whole_panel or not standing.model.must.slopes:
        return
    # A slope's steps stand still in all windows, so other steps are other walls to climb.
    best = standing.best
    limits = [limit for ends in standing.model.must.limits for limit in ends]
    for masks in promising_masks(standing.model, limits, _RESTARTS):
        if standing.clock.expired:
            break
        if standing.ask_within(masks):
            _descend(standing, allowed, gains, masks)
        if standing.model.contrast(standing.best) > standing.model.contrast(best):
            best = standing.best
    standing.best = best


def _descend(
    standing: Standing,
    allowed: list[Ints],
    gains: dict[tuple[int, int], Gains],
    masks: np.ndarray | None,
) -> None:
    windows = _Windows(standing, allowed, gains, masks)
    size = windows.size
    endless = standing.clock.limits.seconds is not None
    sweeps_left = _SWEEPS
    while not standing.clock.expired and (endless or sweeps_left):
        sweeps_left -= 1
        before = standing.model.contrast(standing.best)
        windows.sweep(size)
        gained = standing.model.contrast(standing.best) - before
        if gained <= 1e-4 * before:
            if size > 80 or standing.clock.limits.seconds is None:
                break
            size = size * 3 // 2


class _Windows:
    def __init__(
        self,
        standing: Standing,
        allowed: list[Ints],
        gains: dict[tuple[int, int], Gains],
        masks: np.ndarray | None,
    ) -> None:
        self._masks = masks
        self._standing = standing
        self._allowed = allowed
        self._gains = gains
        self._near: list[list[int]] = [[] for _ in allowed]
        for a, b in gains:
            self._near[a].append(b)
            self._near[b].append(a)
        must = standing.model.must
        # Slopes can be held by masks; the other words need the solver's consent.
        self.free = not (
            standing.whole_panel or must.alike or must.clauses or must.limits or must.varieties
        )
        sections = standing.survey.panel.sections
        self._centres = np.array([section.outline.centroid.coords[0] for section in sections])
        self._limits = [limit for ends in must.limits for limit in ends]
        self._alike = must.alike
        # What a section adds to each limit when it has a paint, in typical sections: (L, S, P).
        self._cost = np.zeros((len(self._limits), *standing.model.shape))
        for k, limit in enumerate(self._limits):
            sign = 1.0 if limit.holds else -1.0
            share = limit.weight / max(1.0, float(np.mean(limit.weight)))
            self._cost[k, limit.sections, limit.paints] = sign * share
        self._typical_gain = standing.model.contrast(standing.best) / len(allowed)
        self._limits_only = not (
            standing.whole_panel
            or must.clauses
            or must.varieties
            or any(limit.pairs for limit in self._limits)
        )
        self._changed_at = np.zeros(len(allowed), np.int64)
        self._done_at: dict[tuple[int, int], int] = {}
        self._moment = 1

    @property
    def size(self) -> int:
        """Sections of the first windows: smaller where the solver has to be asked."""
        return 40 if self.free or self._limits_only else 14

    def sweep(self, size: int) -> None:
        """Visit windows until every section has been in one."""
        covered = np.zeros(len(self._allowed), bool)
        for centre in np.lexsort((self._centres[:, 1], self._centres[:, 0])).tolist():
            if covered[centre]:
                continue
            if self._standing.clock.expired:
                return
            self._standing.tell("contrast, window by window", int(covered.sum()), len(covered))
            window = self._window(centre, size)
            covered[window[: max(1, len(window) * 2 // 3)]] = True
            if self._changed_at[window].max() >= self._done_at.get((centre, size), 0):
                self._improve(window)
                self._done_at[centre, size] = self._moment
            self._moment += 1

    def _window(self, centre: int, size: int) -> list[int]:
        """Return a section and those nearest to it, step by step."""
        found, seen = [centre], {centre}
        for section in found:
            for other in self._near[section]:
                if other not in seen and len(found) < size:
                    seen.add(other)
                    found.append(other)
        return found

    def _improve(self, window: list[int]) -> None:
        while True:
            try:
                self._solve(window)
            except TooWide:
                window = window[: len(window) * 3 // 4]
                continue
            return

    def _solve(self, window: list[int]) -> None:
        standing, scheme = self._standing, self._standing.best
        masks = slope_masks(standing.model, scheme) if self._masks is None else self._masks
        place = {section: k for k, section in enumerate(window)}
        allowed = [self._allowed[s][masks[s, self._allowed[s]]] for s in window]
        inner: dict[tuple[int, int], Gains] = {}
        alone: dict[int, Gains] = {}
        for section in window:
            for other in self._near[section]:
                pair = (min(section, other), max(section, other))
                gain = self._gains[pair]
                if other in place:
                    if section < other:
                        a, b = place[section], place[other]
                        inner[min(a, b), max(a, b)] = gain if a < b else gain.T
                else:
                    fixed = gain[:, scheme[other]] if section < other else gain[scheme[other]]
                    alone[place[section]] = alone.get(place[section], 0.0) + fixed
        sweeps = [np.argsort(self._centres[window, axis], kind="stable").tolist() for axis in (0, 1)]
        kept = self._priced(window, allowed, inner, alone, sweeps)
        if self.free or kept or self._limits_only:
            return
        done = eliminate(allowed, inner, most_cells=_CELLS, alone=alone, sweeps=sweeps)
        present = sum(float(gain[scheme[window[a]], scheme[window[b]]]) for (a, b), gain in inner.items())
        present += sum(float(gain[scheme[window[k]]]) for k, gain in alone.items())
        outside = [s for s in range(len(scheme)) if s not in place]
        fixed_literals = standing.formula.paint[outside, scheme[outside]].tolist()
        offset = standing.model.contrast(scheme) - present
        branch(standing, done, window, fixed_literals, offset=offset, nodes=_NODES)
        self._note(scheme)

    def _priced(
        self,
        window: list[int],
        allowed: list[Ints],
        inner: dict[tuple[int, int], Gains],
        alone: dict[int, Gains],
        sweeps: list[list[int]],
    ) -> bool:
        """Solve a window, pricing what is over its limit higher until nothing is; return whether so.

        The price of a limit is what its weights cost in contrast; the first try is free of charge.
        """
        scheme = self._standing.best
        prices = np.zeros(len(self._limits))
        for _ in range(1 if self.free else _PRICINGS):
            priced = {k: alone.get(k, 0.0) - self._cost[:, s].T @ prices for k, s in enumerate(window)}
            answer = best_sum(allowed, inner, most_cells=_CELLS, alone=priced, sweeps=sweeps)
            if answer is None:
                return False
            better = scheme.copy()
            better[window] = answer[1]
            over = np.array([limit.amount(better) > limit.cap for limit in self._limits], bool)
            if not over.any():
                if not self._is_kept(better):
                    return False
                self._take(better)
                return True
            prices[over] += self._typical_gain / 4
        return False

    def _is_kept(self, scheme: Ints) -> bool:
        """Say whether every rule and promise allows a scheme that keeps pairs, slopes and limits."""
        if self.free or self._limits_only:
            return not any(len(set(scheme[list(group)].tolist())) == 1 for group in self._alike)
        paint = self._standing.formula.paint
        try:
            found = self._standing.engine.find(paint[np.arange(len(scheme)), scheme].tolist())
        except Undecided:
            return False
        return found is not None

    def _take(self, better: Ints) -> None:
        before = self._standing.best
        if self._standing.model.contrast(better) > self._standing.model.contrast(before) + 1e-9:
            self._standing.best = better
            self._note(before)

    def _note(self, before: Ints) -> None:
        """Remember which sections changed, and their neighbours with them."""
        for section in np.flatnonzero(self._standing.best != before).tolist():
            self._changed_at[[section, *self._near[section]]] = self._moment
