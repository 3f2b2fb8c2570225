"""Limits on a whole wall met by prices: what is scarce grows dear until there is enough of it.

Clauses cannot add up hundreds of areas. Here every section in turn takes the cheapest of the
paints its neighbours leave it, cheap meaning far below its limit, while the prices follow the
demand (Lagrangian relaxation with subgradient steps). Sections that share no pair are painted
at once, so that a sweep over thousands of sections is a few array operations.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.solving.formula import Ints
from palette.solving.limits import Clock
from palette.solving.model import Limit, Model
from palette.solving.slopes import slope_masks

__all__ = ["DEFAULT_SWEEPS", "fit_limits"]

DEFAULT_SWEEPS = 160  # of the wall; later ones gain little
_STEP = 0.3
"""By how much a price answers a demand that is all of the limit over it."""


def fit_limits(
    model: Model,
    limits: Sequence[Limit],
    pairs: dict[tuple[int, int], np.ndarray],
    scheme: Ints,
    clock: Clock,
    *,
    masks: np.ndarray | None = None,
    sweeps: int = DEFAULT_SWEEPS,
) -> Ints | None:
    """Return a scheme near the given one that keeps all limits, or None.

    `pairs` say with -inf which paints two sections may not have together; `scheme` keeps them,
    and so does every scheme on the way. `masks` keep the slopes whatever is chosen in them; without
    them the steps of the given scheme stay. Limits on pairs of paints are not met here.
    """
    if any(limit.pairs for limit in limits):
        return None
    sweeping = _Sweeping(model, limits, pairs, scheme, masks)
    for sweep in range(sweeps):
        if not sweeping.over.any() and not sweeping.striped:
            return sweeping.scheme
        if clock.expired:
            return None
        sweeping.sweep(cooling=1.0 - sweep / sweeps)
    return None


class _Sweeping:
    def __init__(
        self,
        model: Model,
        limits: Sequence[Limit],
        pairs: dict[tuple[int, int], np.ndarray],
        scheme: Ints,
        masks: np.ndarray | None,
    ) -> None:
        sections, paints = model.shape
        self._model = model
        self._masks = masks
        self.scheme = scheme.copy()
        self._caps = np.array([max(limit.cap, 1) for limit in limits], float)
        self._limits = limits
        self._prices = np.zeros(len(limits))
        self._rng = np.random.default_rng(0)
        # What one section adds to each limit, as a share of the limit: shape (L, S, P).
        self._share = np.zeros((len(limits), sections, paints))
        for k, limit in enumerate(limits):
            sign = 1.0 if limit.holds else -1.0
            self._share[k, limit.sections, limit.paints] = sign * limit.weight / self._caps[k]
        self._typical = float(np.abs(self._share[self._share != 0]).mean()) if self._share.any() else 1.0
        self._classes = _classes(sections, pairs)
        self._alike = [np.array(sections, np.int64) for sections in model.must.alike]

    @property
    def striped(self) -> bool:
        """Whether sections that may not all be alike are."""
        return any(len(set(self.scheme[sections].tolist())) == 1 for sections in self._alike)

    @property
    def over(self) -> np.ndarray:
        """Which limits are passed, exactly."""
        return np.array([limit.amount(self.scheme) > limit.cap for limit in self._limits])

    def sweep(self, *, cooling: float) -> None:
        """Let every section choose once, then set the prices anew."""
        masks = self._masks
        if masks is None:
            masks = self._model.mask & slope_masks(self._model, self.scheme)
        for members, edges, partners, tables in self._classes:
            used = np.array([limit.amount(self.scheme) for limit in self._limits]) / self._caps
            # A hair below the limit, so that the last sections need not fit to the millimetre.
            self._prices = np.maximum(0.0, self._prices + _STEP * (used - 0.995))
            cost = np.tensordot(self._prices, self._share[:, members], axes=1) / self._typical
            free = self._free(members, edges, partners, tables, masks)
            noise = self._rng.gumbel(size=free.shape) * (0.05 + 0.45 * cooling)
            wish = np.where(free, noise - cost, -np.inf)
            # Where nothing is free, the present paint stays: it is allowed by all but a stripe.
            chosen = wish.argmax(axis=1)
            self.scheme[members] = np.where(free.any(axis=1), chosen, self.scheme[members])
        self._settle(masks)

    def _free(
        self, members: Ints, edges: Ints, partners: Ints, tables: np.ndarray, masks: np.ndarray
    ) -> np.ndarray:
        """Return the paints each member may have beside its partners, bool, shape (n, P)."""
        free: np.ndarray = masks[members].copy()
        forbidden = tables[np.arange(len(edges)), :, self.scheme[partners]]
        np.logical_and.at(free, edges, ~forbidden)
        if self._alike:
            self._forbid_stripes(members, free)
        return free

    def _forbid_stripes(self, members: Ints, free: np.ndarray) -> None:
        """Take from each member the paint that would make a group of sections all alike."""
        row_of = {section: row for row, section in enumerate(members.tolist())}
        for sections in self._alike:
            paints = self.scheme[sections]
            for k, section in enumerate(sections.tolist()):
                others = np.delete(paints, k)
                if section in row_of and (others == others[0]).all():
                    free[row_of[section], others[0]] = False

    def _settle(self, masks: np.ndarray) -> None:
        """Move single sections out of what is over its limit, as far as that goes at once."""
        used = np.array([limit.amount(self.scheme) for limit in self._limits]) / self._caps
        if (used - 1.0).clip(0.0).sum() > 40 * self._typical:
            return  # too far off: prices have to do the rough work
        for members, edges, partners, tables in self._classes:
            free = self._free(members, edges, partners, tables, masks)
            for row, section in enumerate(members.tolist()):
                own = self._share[:, section, self.scheme[section]]
                if not ((used > 1.0) & (own > 0)).any():
                    continue
                change = self._share[:, section, :] - own[:, None]
                after = (used[:, None] + change - 1.0).clip(0.0).sum(axis=0)
                after[~free[row]] = np.inf
                best = int(after.argmin())
                if after[best] < (used - 1.0).clip(0.0).sum() - 1e-12:
                    used = used + change[:, best]
                    self.scheme[section] = best


def _classes(
    sections: int, pairs: dict[tuple[int, int], np.ndarray]
) -> list[tuple[Ints, Ints, Ints, np.ndarray]]:
    """Return sets of sections without a pair between them, and each set's pairs to the outside.

    For each set: its sections; for every pair its row in the set, the partner, and the table of
    what is forbidden, own paint first.
    """
    near: list[list[int]] = [[] for _ in range(sections)]
    for a, b in pairs:
        near[a].append(b)
        near[b].append(a)
    colour = np.full(sections, -1)
    for section in sorted(range(sections), key=lambda s: (-len(near[s]), s)):
        taken = set(colour[near[section]].tolist())
        colour[section] = next(c for c in range(sections) if c not in taken)
    found = []
    for c in range(int(colour.max()) + 1):
        members = np.flatnonzero(colour == c)
        edges, partners, tables = [], [], []
        for row, section in enumerate(members.tolist()):
            for other in near[section]:
                a, b = min(section, other), max(section, other)
                forbidden = np.isneginf(pairs[a, b])
                edges.append(row)
                partners.append(other)
                tables.append(forbidden if section < other else forbidden.T)
        paints = next(iter(pairs.values())).shape[0] if pairs else 1
        found.append(
            (
                members,
                np.array(edges, np.int64),
                np.array(partners, np.int64),
                np.array(tables, bool).reshape(-1, paints, paints),
            )
        )
    return found
