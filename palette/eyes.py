"""Eyes that tell fewer colours apart."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Literal

import numpy as np

from palette.colour import (
    D65_WHITE,
    Array,
    adapt_white,
    linear_srgb_of_xyz,
    xyz_of_linear_srgb,
)
from palette.errors import InputError
from palette.reading import nearest

__all__ = ["EYE_KINDS", "Eye", "EyeKind", "deficiency_matrix", "parse_eye", "seen_linear_srgb", "seen_xyz"]

EyeKind = Literal["protan", "deutan", "tritan"]
EYE_KINDS: tuple[EyeKind, ...] = ("protan", "deutan", "tritan")


@dataclass(frozen=True, slots=True, kw_only=True)
class Eye:
    """A colour-vision deficiency.

    Parameters
    ----------
    kind : "protan", "deutan" or "tritan"
        Which cone is concerned.
    severity : float
        A share, 0 (none) to 1 (the cone is missing).
    """

    kind: EyeKind
    severity: float = 1.0

    @property
    def id(self) -> str:
        """The eye as it is written: ``deutan`` or ``deutan/0.6``."""
        return self.kind if self.severity == 1 else f"{self.kind}/{self.severity:g}"


def parse_eye(text: str, *, where: str = "eye") -> Eye:
    """Return the eye of a word: ``protan``, ``deutan`` or ``tritan``, with a severity after a slash.

    Parameters
    ----------
    text : str
    where : str
        For messages.

    Returns
    -------
    Eye

    Raises
    ------
    InputError
        The kind is unknown or the severity is not a number from 0 to 1.

    Examples
    --------
    >>> palette.parse_eye("deutan/0.6").severity
    0.6
    """
    word, _, rest = text.strip().partition("/")
    if word not in EYE_KINDS:
        raise InputError(where, f'there is no eye "{text}"', nearest(word, EYE_KINDS))
    try:
        severity = float(rest) if rest else 1.0
    except ValueError:
        severity = -1.0
    if not 0 <= severity <= 1:
        raise InputError(where, f'the severity "{rest}" is out of range', "write a number from 0 to 1")
    kind: EyeKind = EYE_KINDS[EYE_KINDS.index(word)]
    return Eye(kind=kind, severity=severity)


@lru_cache(maxsize=1)
def _matrices() -> dict[str, Array]:
    """Return the authors' eleven matrices of each kind, shape (11, 3, 3), severity 0 to 1."""
    text = (files("palette") / "data" / "machado-2009.csv").read_text("utf-8")
    rows = [line.split(",") for line in text.splitlines() if line and not line.startswith("#")][1:]
    return {
        kind: np.array([[float(v) for v in row[2:]] for row in rows if row[0] == kind]).reshape(11, 3, 3)
        for kind in EYE_KINDS
    }


def deficiency_matrix(eye: Eye) -> Array:
    """Return the matrix that turns linear sRGB into what an eye sees of it, shape (3, 3).

    Source: Machado, Oliveira & Fernandes, IEEE TVCG 15(6), 1291-1298 (2009); between their
    tenths of severity, straight lines.
    """
    table = _matrices()[eye.kind]
    place = eye.severity * 10
    low = min(int(place), 9)
    part = place - low
    matrix: Array = (1 - part) * table[low] + part * table[low + 1]
    return matrix


def seen_linear_srgb(linear: Array, eye: Eye) -> Array:
    """Return what an eye sees of linear sRGB colours, shape (..., 3); nothing is clipped."""
    seen: Array = np.asarray(linear, float) @ deficiency_matrix(eye).T
    return seen


def seen_xyz(xyz: Array, eye: Eye, *, white: Array = D65_WHITE) -> Array:
    """Return what an eye sees of colours against a white, as XYZ against the same white.

    The model is made for a screen's primaries and white, so colours go there and back;
    values outside the screen's gamut are carried through unclipped.
    """
    linear = linear_srgb_of_xyz(adapt_white(xyz, white))
    return adapt_white(xyz_of_linear_srgb(seen_linear_srgb(linear, eye)), D65_WHITE, white)
