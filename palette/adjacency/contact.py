"""What two sections share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import networkx as nx
    from shapely import MultiLineString

__all__ = ["DEFAULT_MIN_BORDER_MM", "DEFAULT_REACH_MM", "Adjacency", "Contact"]

DEFAULT_REACH_MM = 160.0
"""Two trim boards and a gap: common practice puts fields up to 133 mm (5 1/4 in) apart, so 160."""

DEFAULT_MIN_BORDER_MM = 25.0
"""Shorter than a 1 in brush is wide: the eye reads it as a corner. Common practice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Contact:
    """Two sections whose zones meet.

    Parameters
    ----------
    a, b : str
        Section ids, a before b in the panel's order.
    border_mm : float
        Length of the border their zones share, as far as they face each other along it.
    gap_mm : float
        How far apart they stand, the mean over the border; at a corner the least distance.
    corner : bool
        True when they meet at a corner only: the border is shorter than the least that counts.
    mid_line : shapely.MultiLineString
        Halfway between the two, mm; may be empty at a corner.
    """

    a: str
    b: str
    border_mm: float
    gap_mm: float
    corner: bool
    mid_line: MultiLineString


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Adjacency:
    """All contacts of a panel, sorted by the order of its sections.

    Parameters
    ----------
    sections : tuple of str
        Section ids, in the panel's order.
    contacts : tuple of Contact
        Neighbours and corners.
    reach_mm : float
        The widest gap across which two sections were still neighbours, mm.
    min_border_mm : float
        The shortest border that counted, mm.
    """

    sections: tuple[str, ...]
    contacts: tuple[Contact, ...]
    reach_mm: float
    min_border_mm: float

    @property
    def neighbours(self) -> tuple[Contact, ...]:
        """The contacts along a side: those the clash rule is about."""
        return tuple(contact for contact in self.contacts if not contact.corner)

    @property
    def corners(self) -> tuple[Contact, ...]:
        """The contacts at a corner only."""
        return tuple(contact for contact in self.contacts if contact.corner)

    def to_networkx(self, *, corners: bool = False) -> nx.Graph:
        """Return the graph of neighbours; `corners` adds the corner contacts.

        Nodes are section ids; edges carry ``border_mm``, ``gap_mm``, ``corner`` and ``mid_line``.
        """
        import networkx as nx

        graph = nx.Graph()
        graph.add_nodes_from(self.sections)
        for contact in self.contacts if corners else self.neighbours:
            graph.add_edge(
                contact.a,
                contact.b,
                border_mm=contact.border_mm,
                gap_mm=contact.gap_mm,
                corner=contact.corner,
                mid_line=contact.mid_line,
            )
        return graph
