"""How a scheme is found: demands in, the best scheme and its proof out."""

from palette.solving.aims import AIMS, DEFAULT_AIMS, Aim, read_aims
from palette.solving.alternatives import Alternative, find_alternatives
from palette.solving.certifying import Certificate, certify
from palette.solving.collision import Collision, find_collision
from palette.solving.finishing import Finished, finish_scheme
from palette.solving.limits import Limits
from palette.solving.search import solve
from palette.solving.ways_out import Purchase, WayOut, advise_purchase, find_ways_out

__all__ = [
    "AIMS",
    "DEFAULT_AIMS",
    "Aim",
    "Alternative",
    "Certificate",
    "Collision",
    "Finished",
    "Limits",
    "Purchase",
    "WayOut",
    "advise_purchase",
    "certify",
    "find_alternatives",
    "find_collision",
    "find_ways_out",
    "finish_scheme",
    "read_aims",
    "solve",
]
