"""The wall: sections, the panel that carries them, and its label image.

Lengths are millimetres; the origin is the panel's top left corner, x to the right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely import Polygon

__all__ = ["Feature", "FeatureRole", "LabelImage", "Member", "Panel", "Section"]

FeatureRole = Literal["trim", "void"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One area painted in one colour.

    Parameters
    ----------
    id : str
        The name people call it by; unique on its panel.
    outline : shapely.Polygon
        Valid, not empty, may have holes; mm.
    depth : float or None
        How far back it should seem, where its author says so: 0 is nearest, larger is farther, on
        any scale.
    """

    id: str
    outline: Polygon
    depth: float | None = None

    @property
    def centre_height(self) -> float:
        """The y of the centroid, mm from the panel's top edge, to a millionth of a millimetre.

        Finer figures are rounding noise, and would part sections of one course.
        """
        return round(float(self.outline.centroid.y), 6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """Something on the panel that is not painted as a section: a trim board or a void (opening).

    Parameters
    ----------
    id : str
    role : "trim" or "void"
        A trim board or an opening.
    outline : shapely.Polygon
        mm.
    """

    id: str
    role: FeatureRole
    outline: Polygon


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LabelImage:
    """A picture of section numbers.

    Parameters
    ----------
    labels : ndarray of int32, shape (H, W)
        Row 0 at the top, 0 where there is no section.
    mm_per_px : float
        Size of a pixel, mm.
    names : tuple of str
        `names[k - 1]` is the section id of label k.
    """

    labels: NDArray[np.int32]
    mm_per_px: float
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One panel of a run: where it stands, and its sections' ids in the run.

    Parameters
    ----------
    name : str
    left_mm : float
        Where it begins in the run, mm.
    width_mm : float
        Of its face, mm.
    sections : tuple of str
        Its ids in the run.
    """

    name: str
    left_mm: float
    width_mm: float
    sections: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Panel:
    """One paintable wall panel.

    Parameters
    ----------
    name : str
        For headings and file names.
    width_mm, height_mm : float
        The painted face.
    sections : tuple of Section
        In drawing order; ids unique; outlines inside the face, overlapping nowhere.
    hatch : shapely.Polygon or None
        Outline of a concealed service hatch.
    features : tuple of Feature
        Trim boards and voids.
    label_image : LabelImage or None
        Kept when the panel was read from one, so that neighbours are found on its own pixels.
    source : str
        Where it came from, for messages: usually a file name.
    members : tuple of Member
        The single panels of a run that was joined to one; empty for a panel of its own.
    """

    name: str
    width_mm: float
    height_mm: float
    sections: tuple[Section, ...]
    hatch: Polygon | None = None
    features: tuple[Feature, ...] = ()
    label_image: LabelImage | None = None
    source: str = "panel"
    members: tuple[Member, ...] = ()

    @property
    def ids(self) -> tuple[str, ...]:
        """Section ids in drawing order."""
        return tuple(section.id for section in self.sections)

    def section(self, section_id: str) -> Section:
        """Return one section by id, or raise KeyError."""
        for section in self.sections:
            if section.id == section_id:
                return section
        raise KeyError(section_id)
