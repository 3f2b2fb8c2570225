"""A paint on the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from palette.colour import Array
from palette.light import LightKind
from palette.optics.ground import WHITE_GROUND
from palette.optics.parameters import PaintParameters

__all__ = ["DEFAULT_COATS", "DEFAULT_SPREAD_M2_PER_L", "Paint"]

DEFAULT_COATS = 2
"""Common practice: two coats of fluorescent paint over a white base."""

DEFAULT_SPREAD_M2_PER_L = 7.0
"""Per coat. Common practice for fluorescent paint (6 to 8 m²/L); the can's own sheet wins."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Paint:
    """A paint by its name, its looks and how much of it there is.

    Parameters
    ----------
    id : str
        The name on the can; unique on its shelf.
    swatch : mapping from "daylight" or "blacklight" to XYZ, shape (3,)
        How a finished swatch looks under each kind of light, on the scale where the
        screen's (or the paper's) white has Y = 1, D65.
    stock_l : float or None
        Litres on hand; None where nobody said.
    coats : int
        Coats that make the swatch's look.
    spread_m2_per_l : float
        Area one litre covers, per coat.
    ground : str
        What it lies on, one of `palette.optics.GROUND_NAMES`.
    matrix : ndarray, shape (41, 49), or None
        A measured finished surface, clean: row for emission, column for excitation. It is
        that surface whatever the ground and the coats.
    parameters : PaintParameters or None
        The finish that `coats` coats over white have, in few numbers.
    notes : tuple of str
        What was changed, or could not be met, in reading it.

    Notes
    -----
    The best known description counts: `matrix`, else `parameters`, else `swatch`.
    """

    id: str
    swatch: Mapping[LightKind, Array] = field(default_factory=lambda: MappingProxyType({}))
    stock_l: float | None = None
    coats: int = DEFAULT_COATS
    spread_m2_per_l: float = DEFAULT_SPREAD_M2_PER_L
    ground: str = WHITE_GROUND
    matrix: Array | None = None
    parameters: PaintParameters | None = None
    notes: tuple[str, ...] = ()
