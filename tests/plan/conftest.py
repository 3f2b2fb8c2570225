"""Small panels with areas one can work out by hand."""

import pytest
import shapely

from palette.colour import xyz_of_swatch
from palette.paint import Paint
from palette.panel import Feature, Panel, Section
from palette.scheme import Scheme


def can(name, day, *, stock=1.0, coats=2, spread=8.0):
    swatch = {"daylight": xyz_of_swatch(day, where="test"), "blacklight": xyz_of_swatch(day, where="test")}
    return Paint(id=name, swatch=swatch, stock_l=stock, coats=coats, spread_m2_per_l=spread)


@pytest.fixture
def shelf():
    return (can("blue", "#1f30e6", coats=3), can("yellow", "#f4f01e"), can("red", "#c01010", stock=0.1))


@pytest.fixture
def two_slabs():
    """A face of 2 × 1 m: two slabs of 0.9 m² with a 100 mm gap, a board of 2 × 0.1 m below, a void."""
    return Panel(
        name="two slabs",
        width_mm=2000.0,
        height_mm=1000.0,
        sections=(
            Section(id="left", outline=shapely.box(0, 0, 950, 900)),
            Section(
                id="right",
                outline=shapely.box(1050, 0, 2000, 900).difference(shapely.box(1900, 0, 2000, 100)),
            ),
        ),
        features=(
            Feature(id="board", role="trim", outline=shapely.box(0, 900, 2000, 1000)),
            Feature(id="hole", role="void", outline=shapely.box(1900, 0, 2000, 100)),
        ),
    )


@pytest.fixture
def touching_row():
    """Four slabs of 0.25 m² side by side that share their edges."""
    return Panel(
        name="row",
        width_mm=2000.0,
        height_mm=500.0,
        sections=tuple(
            Section(id=name, outline=shapely.box(500 * k, 0, 500 * (k + 1), 500))
            for k, name in enumerate("abcd")
        ),
    )


@pytest.fixture
def two_slab_scheme():
    return Scheme(paint_of={"left": "yellow", "right": "red"})


@pytest.fixture
def row_scheme():
    return Scheme(paint_of={"a": "yellow", "b": "red", "c": "yellow", "d": "blue"})
