"""From any description of a paint to its look: measured figures, swatches, the trade's rules of thumb."""

import numpy as np
import pytest
from measured import (
    DAYLIGHT,
    FOLDER,
    LAMPS,
    NAMES,
    clean,
    needs_matrices,
    raw_matrix,
    reference_power,
    reference_xyz,
)

from palette.appearance import appearance_of
from palette.coat_table import tabulate_coats
from palette.coating import coating_notes, film_of_paint, looks_of, surfaces_of
from palette.colour import difference, lab_of_xyz, xyz_of_swatch
from palette.light import BLACKLIGHT, light_unit, spectrum_of, white_of
from palette.light_words import parse_light
from palette.optics.film import film_over
from palette.optics.finish import photon_yield
from palette.optics.ground import GROUND_NAMES, ground_matrix
from palette.optics.parameters import Band, GlowParameters, PaintParameters
from palette.paint import Paint
from palette.supplies import generic_paints, read_paints, with_swatches

pytestmark = pytest.mark.filterwarnings("ignore")


def light(name):
    return parse_light(name, where="test")


def measured(name):
    return Paint(id=name, matrix=clean(raw_matrix(name)))


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_measured_matrices_under_daylight(name):
    # Figures by numpy and colour-science, printed to three places.
    table = appearance_of([measured(name)], [light("D65")])
    xyz, lab = DAYLIGHT[name]
    assert 100 * table.xyz[0, 0] == pytest.approx(xyz, abs=2e-3)
    assert float(difference(table.lab[0, 0], np.array(lab))) < 0.01


@needs_matrices
@pytest.mark.parametrize("name", NAMES)
def test_measured_matrices_under_lamps(name):
    for lamp, (x, y, luminance) in zip(("365/12", "395/15"), LAMPS[name], strict=True):
        known = light(lamp)
        xyz = appearance_of([measured(name)], [known]).xyz[0, 0]
        assert xyz[:2] / xyz.sum() == pytest.approx([x, y], abs=1e-4)
        per_irradiance = xyz[1] * light_unit(known) / spectrum_of(known).sum()
        assert per_irradiance == pytest.approx(luminance, rel=2e-4)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", ["D65", "A", "365/12", "395/15", "405/15", "385/10"])
def test_any_matrix_agrees_with_plain_sums(seed, name):
    # An invented matrix; the sums use colour-science's observer and illuminants, not palette's.
    rng = np.random.default_rng(seed)
    emission, excitation = np.arange(380, 781, 10)[:, None], np.arange(300, 781, 10)[None, :]
    peak, width = rng.uniform(430, 620), rng.uniform(20, 40)
    shape = np.exp(-(((emission - peak) / width) ** 2))
    matrix = 0.4 * shape / shape.sum() * (excitation < peak) * (emission > excitation)
    matrix = matrix + rng.uniform(0.05, 0.5) * (emission == excitation)
    power = reference_power(name)
    known = reference_xyz(matrix, power)
    found = looks_of(matrix, light(name))
    if "/" in name:
        assert found[:2] / found.sum() == pytest.approx(known[:2] / known.sum(), abs=0.003)
    else:
        white = reference_xyz(np.eye(49)[8:], power)
        ours = lab_of_xyz(found, white_of(light(name)))
        assert float(difference(ours, lab_of_xyz(known / white[1], white / white[1]))) < 0.5


# Pairs as a hobbyist would pick them off a screen; the demo's are among them.
SWATCHES = [
    ("#f4f01e", "#d4ff3a"), ("#38d64e", "#12c85a"), ("#ff9126", "#ff8a12"), ("#ff5fae", "#ff4a86"),
    ("#e2362c", "#d81f12"), ("#1f86e6", "#1446d8"), ("#8247c8", "#5420a0"), ("#f5f6f8", "#86b4ff"),
    ("#ff6a00", "#ff3d00"), ("#00a651", "#39ff14"), ("#f2f2f2", "#2030ff"), ("#202020", "#060606"),
    ("#c8a070", "#100810"),
]  # fmt: skip


@pytest.mark.parametrize(("day", "dark"), SWATCHES)
def test_two_swatches_come_back_within_one_unit(day, dark):
    swatch = {"daylight": xyz_of_swatch(day, where="t"), "blacklight": xyz_of_swatch(dark, where="t")}
    paint = Paint(id="paint", swatch=swatch)
    assert coating_notes(paint) == ()
    surface = surfaces_of(paint, (paint.coats,), ("white",))[0, 0]
    for name, kind in (("D65", "daylight"), ("365/12", "blacklight")):
        known = light(name)
        found = lab_of_xyz(looks_of(surface, known), white_of(known))
        assert float(difference(found, lab_of_xyz(swatch[kind]))) < 1.0


def test_swatches_no_paint_can_have_are_named():
    # Daylight is a tenth violet and ultraviolet: what glows bright yellow cannot be black by day.
    swatch = {
        "daylight": xyz_of_swatch("#000000", where="t"),
        "blacklight": xyz_of_swatch("#d4ff3a", where="t"),
    }
    notes = coating_notes(Paint(id="night lemon", swatch=swatch))
    assert any('paint "night lemon"' in note and "daylight swatch" in note for note in notes)
    assert all(note.endswith(".") and "CIEDE2000" in note for note in notes)


def test_swatches_stand_as_they_are_under_the_plain_lights():
    swatch = {"daylight": np.array([0.3, 0.4, 0.1]), "blacklight": np.array([0.1, 0.2, 0.05])}
    table = appearance_of([Paint(id="p", swatch=swatch)], (light("daylight"), light("blacklight")))
    assert np.array_equal(table.xyz[0], [swatch["daylight"], swatch["blacklight"]])


@pytest.fixture(scope="module")
def generic():
    return {
        paint.id.removeprefix("generic ").removeprefix("fluorescent "): paint for paint in generic_paints()
    }


@pytest.fixture(scope="module")
def shelf(generic):
    lights = [light(name) for name in ("D65", "365/12", "395/15", "led-405")]
    return list(generic), tabulate_coats(list(generic.values()), lights, grounds=GROUND_NAMES)


def test_yellows_and_oranges_are_brightest_and_blue_and_violet_weakest(shelf):
    # Common practice, and the order of eight measured materials under 365 to 405 nm.
    names, table = shelf
    glowing = [name for name in names if name not in ("plain white", "black")]
    for lamp in (1, 2, 3):
        y = {name: table.xyz[names.index(name), lamp, 1, 0, 1] for name in glowing}
        order = sorted(glowing, key=lambda name: -y[name])
        assert set(order[:2]) == {"yellow", "yellow-green"}
        assert set(order[-2:]) == {"blue", "violet"}
        assert order.index("orange") in (2, 3)


def test_paint_over_black_hardly_glows(shelf):
    # Common practice: white below, or a dull partial colour. One coat, against the same over white.
    names, table = shelf
    white, black = (table.grounds.index(name) for name in ("white", "black"))
    for name in names[:8]:
        one = table.xyz[names.index(name), 1, 0, :, 1]
        assert one[black] < 0.45 * one[white]


def test_plain_white_is_dull_and_brightened_white_glows_blue(shelf):
    names, table = shelf
    plain, bright = (
        table.xyz[names.index("plain white"), 1, 1, 0],
        table.xyz[names.index("UV white"), 1, 1, 0],
    )
    assert plain[1] < 0.02 * bright[1]
    # Chromaticity of measured brightened whites under 365 nm: 0.15, 0.06 to 0.07.
    assert bright[:2] / bright.sum() == pytest.approx([0.153, 0.064], abs=0.01)


def test_more_coats_are_purer_and_then_nothing_changes(shelf):
    names, table = shelf
    for name in ("red", "green", "blue", "violet"):
        lab = table.lab[names.index(name), 0, :, 0]
        chroma_by_depth = np.hypot(lab[:, 1], lab[:, 2]) / lab[:, 0]
        assert np.all(np.diff(chroma_by_depth) > 0)
        steps = difference(lab[1:], lab[:-1])
        assert np.all(np.diff(steps) < 0)


@pytest.mark.parametrize(
    ("name", "peak", "efficiencies"),
    # Measured (RIT open data, 1999): emission bin; radiated over received at 365, 395, 405 nm.
    [
        ("pink", 610, (0.196, 0.221, 0.236)),
        ("orange", 595, (0.203, 0.290, 0.324)),
        ("yellow-green", 510, (0.213, 0.443, 0.464)),
        ("UV white", 435, (0.516, 0.566, 0.491)),
    ],
)
def test_generic_paints_are_tied_to_measured_ones(generic, name, peak, efficiencies):
    surface = surfaces_of(generic[name], (2,), ("white",))[0, 0]
    emission, excitation = np.arange(380, 781, 10), np.arange(300, 781, 10)
    luminous = np.where(emission[:, None] > excitation[None, :], surface, 0)
    assert abs(emission[np.argmax(luminous[:, 6:11].sum(axis=1))] - peak) <= 10
    found = np.interp((365, 395, 405), excitation, luminous.sum(axis=0))
    assert found == pytest.approx(efficiencies, rel=0.15, abs=0.01)


def test_every_film_keeps_energy_and_photons(generic):
    grounds = np.stack([ground_matrix(name) for name in GROUND_NAMES])
    for paint in generic.values():
        surfaces = film_over(film_of_paint(paint), (1, 2, 3, 4), grounds)
        assert surfaces.sum(axis=-2).max() <= 1.0
        for surface in surfaces[:, 0]:
            assert photon_yield(surface).max() <= 1.0


def test_titanium_white_takes_the_ultraviolet():
    # Rutile absorbs below about 400 nm: common knowledge of the paint trade.
    diagonal = np.diag(ground_matrix("white"))
    assert diagonal[:9].max() < 0.1
    assert diagonal[15:].min() > 0.85


def test_the_table_has_its_axes(shelf):
    names, table = shelf
    assert table.xyz.shape == (len(names), 4, 4, len(GROUND_NAMES), 3)
    assert table.brightness.max() == pytest.approx(1.0)
    assert np.all(table.brightness.max(axis=0) == pytest.approx(1.0))
    # The same numbers as the one paint under the one lamp.
    alone = looks_of(surfaces_of(generic_paints()[2], (3,), ("wood",)), light("395/15"))
    assert table.xyz[2, 2, 2, GROUND_NAMES.index("wood")] == pytest.approx(alone[0, 0], rel=1e-3)


@needs_matrices
def test_a_matrix_in_a_paint_file(tmp_path):
    folder = FOLDER.resolve()
    path = tmp_path / "paints.toml"
    path.write_text(
        f'[[paint]]\nname = "orange"\nmatrix = "{folder}/HERPIORA.BFC"\n'
        '[[paint]]\nname = "pink"\nbody = "#c05070"\nground = "grey"\n'
        "glow = { peak = 610, width = 54, strength = 0.4 }\n"
    )
    orange, pink = read_paints(path)
    assert orange.matrix is not None
    assert "measuring noise" in orange.notes[0]
    # What a paint map shows agrees with what the physics says.
    table = appearance_of([orange, pink], (light("daylight"), BLACKLIGHT))
    assert orange.swatch["daylight"] == pytest.approx(table.xyz[0, 0])
    assert pink.swatch["blacklight"] == pytest.approx(table.xyz[1, 1])
    assert pink.ground == "grey"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("glow = { peak = 610, strength = 1.2 }", '"strength" is 1.2; write a number from 0 to 1'),
        ('body = "#ffffff"\nglow = { peak = 610, strength = 0.9 }', "a yield above 1 cannot be"),
        ("glow = { peak = 310, strength = 0.2 }", '"peak" is 310; write a number from 380 to 780'),
        ("glow = { strength = 0.2 }", 'the key "peak" is missing'),
        ("glow = { peak = 610 }", 'the key "strength" is missing'),
        ("glow = 3", "it is not a table"),
        ("body = [[400, 1.4]]", "is out of range"),
        ('body = "#12"', '"#12" is not a colour'),
        ('body = "#888888"\nground = "chalk"', 'there is no ground "chalk"'),
        ('matrix = "nowhere.bfc"', "there is no such file"),
    ],
)
def test_wrong_parameters_are_told(tmp_path, line, words):
    from palette.errors import InputError

    path = tmp_path / "paints.toml"
    path.write_text(f'[[paint]]\nname = "p"\n{line}\n')
    with pytest.raises(InputError) as stop:
        read_paints(path)
    assert words in str(stop.value)
    assert str(tmp_path) in str(stop.value)
    assert "\n" not in str(stop.value)


def test_a_glow_no_film_holds_is_told_and_the_nearest_taken():
    # Power given off over power received above 0.62 was measured on none of eight materials (RIT open
    # bispectral data, 1999); a finish with 0.75 cannot be a film that also sends its glow into the ground.
    strong = PaintParameters(
        body=((380.0, 0.05), (530.0, 0.05), (580.0, 0.5), (780.0, 0.5)),
        glows=(
            GlowParameters(
                bands=(Band(peak=560.0, width=50.0),),
                strength=0.75,
                excitation=((300.0, 0.4), (480.0, 1.0), (530.0, 1.0), (560.0, 0.0)),
            ),
        ),
    )
    told = coating_notes(with_swatches(Paint(id="glare", parameters=strong)))
    assert len(told) == 1
    assert 'paint "glare": no film in 2 coats has all of that body and glow' in told[0]
    assert all(coating_notes(paint) == () for paint in generic_paints())
