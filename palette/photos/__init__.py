"""Photos, and the corrections drawn over them, from disk."""

from palette.photos.marks import Mark, Marks, read_marks
from palette.photos.picture import parse_corners, read_photo

__all__ = ["Mark", "Marks", "parse_corners", "read_marks", "read_photo"]
