"""Photos, and the corrections drawn over them, from disk."""

from palette.photos.marks import Mark, Marks, read_marks
from palette.photos.picture import parse_corners, read_photo
from palette.photos.small import read_small

__all__ = ["Mark", "Marks", "parse_corners", "read_marks", "read_photo", "read_small"]
