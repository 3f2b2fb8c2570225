"""A plan of the demo wall, and plans of random walls."""

from pathlib import Path

import pytest
from random_panels import random_panel, random_scheme

import palette
from palette.papers.looks import look_of_cans
from palette.plan import make_plan
from palette.plan_file import read_plan_file

CANYON = Path(__file__).parents[2] / "examples" / "canyon"


@pytest.fixture(scope="session")
def shelf():
    return palette.read_paints(CANYON / "paints.toml")


@pytest.fixture(scope="session")
def settings():
    return read_plan_file(CANYON / "plan.toml").settings


@pytest.fixture(scope="session")
def demo(shelf, settings):
    panel = palette.read_layout(CANYON / "wall.svg")
    paints = {section: shelf[k * 3 % 8].id for k, section in enumerate(panel.ids)}
    return make_plan([(panel, palette.Scheme(paint_of=paints))], shelf, settings)


@pytest.fixture(scope="session")
def random_plan(shelf, settings):
    def make(seed, *, most=60, size="A4"):
        panel = random_panel(seed, most=most)
        job = (panel, random_scheme(panel, shelf, seed))
        return make_plan([job], shelf, settings.on_paper(size))

    return make


@pytest.fixture(scope="session")
def looks_of():
    return lambda plan: look_of_cans(plan.can_number, plan.paints)
