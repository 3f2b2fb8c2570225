"""Pictures of a scheme: values in memory, no files."""

from palette.preview.canvas import Preview
from palette.preview.looks import draw_preview, draw_side_by_side
from palette.preview.neighbour_map import draw_neighbours
from palette.preview.swatch_card import draw_swatch_card

__all__ = ["Preview", "draw_neighbours", "draw_preview", "draw_side_by_side", "draw_swatch_card"]
