"""How a scheme is found: demands in, the best scheme and its proof out."""

from palette.solving.aims import AIMS, DEFAULT_AIMS, Aim, read_aims
from palette.solving.collision import Collision, find_collision
from palette.solving.limits import Limits
from palette.solving.search import solve

__all__ = ["AIMS", "DEFAULT_AIMS", "Aim", "Collision", "Limits", "find_collision", "read_aims", "solve"]
