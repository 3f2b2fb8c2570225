"""The plan file: one small TOML with what the shop, the shelf, the hall and the helpers are like.

Every key may be left out. A part that cannot be used is left out and told, and the rest of the
plan is still made: a wrong price is no reason to have no map.

::

    [primer] [white] [black] [back] [clear] [fire_retardant]   the last two only where named
        coverage = "8 m2/L"  coats = 2  stock = "1 L"  touch_dry = "30 min"  recoat = "6 h"
    [surface]
        thickness = "18 mm"  trim_thickness = "18 mm"  trim_paint = "black" or a paint's name
        line_width = "0 mm"  back = "painted" or "bare"  white_under = "face" or "sections"
        seams = ["1220 mm"]
    [waste]      grounds = 0.10  colours = 0.15  reserve = "0.25 L"
    [buying]     currency = "EUR"
    [[container]]
        product = "white", a paint's name, or "colours"  size = "2.5 L"  price = 29.00  at_most = 3
    [days]
        start = 2026-10-03  opens = 10:00:00  hours = 6  weekdays = ["sat", "sun"]  helpers = 2
        setup = "30 min"  drying_factor = 1.0  touch_dry = "45 min"  recoat = "3 h"   (of the colours)
    [rates]      ground_m2_an_hour = 14  section_m2_an_hour = 2  line_m_an_hour = 15
    [site]       old_paint = "unknown", "known" or "none"  method = "brush" or "spray"
                 lamps_outdoors = false
    [[lamp]]
        name = "flood"  at = ["60 cm", "-25 cm"]  out = "1.1 m"  aim = ["60 cm", "1.1 m"]  beam = 90
        output_w = 6 or reading = { uw_cm2 = 300, at = "1 m" }  length = "1.2 m"  along = "across" or "up"
        peak_nm = 365  width_nm = 12
    [wanted_light]   places lamps like the first one
        mean_uw_cm2 = 100  evenness = 0.4  out = ["40 cm", "2.5 m"]  above = ["50 cm", "1.2 m"]
        below = ["0 cm", "60 cm"]  at_most = 24
    [people]     visitor = ["1.2 m", "20 cm", "1.5 m"]  painter = ["1.2 m", "20 cm", "40 cm"]
    [paper]      size = "A4", "A3", "Letter" or "Tabloid"  grid = "25 cm" or "1 ft"
                 tracing = "tiled" or "none"  scale = "1:20"
    [labels]
        page = "210 mm x 297 mm"  left = "7.25 mm"  top = "15.15 mm"  width = "63.5 mm"
        height = "38.1 mm"  step_x = "66 mm"  step_y = "38.1 mm"  columns = 3  rows = 7  first = 1

Lengths, volumes and coverage are in metric or US units. Places are measured from the panel's
left and top edges; a minus means beyond them.
"""

from palette.plan_file.file import PlanFile, read_plan_file
from palette.plan_file.values import parse_hours

__all__ = ["PlanFile", "parse_hours", "read_plan_file"]
