"""plan.toml: shop, shelf, hall and helpers; and the plan that follows from it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import palette
from fuzz.judging import faults_of_refusal
from fuzz.sanity import assert_finite
from palette.plan.day_list import list_days

_CANYON = Path(__file__).resolve().parents[3] / "examples" / "canyon"

EXAMPLES = 80

WORDS = (
    "[primer]", "[white]", "[black]", "[back]", "[clear]", "[fire_retardant]", "coverage", "coats", "stock", "touch_dry",
    "recoat", "[surface]", "thickness", "trim_thickness", "trim_paint", "line_width", "back", "white_under", "seams", "[waste]",
    "grounds", "colours", "reserve", "[buying]", "currency", "[[container]]", "product", "size", "price", "at_most", "[days]",
    "start", "opens", "hours", "weekdays", "helpers", "setup", "drying_factor", "[rates]", "ground_m2_an_hour",
    "section_m2_an_hour", "line_m_an_hour", "[site]", "old_paint", "method", "lamps_outdoors", "[[lamp]]", "name", "at", "out",
    "aim", "beam", "output_w", "reading", "uw_cm2", "length", "along", "peak_nm", "width_nm", "[wanted_light]", "mean_uw_cm2",
    "evenness", "above", "below", "[people]", "visitor", "painter", "[paper]", "grid", "tracing", "scale", "[labels]", "page",
    "left", "top", "width", "height", "step_x", "step_y", "columns", "rows", "first", "8 m2/L", "30 min", "6 h", "1:20", "1:0",
    "2026-10-03", "9999-12-31", "0001-01-01", "10:00:00", "23:59:59", "A4", "Tabloid", "-25 cm", "0 cm", "1 m", "0.001 mm",
)  # fmt: skip


@cache
def _wall() -> tuple[palette.Brief, palette.Scheme]:
    brief = palette.read_brief(_CANYON / "brief.toml")
    ids = [paint.id for paint in brief.paints]
    return brief, palette.Scheme(
        paint_of={name: ids[k % len(ids)] for k, name in enumerate(brief.panel.ids)}
    )


def target(data: bytes) -> object:
    """Read a plan file, make the plan, and count it in whole cents and finite litres."""
    from fuzz.desk import lay

    brief, scheme = _wall()
    found = palette.read_plan_file(lay("plan.toml", data))
    for refusal in found.left_out:
        wrong = faults_of_refusal(refusal, data)
        assert not wrong, wrong[0]
    plan = palette.make_plan(
        [(brief.panel, scheme)], brief.paints, found.settings, left_out=found.left_out, title="hostile"
    )
    assert_finite(found.settings, "settings")
    assert_finite(plan, "plan")
    list_days(plan.timetable)
    for need in plan.needs:
        assert need.litres is None or need.litres >= 0
    return plan


def seeds() -> list[bytes]:
    """Return the demo's plan, and one with the keys it leaves out."""
    rest = """
[clear]
coverage = "10 m2/L"
coats = 2
[fire_retardant]
stock = "1 L"
[surface]
line_width = "6 mm"
white_under = "sections"
back = "bare"
seams = ["1220 mm"]
[[container]]
product = "white"
size = "1 gal"
price = 29.00
at_most = 3
[days]
drying_factor = 1.5
touch_dry = "45 min"
recoat = "3 h"
[rates]
ground_m2_an_hour = 14
section_m2_an_hour = 2
line_m_an_hour = 15
[site]
old_paint = "none"
method = "spray"
lamps_outdoors = true
[[lamp]]
name = "tube"
at = ["60 cm", "-25 cm"]
out = "1.1 m"
reading = { uw_cm2 = 300, at = "1 m" }
length = "1.2 m"
along = "across"
peak_nm = 368
width_nm = 20
[people]
visitor = ["1.2 m", "20 cm", "1.5 m"]
painter = ["1.2 m", "20 cm", "40 cm"]
[paper]
size = "A3"
grid = "1 ft"
tracing = "none"
scale = "1:20"
[labels]
page = "210 mm x 297 mm"
left = "7.25 mm"
top = "15.15 mm"
width = "63.5 mm"
height = "38.1 mm"
step_x = "66 mm"
step_y = "38.1 mm"
columns = 3
rows = 7
first = 1
"""
    wish = '[wanted_light]\nmean_uw_cm2 = 100\nevenness = 0.4\nout = ["40 cm", "2.5 m"]\nat_most = 4\n'
    return [(_CANYON / "plan.toml").read_bytes(), rest.encode(), b"", wish.encode()]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield plans that are too much in one way each."""
    can = '[[container]]\nproduct = "{product}"\nsize = "{size}"\nprice = {price}\n'
    lamp = '[[lamp]]\nname = "l{n}"\nat = ["60 cm", "-25 cm"]\nout = "1.1 m"\noutput_w = 6\n'
    yield (
        "2,000 containers",
        "".join(can.format(product="white", size=f"{k + 1} ml", price=k) for k in range(2000)).encode(),
    )
    yield "100,000 containers", (can.format(product="white", size="1 L", price=9) * 100_000).encode()
    yield "a container of a drop", can.format(product="white", size="0.000001 ml", price=0.01).encode()
    yield "a container of nothing", can.format(product="white", size="0 L", price=0.01).encode()
    yield "containers free of charge", (can.format(product="colours", size="0.01 ml", price=0) * 3).encode()
    yield (
        "primes of cans",
        "".join(
            can.format(product="colours", size=f"{k} ml", price=k / 100)
            for k in (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31)
        ).encode(),
    )
    yield "300 lamps", "".join(lamp.format(n=n) for n in range(300)).encode()
    yield "20,000 lamps", "".join(lamp.format(n=n) for n in range(20_000)).encode()
    yield "60 lamps to be placed", b"[wanted_light]\nmean_uw_cm2 = 1000000\nevenness = 0.95\nat_most = 60\n"
    yield "the last day of the calendar", b"[days]\nstart = 9999-12-31\nhours = 1\n"
    yield (
        "one hour a day, all slow",
        (
            b'[days]\nhours = 1\nhelpers = 1\nweekdays = ["mon"]\ndrying_factor = 20\nsetup = "10000 h"\nrecoat = "10000 h"\n'
            b"[rates]\nground_m2_an_hour = 0.1\nsection_m2_an_hour = 0.1\nline_m_an_hour = 0.1\n"
        ),
    )
    yield "a setup as long as the day", b'[days]\nhours = 2\nsetup = "2 h"\n'
    yield "opens at the end of the day", b"[days]\nopens = 23:59:59.999999\nhours = 24\n"
    yield "10,000 seams", b"[surface]\nseams = [" + b'"1220 mm",' * 10_000 + b"]\n"
    yield (
        "labels of nothing",
        b'[labels]\nwidth = "0 mm"\nheight = "0 mm"\nstep_x = "0 mm"\nstep_y = "0 mm"\n',
    )
    yield (
        "a film of no thickness",
        b'[white]\ncoverage = "1000 m2/L"\n[primer]\ncoverage = "0.01 m2/L"\ncoats = 10\n',
    )
