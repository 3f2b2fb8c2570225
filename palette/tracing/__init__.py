"""Reading a panel from a photo: squaring, finding sections, evening out the light, naming paints.

Unless another source is named, the thresholds of this room are set by trial, on drawn scenes and on
photos whose truth is known; they are parts of a length, an area or a brightness wherever they can be.
"""

from palette.tracing.corners import CornerGuess, find_corners
from palette.tracing.correcting import Correction, Snapped, correct_fields, snap_to_layout
from palette.tracing.fields import Fields, find_fields, keep_whole
from palette.tracing.photo import Photo, SquaredPhoto
from palette.tracing.recognising import Recognised, group_sections, recognise_paints
from palette.tracing.squaring import apply_homography, solve_homography, square_photo

__all__ = [
    "CornerGuess",
    "Correction",
    "Fields",
    "Photo",
    "Recognised",
    "Snapped",
    "SquaredPhoto",
    "apply_homography",
    "correct_fields",
    "find_corners",
    "find_fields",
    "group_sections",
    "keep_whole",
    "recognise_paints",
    "snap_to_layout",
    "solve_homography",
    "square_photo",
]
