"""The plan file: what it can say, and one sentence for everything it gets wrong."""

import datetime as dt
import re
from pathlib import Path

import pytest

import palette.plan_file
from palette.errors import InputError
from palette.plan.settings import Settings
from palette.plan_file import parse_hours, read_plan_file

EXAMPLE = Path(__file__).parents[2] / "examples" / "canyon" / "plan.toml"


def read(tmp_path, text):
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    return read_plan_file(path)


def sentences(tmp_path, text):
    return [str(fault).replace(str(tmp_path) + "/", "") for fault in read(tmp_path, text).left_out]


def test_the_demo_s_plan_file_is_read_whole():
    said = read_plan_file(EXAMPLE)
    assert said.left_out == ()
    settings = said.settings
    assert settings.liquids["primer"].stock_l == 0.5
    assert settings.liquids["primer"].assumed == ()
    assert settings.liquids["back"].assumed == ("coats", "coverage", "drying")
    assert settings.days.start == dt.date(2026, 10, 2)
    assert settings.days.weekdays == (4, 5, 6)
    assert len(settings.buying.containers) == 8
    assert settings.buying.containers[0].price == 1490
    assert [lamp.y_mm for lamp in settings.lamps] == [-250.0, -250.0]


def test_an_empty_file_means_the_usual(tmp_path):
    said = read(tmp_path, "")
    assert said.left_out == ()
    assert set(said.settings.liquids) == {"primer", "white", "black", "back"}


def test_us_units_are_read(tmp_path):
    text = """
    [white]
    coverage = "350 ft2/gal"
    stock = "1 gal"
    [surface]
    thickness = "3/4 in"
    [[container]]
    product = "white"
    size = "1 qt"
    price = 18
    """
    settings = read(tmp_path, text).settings
    # 350 ft²/gal = 8.589835 m²/L; 3/4 in = 19.05 mm; 1 US qt = 0.946352946 L (NIST SP 811).
    assert settings.liquids["white"].spread_m2_per_l == pytest.approx(8.589835, abs=1e-6)
    assert settings.liquids["white"].stock_l == pytest.approx(3.785411784)
    assert settings.surface.thickness_mm == pytest.approx(19.05)
    assert settings.buying.containers[0].litres == pytest.approx(0.946352946)


def test_a_reading_says_how_strong_a_lamp_is(tmp_path):
    lamp = (
        '[[lamp]]\nname = "flood"\nat = ["1 m", "0 m"]\nout = "1 m"\nreading = { uw_cm2 = 300, at = "2 m" }'
    )
    # 300 µW/cm² is 3 W/m²; at 2 m that is 12 W/sr.
    assert read(tmp_path, lamp).settings.lamps[0].intensity_w_sr == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('[[container]]\nproduct = "white"\nsize = "1 L"\nprice = -3',
         "plan.toml, container 1: its price is -3, below zero; give what it costs, 0 or more."),
        ('[[container]]\nproduct = "white"\nprice = 3',
         'plan.toml, container 1: the key "size" is missing; add size = "1 L" and price = 19.90.'),
        ('[[lamp]]\nname = "flood"\nat = ["1 m", "0 m"]\nout = "-40 cm"\noutput_w = 6',
         'plan.toml, lamp 1: "flood" hangs -400 mm before the wall, which is behind the panel; give its '
         'distance from the wall, like out = "1.2 m".'),
        ('[[lamp]]\nname = "flood"\nat = ["1 m", "0 m"]\nout = "40 cm"',
         "plan.toml, lamp 1: its strength is not given; give output_w = 6 or "
         'reading = { uw_cm2 = 300, at = "1 m" }.'),
        ('[white]\ncoverage = "8"',
         'plan.toml, white, coverage: "8" is not a coverage; write it like 8 m2/L or 320 ft2/gal.'),
        ('[days]\nweekdays = ["fri", "satt"]', "plan.toml, days, weekdays: 'satt' is not a day; "
         'write "sat" if that was meant.'),
        ('[days]\nstart = "tomorrow"',
         "plan.toml, days: \"start\" is 'tomorrow'; write start = 2026-10-03, without quotation marks."),
        ('[days]\ntouch_dry = "soon"',
         "plan.toml, days, touch_dry: 'soon' is not a duration; write it like 30 min, 2 h or 1 h 30 min."),
        ('[paper]\nsize = "B5"',
         "plan.toml, paper: \"size\" is 'B5'; use one of: A4, A3, Letter, Tabloid."),
        ('[labels]\ncolumns = 9', "plan.toml, labels: its labels reach 598.8 × 281.9 mm on a page of "
         "210.0 × 297.0 mm"),
        ("[papper]\n", 'plan.toml: the key "papper" is not known here; write "paper" if that was meant.'),
        ("waste = 3", "plan.toml, waste: this is not a table; write [waste] and its keys below it."),
        ("[waste]\ngrounds = -1", 'plan.toml, waste: "grounds" is -1; write a number from 0 to 2.'),
    ],
)  # fmt: skip
def test_each_slip_is_one_sentence_and_costs_one_part(tmp_path, text, expected):
    found = sentences(tmp_path, text + '\n[site]\nmethod = "spray"\n')
    assert len(found) == 1
    assert found[0].startswith(expected)
    # What stands beside the slip is still read.
    assert read(tmp_path, text + '\n[site]\nmethod = "spray"\n').settings.site.method == "spray"


def test_a_bad_row_leaves_the_good_ones(tmp_path):
    rows = '[[container]]\nproduct = "white"\nsize = "1 L"\nprice = {}\n'
    said = read(tmp_path, rows.format(-1) + rows.format(12.5))
    assert len(said.left_out) == 1
    assert [offer.price for offer in said.settings.buying.containers] == [1250]


def test_what_is_no_toml_is_refused(tmp_path):
    with pytest.raises(InputError, match="this is not TOML"):
        read(tmp_path, "[white")
    with pytest.raises(InputError, match="there is no such file"):
        read_plan_file(tmp_path / "none.toml")


@pytest.mark.parametrize(
    ("text", "hours"), [("30 min", 0.5), ("2 h", 2.0), ("1 h 30 min", 1.5), ("0.5 h", 0.5)]
)
def test_durations(text, hours):
    assert parse_hours(text, where="x") == pytest.approx(hours)


@pytest.mark.parametrize(
    ("table", "field", "examples"),
    [
        ("waste", "waste", {}),
        ("rates", "rates", {}),
        ("labels", "labels", {}),
        # These keys are shown with a value that is not the default.
        ("days", "days", {"start", "weekdays"}),
        ("surface", "surface", {"trim_paint", "back", "white_under", "seams", "line_width"}),
    ],
)
def test_the_keys_shown_have_their_defaults(tmp_path, table, field, examples):
    shown = palette.plan_file.__doc__.split(f"[{table}]")[1].split("\n    [")[0]
    keys = re.findall(r'(\w+) = ("[^"]*"|[\d.:-]+)', shown)
    assert keys
    plan = tmp_path / "plan.toml"
    lines = [f"{key} = {value.rstrip('.')}" for key, value in keys if key not in examples]
    plan.write_text("\n".join([f"[{table}]", *lines]))
    said = read_plan_file(plan)
    assert not said.left_out
    assert getattr(said.settings, field) == getattr(Settings(), field)
