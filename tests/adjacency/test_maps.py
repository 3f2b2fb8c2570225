"""Touching sections against the contiguity files that ship with libpysal's maps.

Source: libpysal's built-in example sets (wheel 4.14.1). The .gal files name who touches whom: rook
for a shared side, queen for a shared side or corner. Which id column a file uses, and the single
places where a file and its own polygons disagree, were found by comparing the two with shapely.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely
from stonework import corner_pairs, make_panel, side_pairs

from palette.adjacency import find_neighbours

geopandas = pytest.importorskip("geopandas")
libpysal = pytest.importorskip("libpysal")

PANEL_MM = 8000.0  # a map is scaled to a wall of this size

ROOK = {  # set: shapes, contiguity file, column of its ids or None for the row number from 1
    "10740": ("10740.shp", "10740_rook.gal", None),
    "sids2": ("sids2.shp", "sids2.gal", "FIPSNO"),
    "virginia": ("virginia.shp", "virginia_rook.gal", "POLY_ID"),
    "stl": ("stl_hom.shp", "stl.gal", None),
    "stl_hom": ("stl_hom.shp", "stl_hom_rook.gal", "POLY_ID_OG"),
}
QUEEN = {
    "columbus": ("columbus.shp", "columbus.gal", "POLYID"),
    "virginia": ("virginia.shp", "virginia_queen.gal", "FIPS"),
}


def read_shapes(name):
    return geopandas.read_file(libpysal.examples.get_path(name))


def lay_out(shapes):
    """Return the map as a panel, each part of a many-part area a section, and whose part it is."""
    left, bottom, right, top = shapes.total_bounds
    scale = PANEL_MM / max(right - left, top - bottom)
    scaled = shapes.geometry.affine_transform([scale, 0, 0, -scale, -left * scale, top * scale])
    parts, area_of = shapely.get_parts(scaled.to_numpy(), return_index=True)
    panel = make_panel(list(parts), (right - left) * scale, (top - bottom) * scale)
    return panel, {f"s{i}": int(area) for i, area in enumerate(area_of)}


def find_pairs(shapes):
    """Return pairs of areas with a shared side, and pairs that meet at corners or sides."""
    panel, area_of = lay_out(shapes)
    adjacency = find_neighbours(panel, reach_mm=0, min_border_mm=0)

    def areas(pairs):
        return {tuple(sorted((area_of[a], area_of[b]))) for a, b in pairs if area_of[a] != area_of[b]}

    sides = areas(side_pairs(adjacency))
    return sides, sides | areas(corner_pairs(adjacency))


def published_pairs(gal, shapes, column):
    path = libpysal.examples.get_path(gal)
    neighbours = libpysal.io.open(path).read().neighbors
    rows = range(1, len(shapes) + 1) if column is None else shapes[column].astype(int)
    row_of = {int(name): row for row, name in enumerate(rows)}
    return {
        tuple(sorted((row_of[int(float(a))], row_of[int(float(b))])))
        for a, others in neighbours.items()
        for b in others
    }


@pytest.mark.parametrize("name", ROOK)
def test_sides_are_the_published_rook_contiguity(name):
    shapes_name, gal, column = ROOK[name]
    shapes = read_shapes(shapes_name)
    assert find_pairs(shapes)[0] == published_pairs(gal, shapes, column)


@pytest.mark.parametrize("name", QUEEN)
def test_sides_and_corners_are_the_published_queen_contiguity(name):
    shapes_name, gal, column = QUEEN[name]
    shapes = read_shapes(shapes_name)
    assert find_pairs(shapes)[1] == published_pairs(gal, shapes, column)


def test_one_pair_is_missing_from_the_published_queen_file_of_10740():
    # Rows 121 and 122, counted from 1, touch in the shapes but not in the file.
    shapes = read_shapes("10740.shp")
    assert find_pairs(shapes)[1] - published_pairs("10740_queen.gal", shapes, None) == {(120, 121)}
    assert published_pairs("10740_queen.gal", shapes, None) <= find_pairs(shapes)[1]


def test_one_pair_of_the_published_file_of_mexico_does_not_touch():
    # Durango and Jalisco. Ids are ranks of the state names in alphabetical order, from 0.
    shapes = read_shapes("mexicojoin.shp")
    rank = np.argsort(np.argsort(shapes["NAME"].to_numpy(), kind="stable"), kind="stable")
    shapes["rank"] = rank
    published = published_pairs("mexico.gal", shapes, "rank")
    found = find_pairs(shapes)[1]
    names = [{shapes["NAME"][a], shapes["NAME"][b]} for a, b in published - found]
    assert found <= published
    assert names == [{"Durango", "Jalisco"}]


@pytest.mark.parametrize(
    ("shapes_name", "sides", "all_contacts"),
    [("us48.shp", 105, 107), ("G_utm.shp", 416, 431), ("Chicago77.shp", 177, 199)],
)
def test_counts_of_maps_without_a_rook_file(shapes_name, sides, all_contacts):
    # Counted with libpysal's Rook.from_dataframe and Queen.from_dataframe.
    found = find_pairs(read_shapes(shapes_name))
    assert (len(found[0]), len(found[1])) == (sides, all_contacts)


def test_small_gaps_and_reach_do_not_lose_a_real_side():
    # Every county drawn in by half a millimetre: what shared more than 25 mm still does.
    shapes = read_shapes("columbus.shp")
    panel, _ = lay_out(shapes)
    touching = find_neighbours(panel, reach_mm=0, min_border_mm=40)
    drawn_in = [section.outline.buffer(-0.5) for section in panel.sections]
    assert all(outline.geom_type == "Polygon" for outline in drawn_in)
    apart = find_neighbours(make_panel(drawn_in, panel.width_mm, panel.height_mm), reach_mm=1.5)
    assert side_pairs(touching) <= side_pairs(apart)
    assert not set(itertools.chain(*side_pairs(apart))) - set(panel.ids)
