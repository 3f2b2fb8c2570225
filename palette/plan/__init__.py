"""The plan of a paint job: quantities, what to buy, who does what when, what to mind."""

from palette.plan.areas import Areas, measure_areas
from palette.plan.buying import Purchase, choose_containers
from palette.plan.calendar import calendar_of
from palette.plan.cautions import CLOSING, Caution
from palette.plan.day_list import DayLine, list_days
from palette.plan.lamp_plan import LampPlan, expose_people
from palette.plan.making import PaintedPanel, Plan, make_plan
from palette.plan.order_of_work import Stretch, Timetable
from palette.plan.quantities import Need
from palette.plan.settings import Container, Settings
from palette.plan.steps import WorkStep
from palette.plan.tables import areas_csv, quantities_csv, shopping_csv

__all__ = [
    "CLOSING",
    "Areas",
    "Caution",
    "Container",
    "DayLine",
    "LampPlan",
    "Need",
    "PaintedPanel",
    "Plan",
    "Purchase",
    "Settings",
    "Stretch",
    "Timetable",
    "WorkStep",
    "areas_csv",
    "calendar_of",
    "choose_containers",
    "expose_people",
    "list_days",
    "make_plan",
    "measure_areas",
    "quantities_csv",
    "shopping_csv",
]
