"""How a scheme is found: demands in, the best scheme and its proof out."""

from palette.solving.limits import Limits
from palette.solving.search import AIMS, solve

__all__ = ["AIMS", "Limits", "solve"]
