"""Pictures of a scheme: values in memory, no files."""

from palette.preview.canvas import Preview
from palette.preview.change import Change, draw_change, draw_split
from palette.preview.collision_map import draw_collision
from palette.preview.contact_sheet import draw_contact_sheet
from palette.preview.develop import BY_DAY, LIT, PLAIN, Style, by_day, usual_style
from palette.preview.glare import Glare
from palette.preview.grain import Grain
from palette.preview.looks import draw_preview, draw_side_by_side, half_width_px
from palette.preview.materials import Materials
from palette.preview.neighbour_map import draw_neighbours
from palette.preview.relief import Relief
from palette.preview.swatch_card import draw_swatch_card

__all__ = [
    "BY_DAY",
    "LIT",
    "PLAIN",
    "Change",
    "Glare",
    "Grain",
    "Materials",
    "Preview",
    "Relief",
    "Style",
    "by_day",
    "draw_change",
    "draw_collision",
    "draw_contact_sheet",
    "draw_neighbours",
    "draw_preview",
    "draw_side_by_side",
    "draw_split",
    "draw_swatch_card",
    "half_width_px",
    "usual_style",
]
