"""NUMBERS.md lists what the code computes with, no more and no less; samples of both against others.

The values of colour science come from colour-science 0.4.7; limits and lengths from the documents
named beside each.
"""

import dataclasses
import math
import re
import tomllib
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from written_numbers import (
    DRAWING,
    GUARD,
    PAGE,
    READING,
    ROOT,
    cell_of,
    constants_of,
    data_files,
    formulas_of,
    lies_in,
    modules,
    numbers_of,
    numbers_of_file,
    rows_of_page,
    says,
    where_of,
)

import palette
from palette.colour import D65_WHITE, difference, encode_srgb, lab_of_xyz, linear_srgb_of_xyz
from palette.eyes import Eye, deficiency_matrix
from palette.illuminant import daylight, incandescent_a, table_d50, table_d65
from palette.lamps.exposure import ACTINIC_LIMIT_J_M2, DAY_S, UVA_LIMIT_J_M2, actinic_weight
from palette.optics.film import SURFACE_IN, SURFACE_OUT
from palette.preview.tone import oklab_of_linear
from palette.rules import KINDS
from palette.spectrum import EXCITATION_NM, observer
from palette.units import INCH_MM, SQUARE_FOOT_M2, US_GALLON_L

ROWS = rows_of_page()
LISTED = {
    (row.where, name): value for row in ROWS for name, value in zip(row.names, row.values, strict=True)
}
README = Path(__file__).parents[1] / "README.md"


@pytest.mark.parametrize("path", modules(), ids=where_of)
def test_every_number_of_a_module_is_listed_with_its_value(path):
    written = {name: numbers_of(value) for name, value in constants_of(path).items()} | formulas_of(path)
    cells = constants_of(path) | formulas_of(path)
    for name, numbers in written.items():
        key = (where_of(path), name)
        guard = lies_in(path, READING) and GUARD.match(name)
        if key not in LISTED and (guard or lies_in(path, DRAWING) or name.endswith("width_px")):
            continue
        assert key in LISTED, f"list {key} in NUMBERS.md: {cell_of(cells[name])}"
        assert says(LISTED[key], numbers), f"{key} is {cell_of(cells[name])}, NUMBERS.md says {LISTED[key]}"


def test_nothing_is_listed_that_is_not_there():
    known = {
        (where_of(path), name) for path in modules() for name in (*constants_of(path), *formulas_of(path))
    }
    assert not [key for key in LISTED if key not in known]


def test_no_name_is_listed_twice():
    keys = [(row.where, name) for row in ROWS for name in row.names]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(
    ("cell", "numbers", "agree"),
    [
        ("`1e-06`", [1e-6], True),
        ("`[-0.04, 2]`", [-0.04, 2], True),
        ("`[-0.04, 2]`", [0.04, 2], False),
        ("`{'25 cm': 250.0}`", [250.0], True),
        ("`8 * 3600`", [8, 3600], True),
        ("`(1e-30, 1e+30)`", [1e-30, 1e30], True),
        ("`(1e-30, 1e+30)`", [1e-30, 1e31], False),
        ("`8 * 3600`", [3600, 8], False),
        ("`1.2 * LEAST_PT`", [1.2], True),
        ("3 numbers, sum 6", [1, 2, 3], True),
        ("3 numbers, sum 6", [1, 2, 3.1], False),
        ("3 numbers, sum 6", [6], False),
    ],
)
def test_cells_are_read_as_they_are_meant(cell, numbers, agree):
    assert says(cell, numbers) is agree


def test_every_source_is_of_a_kind_the_page_explains():
    text = PAGE.read_text(encoding="utf-8")
    table = text.split("| word | what it means |\n|---|---|\n")[1].split("\n\n")[0]
    kinds = {line.split(" | ")[0].strip("| ") for line in table.splitlines()}
    assert {"standard", "measured", "judgement", "memory", "tuned"} <= kinds
    said = [re.split(r"[:;,]", row.source)[0].strip() for row in ROWS]
    assert not [word for word in said if word not in kinds]
    assert not kinds - set(said) - {"data sheet", "paper", "table"}


def test_every_row_has_a_unit_and_every_named_standard_its_year_or_clause():
    assert not [row for row in ROWS if not row.unit or not row.meaning]
    for row in ROWS:
        if row.source.startswith("standard"):
            assert re.search(r"\d", row.source) or "SI," in row.source, row


def test_data_files_are_listed_with_their_numbers_and_state_their_origin():
    text = PAGE.read_text(encoding="utf-8")
    for path in data_files():
        name = str(path.relative_to(ROOT / "data"))
        stated = re.search(rf"\| `{re.escape(name)}` \| ([^|]+) \|", text)
        numbers = numbers_of_file(path)
        assert stated, f"list {name}: {len(numbers)} numbers, sum {math.fsum(numbers):.8g}"
        assert says(stated[1].strip(), numbers), (
            f"{name}: {len(numbers)} numbers, sum {math.fsum(numbers):.8g}"
        )
        head = path.read_text(encoding="utf-8")[:700]
        assert re.search(r"Origin:|open\s+#?\s*bispectral data set", head), (
            f"{name} does not say its origin"
        )


# README and the rules say the same defaults.


def _stated_defaults():
    table = README.read_text(encoding="utf-8").split("| kind | what it says | keys and defaults |")[1]
    for line in table.split("\n\n")[0].splitlines()[2:]:
        kinds, _, keys = (cell.strip() for cell in line.strip("|").split(" | "))
        for key, value in re.findall(r"`(\w+) = ([^`{]+?)`", keys.replace("\\*", "*")):
            for kind in re.findall(r"`([\w-]+)`", kinds):
                yield kind, key, tomllib.loads(f"value = {value}")["value"]


# Keys whose value in the table is an example of what may be written; they have no default of their own.
EXAMPLES = {
    ("clash", "eyes"), ("families", "apart"), ("spacing", "distance"), ("seam", "side"), ("seam", "panel"),
    ("seam", "scheme"), ("any-order", "mirrored"), ("hatch", "required_exit"),
}  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "key", "value"), [row for row in _stated_defaults() if row[:2] not in EXAMPLES]
)
def test_the_readme_states_the_defaults_of_the_rules(kind, key, value):
    default = next(item.default for item in dataclasses.fields(KINDS[kind]) if item.name == key)
    if isinstance(value, str) and value.endswith(" mm"):
        value = float(value.removesuffix(" mm"))
    assert (list(default) if isinstance(default, tuple) else default) == value


@pytest.mark.parametrize(
    ("said", "where", "name", "per"),
    [
        (r'reach = "(\d+) mm"', "adjacency/contact", "DEFAULT_REACH_MM", 1),
        (r'min_border = "(\d+) mm"', "adjacency/contact", "DEFAULT_MIN_BORDER_MM", 1),
        (r"lie within (\d+) degrees of opposite", "adjacency/borders", "FACING_DEGREES", 1),
        (r"at most (\d+) MiB", "page/guarding", "MAX_UPLOAD_BYTES", 2**20),
        (r"photos (\d+) megapixels", "photos/picture", "MOST_MEGAPIXELS", 1),
        (r"--width 3840 --names` draws one picture, (\d+) pixels", "preview/canvas", "MIN_PX", 1),
    ],
)
def test_the_readme_and_the_code_say_the_same_number(said, where, name, per):
    found = re.findall(said, README.read_text(encoding="utf-8"))
    numbers = numbers_of(constants_of(ROOT / f"{where}.py")[name])
    value = math.prod(numbers) if len(numbers) == 1 else numbers[0] * numbers[1] ** numbers[2]
    assert found
    assert {float(text) * per for text in found} == {value}


# Samples, held against colour-science and the documents themselves.


@pytest.fixture(scope="module")
def cs():
    return pytest.importorskip("colour", reason="colour-science is in the test extra")


def test_srgb_is_that_of_the_standard(cs):
    space = cs.RGB_COLOURSPACES["sRGB"]
    rng = np.random.default_rng(1)
    xyz = rng.uniform(0, 1, (200, 3))
    # The standard's own matrices of four digits are 3e-4 from each other's inverse.
    assert np.allclose(linear_srgb_of_xyz(xyz), xyz @ np.asarray(space.matrix_XYZ_to_RGB).T, atol=3e-4)
    linear = rng.uniform(0, 1, 500)
    coded = np.asarray(cs.eotf_inverse(linear, "sRGB")) * 255
    assert np.abs(encode_srgb(linear) - coded).max() <= 0.5 + 1e-9


def test_white_and_lab_are_the_cies(cs):
    printed = cs.xy_to_XYZ(cs.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
    # Printed to four digits of x and y, XYZ is known to some units of the fourth digit.
    assert np.allclose(D65_WHITE, printed, atol=3e-4)
    xyz = np.random.default_rng(2).uniform(0.001, 1, (200, 3))
    white = cs.XYZ_to_xy(D65_WHITE)
    assert np.allclose(
        lab_of_xyz(xyz / D65_WHITE * cs.xy_to_XYZ(white), cs.xy_to_XYZ(white)),
        cs.XYZ_to_Lab(xyz / D65_WHITE * cs.xy_to_XYZ(white), white), atol=1e-9,
    )  # fmt: skip


def test_ciede2000_is_that_of_the_paper(cs):
    labs = np.random.default_rng(3).uniform([0, -100, -100], [100, 100, 100], (300, 3))
    assert np.allclose(difference(labs[:-1], labs[1:]), cs.delta_E(labs[:-1], labs[1:], method="CIE 2000"))


def test_observer_and_lights_are_the_cies(cs):
    table = cs.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    at = cs.SpectralShape(380, 780, 10)
    assert np.allclose(observer(), table.copy().align(at).values, atol=1e-6)
    wide = cs.SpectralShape(300, 780, 10)
    for name, ours in {"A": incandescent_a(), "D50": table_d50(), "D65": table_d65()}.items():
        # The CIE prints its tables with up to six digits.
        assert np.allclose(ours, cs.SDS_ILLUMINANTS[name].copy().align(wide).values, atol=1e-3)
    blue = cs.sd_CIE_illuminant_D_series(cs.temperature.CCT_to_xy_CIE_D(7500), shape=wide)
    assert np.allclose(daylight(7500), blue.values, atol=0.15)


@pytest.mark.parametrize(
    ("kind", "theirs"), [("protan", "Protanomaly"), ("deutan", "Deuteranomaly"), ("tritan", "Tritanomaly")]
)
@pytest.mark.parametrize("severity", [0.0, 0.3, 0.5, 1.0])
@pytest.mark.filterwarnings("ignore:.*tritanomaly")
def test_deficiency_matrices_are_the_authors(cs, kind, theirs, severity):
    expected = cs.matrix_cvd_Machado2009(theirs, severity)
    assert np.allclose(deficiency_matrix(Eye(kind=kind, severity=severity)), expected, atol=1e-6)


def test_oklab_is_that_of_its_author(cs):
    linear = np.random.default_rng(4).uniform(0, 1, (200, 3))
    xyz = linear @ np.asarray(cs.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ).T
    # Its matrices and the standard's four digits part in the fourth.
    assert np.allclose(oklab_of_linear(linear), cs.XYZ_to_Oklab(xyz), atol=1e-3)


def test_a_watt_of_green_light_has_683_lumens(cs):
    # SI, definition of the candela; README: a wall has 2.17 Y cd/m² for each W/m², white 100.
    said = re.search(r"a wall has (\d\.\d+) Y cd/m²", README.read_text(encoding="utf-8"))
    assert said
    assert float(said[1]) == pytest.approx(cs.constants.CONSTANT_K_M / (100 * math.pi), abs=5e-3)


def test_surfaces_follow_fresnel():
    # Refractive index 1.5; the diffuse one by integrating Fresnel's equations over the hemisphere.
    assert pytest.approx(((1.5 - 1) / (1.5 + 1)) ** 2) == SURFACE_IN
    angle = np.linspace(0, math.pi / 2, 200_001)
    inside = np.minimum(1.5 * np.sin(angle), 1.0)
    ci, ct = np.cos(angle), np.sqrt(1 - inside**2)
    s, p = ((1.5 * ci - ct) / (1.5 * ci + ct)) ** 2, ((ci - 1.5 * ct) / (ci + 1.5 * ct)) ** 2
    diffuse = np.trapezoid((s + p) / 2 * 2 * np.sin(angle) * ci, angle)
    assert pytest.approx(diffuse, abs=1e-4) == SURFACE_OUT


def test_exposure_limits_are_those_of_icnirp_2004():
    # Health Phys. 87(2), 171-186: 10^4 J/m² of UV-A and 30 J/m² weighted, both in 8 h; its table 1.
    assert (UVA_LIMIT_J_M2, ACTINIC_LIMIT_J_M2, DAY_S) == (1e4, 30.0, 28_800)
    printed = {300: 0.300, 305: 0.060, 313: 0.006, 365: 0.00011, 400: 0.000030}
    for nm, weight in printed.items():
        # The table is rounded to one or two digits.
        assert float(actinic_weight(np.array(nm))) == pytest.approx(weight, rel=0.1)
    # At 320 nm equation and table part by a quarter; the equation is on the safe side.
    assert 0.0010 < float(actinic_weight(np.array(320))) < 0.0013


def test_lengths_and_volumes_are_exact():
    # NIST SP 811, appendix B.8, and Handbook 44, appendix C.
    assert INCH_MM == 25.4
    assert pytest.approx(3.785411784, rel=1e-15) == US_GALLON_L
    assert pytest.approx(0.09290304, rel=1e-15) == SQUARE_FOOT_M2


def test_grids_rise_evenly():
    assert {b - a for a, b in pairwise(EXCITATION_NM)} == {10.0}


def test_the_page_ships_with_the_package():
    assert PAGE.is_file()
    assert PAGE.parent == Path(palette.__file__).parent / "data"
