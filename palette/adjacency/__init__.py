"""Which sections are neighbours, how long they face each other and across what gap."""

from palette.adjacency.contact import (
    DEFAULT_MIN_BORDER_MM,
    DEFAULT_REACH_MM,
    Adjacency,
    Contact,
)

__all__ = ["DEFAULT_MIN_BORDER_MM", "DEFAULT_REACH_MM", "Adjacency", "Contact"]
