"""The ground every decision stands on: a panel, its neighbours and the looks of the paints."""

from __future__ import annotations

from dataclasses import dataclass

from palette.adjacency import Adjacency
from palette.appearance import Appearance
from palette.paint import Paint
from palette.panel import Panel

__all__ = ["Survey"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Survey:
    """What was measured, before anything is wanted.

    Rules, the engine and the checker all read this and nothing else.

    Parameters
    ----------
    panel : Panel
    adjacency : Adjacency
        Its sections in the order of `panel.sections`.
    paints : tuple of Paint
        In the order of `appearance.paints`.
    appearance : Appearance
    """

    panel: Panel
    adjacency: Adjacency
    paints: tuple[Paint, ...]
    appearance: Appearance
