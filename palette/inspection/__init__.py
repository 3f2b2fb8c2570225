"""Judging a painted panel from a photo, and showing a scheme on one."""

from palette.inspection.asking import PhotoRequest, inspect_photo
from palette.inspection.comparing import (
    Comparison,
    SectionNote,
    compare_with_scheme,
    comparison_to_dict,
)
from palette.inspection.document import photo_to_dict, scheme_of_reading
from palette.inspection.files import save_reading
from palette.inspection.legend import clash_sentence
from palette.inspection.marking import draw_findings
from palette.inspection.reading import Finding, PhotoReading, read_panel
from palette.inspection.repainting import repaint_photo
from palette.inspection.swatches import SwatchReading, read_swatches, swatches_to_toml
from palette.inspection.verdict import NearHue, PhotoClash, PhotoVerdict, judge_reading, weakest_neighbours

__all__ = [
    "Comparison",
    "SectionNote",
    "SwatchReading",
    "compare_with_scheme",
    "comparison_to_dict",
    "read_swatches",
    "repaint_photo",
    "swatches_to_toml",
    "Finding",
    "NearHue",
    "PhotoClash",
    "PhotoReading",
    "PhotoRequest",
    "PhotoVerdict",
    "clash_sentence",
    "draw_findings",
    "inspect_photo",
    "judge_reading",
    "photo_to_dict",
    "read_panel",
    "save_reading",
    "scheme_of_reading",
    "weakest_neighbours",
]
