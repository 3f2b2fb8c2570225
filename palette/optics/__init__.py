"""How paint films send light back: the physics behind every look."""

from palette.optics.fitting import fit
from palette.optics.ground import GROUND_NAMES
from palette.optics.matrix import Measured, matrix_from_text
from palette.optics.parameters import Band, GlowParameters, PaintParameters

__all__ = [
    "GROUND_NAMES",
    "Band",
    "GlowParameters",
    "Measured",
    "PaintParameters",
    "fit",
    "matrix_from_text",
]
