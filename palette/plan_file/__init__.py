"""The plan file: one small TOML with what the shop, the shelf, the hall and the helpers are like.

Every key may be left out. A part that cannot be used is left out and told, and the rest of the
plan is still made: a wrong price is no reason to have no map.
"""

from palette.plan_file.file import PlanFile, read_plan_file
from palette.plan_file.values import parse_hours

__all__ = ["PlanFile", "parse_hours", "read_plan_file"]
