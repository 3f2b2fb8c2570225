"""Judging a painted panel from a photo, and showing a scheme on one."""

from palette.inspection.document import photo_to_dict, scheme_of_reading
from palette.inspection.files import save_reading
from palette.inspection.legend import clash_sentence
from palette.inspection.marking import draw_findings
from palette.inspection.reading import Finding, PhotoReading, read_panel
from palette.inspection.verdict import NearHue, PhotoClash, PhotoVerdict, judge_reading

__all__ = [
    "Finding",
    "NearHue",
    "PhotoClash",
    "PhotoReading",
    "PhotoVerdict",
    "clash_sentence",
    "draw_findings",
    "judge_reading",
    "photo_to_dict",
    "read_panel",
    "save_reading",
    "scheme_of_reading",
]
