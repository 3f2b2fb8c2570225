"""What a swatch card says: look-alikes, order of brightness, coats worth painting."""

from itertools import combinations
from types import SimpleNamespace

import colour
import numpy as np
import pytest

from palette.colour import xyz_of_swatch
from palette.light import BLACKLIGHT, DAYLIGHT
from palette.light_words import parse_light
from palette.paint import Paint
from palette.preview import draw_swatch_card
from palette.rules.clash import Clash
from palette.supplies import generic_paints
from palette.swatch_study import study_paints, study_to_dict

pytestmark = pytest.mark.filterwarnings("ignore")


def swatch_paint(name, day, dark):
    return Paint(
        id=name,
        swatch={"daylight": xyz_of_swatch(day, where="t"), "blacklight": xyz_of_swatch(dark, where="t")},
    )


@pytest.fixture(scope="module")
def twins():
    paints = (
        swatch_paint("teal", "#1fa6a0", "#2038d8"),
        swatch_paint("cream", "#f2ecd8", "#2440d4"),
        swatch_paint("rose", "#ff5fae", "#ff4a86"),
    )
    return study_paints(paints, (DAYLIGHT, BLACKLIGHT))


def test_twins_are_named_with_their_lights(twins):
    assert [(pair.a, pair.b) for pair in twins.lookalikes] == [("teal", "cream")]
    assert twins.lookalikes[0].sentence() == (
        "teal and cream: far apart under daylight, twins under blacklight"
    )


def test_differences_are_ciede2000(twins):
    # colour-science's CIEDE2000 of the same Lab values.
    told = dict(twins.lookalikes[0].differences)
    for column, light in enumerate(("daylight", "blacklight")):
        known = colour.delta_E(*twins.appearance.lab[:2, column], method="CIE 2000")
        assert told[light] == pytest.approx(float(known), abs=1e-6)
    assert told["blacklight"] < 20 <= told["daylight"]


def test_the_card_calls_alike_what_the_clash_rule_forbids(generic):
    # The rule judges pairs by its own default keys; a card of the same paints must agree pair by pair.
    survey = SimpleNamespace(appearance=generic.appearance)
    for light in generic.appearance.lights:
        allowed = Clash(lights=(light,)).allowed_pairs(survey)
        told = {frozenset((p.a, p.b)) for p in generic.lookalikes if dict(p.alike)[light]}
        names = generic.appearance.paints
        forbidden = {
            frozenset((names[p], names[q]))
            for p, q in combinations(range(len(names)), 2)
            if not allowed[p, q]
        }
        assert told == forbidden
    assert any(min(dict(pair.differences).values()) > 20 for pair in generic.lookalikes)


def test_brightness_is_by_luminance(twins):
    for light, order in twins.brightest_first:
        y = {p: twins.appearance.xyz[k, twins.appearance.light_index(light), 1]
             for k, p in enumerate(twins.appearance.paints)}  # fmt: skip
        assert list(order) == sorted(order, key=lambda paint: -y[paint])


@pytest.fixture(scope="module")
def generic():
    lights = [parse_light(word, where="t") for word in ("D65", "led-365")]
    return study_paints(generic_paints(), lights)


def test_an_opaque_paint_needs_one_coat_and_weak_ones_many(generic):
    # Common practice: two coats of the strong hues, three and more of blue and violet.
    advice = {told.paint.removeprefix("generic "): told for told in generic.advice}
    assert advice["plain white"].even_from == 1
    assert advice["plain white"].enough_at == 1
    for strong in ("fluorescent orange", "fluorescent pink"):
        assert advice[strong].even_from <= 2
        for weak in ("fluorescent blue", "fluorescent violet"):
            assert advice[weak].even_from is None or advice[weak].even_from >= 3
            assert advice[weak].blotch > advice[strong].blotch


def test_a_measured_surface_gets_no_advice_on_coats():
    matrix = np.zeros((41, 49))
    matrix[np.arange(41), np.arange(41) + 8] = 0.5
    study = study_paints([Paint(id="card", matrix=matrix)], (DAYLIGHT,))
    assert study.advice == ()
    assert study_to_dict(study)["coats"] == []
    assert draw_swatch_card(study, width_px=600).image.shape[1] == 600


def test_the_dictionary_is_plain(generic):
    import json

    said = json.loads(json.dumps(study_to_dict(generic)))
    assert {row["light"] for row in said["looks"]} == {"D65", "led-365"}
    assert set(said["parameters"]) == {paint.id for paint in generic.paints}
    # Luminance for each W/m², by the definition of a radiance factor: L = 683 / pi E Y / 100.
    yellow = next(r for r in said["looks"] if r["paint"].endswith("yellow") and r["light"] == "led-365")
    assert 10 < 683 / np.pi * yellow["Y"] / 100 < 60  # cd/m²; the measured yellow gives 33
