"""Paints and lights from files."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any

from palette.appearance import appearance_of
from palette.coating import film_notes, has_spectrum
from palette.colour import Array, xyz_of_swatch
from palette.errors import InputError
from palette.formats import FORMATS
from palette.light import BLACKLIGHT, DAYLIGHT, Light, LightKind
from palette.light_words import parse_light
from palette.optics.fitting import fit
from palette.optics.ground import GROUND_NAMES, WHITE_GROUND
from palette.paint import DEFAULT_COATS, DEFAULT_SPREAD_M2_PER_L, Paint
from palette.paint_parameters import parameters_from_table
from palette.parsing import parse_toml
from palette.reading import (
    nearest,
    read_toml,
    refuse_unknown_keys,
    take_name,
    take_number,
    take_tables,
    take_text,
)
from palette.references import find_named
from palette.spectral_files import LAMP_SUFFIXES, MATRIX_SUFFIXES, read_lamp, read_matrix
from palette.units import parse_spread, parse_volume

__all__ = [
    "fit_paints",
    "generic_paints",
    "light_by_name",
    "paints_from_tables",
    "parse_paints",
    "read_paints",
    "with_swatches",
]

_MOST_PAINTS = 250
"""Each takes some hundredths of a second to work out; a whole shop's range is still read in seconds."""

_LOOK_KEYS = ("matrix", "body", "glow", "swatch")
_PAINT_KEYS = ("name", *_LOOK_KEYS, "ground", "stock", "coats", "coverage")
_LIGHT_KINDS: tuple[LightKind, ...] = ("daylight", "blacklight")


def light_by_name(name: str, *, where: str = "light", folder: Path | None = None) -> Light:
    """Return the light of a word: a name, an LED (``365/12``), a mixture, or a lamp file.

    A lamp file ends in ``.toml`` or ``.csv`` and is sought in `folder`.

    Parameters
    ----------
    name : str
    where : str
        For messages.
    folder : Path or None

    Returns
    -------
    Light

    Raises
    ------
    InputError
        It is none of these.

    Examples
    --------
    >>> palette.light_by_name("365/12 + 0.02*led-white").kind
    'blacklight'
    """
    if name.lower().endswith(LAMP_SUFFIXES):
        return read_lamp(find_named(folder or Path(), name))
    return parse_light(name, where=where)


def read_paints(path: Path) -> tuple[Paint, ...]:
    """Return the paints of a TOML file of ``[[paint]]`` tables, or the one of a bare matrix.

    A file that ends in ``.bfc``, ``.csv`` or ``.txt`` is one measured paint, named after the file.

    Keys: ``name``; ``stock`` (``"0.75 L"``, ``"16 fl oz"``); ``coats``; ``coverage`` per coat
    (``"7 m2/L"``, ``"285 ft2/gal"``); ``ground``, what it lies on; and how it looks, best known
    first: ``matrix = "FILE"``, a measured finished surface; ``body`` and ``glow``, parameters
    (see `palette.paint_parameters`); ``swatch = { daylight = "#rrggbb", blacklight = "#rrggbb" }``,
    each sRGB hex or ``[L, a, b]`` against D65.

    Parameters
    ----------
    path : Path

    Returns
    -------
    tuple of Paint

    Raises
    ------
    InputError
        With every fault of the file.
    """
    if path.suffix.lower() in MATRIX_SUFFIXES:
        row = {"name": path.stem, "matrix": path.name}
        return paints_from_tables([row], where=str(path), folder=path.parent)
    return _paints_of(read_toml(path), where=str(path), folder=path.parent)


def parse_paints(text: str, *, where: str = "paints", folder: Path | None = None) -> tuple[Paint, ...]:
    """Return the paints of the text of a paint file.

    Parameters
    ----------
    text : str
    where : str
        For messages.
    folder : Path or None
        Where matrix files are sought.

    Returns
    -------
    tuple of Paint

    Raises
    ------
    InputError
        With every fault of the text.
    """
    return _paints_of(parse_toml(text, where=where), where=where, folder=folder)


def _paints_of(document: dict[str, Any], *, where: str, folder: Path | None) -> tuple[Paint, ...]:
    document = FORMATS["paints"].newest(document, where=where)
    refuse_unknown_keys(document, ("name", "paint"), where=where)
    return paints_from_tables(take_tables(document, "paint", where=where), where=where, folder=folder)


def generic_paints() -> tuple[Paint, ...]:
    """Return the paints that ship with palette: generic, no product's.

    Their parameters are tied to measured fluorescent materials; the data file says how.

    Returns
    -------
    tuple of Paint
    """
    source = files("palette") / "data" / "paints" / "generic.toml"
    document = tomllib.loads(source.read_text("utf-8"))
    return paints_from_tables(document["paint"], where="generic paints")


def paints_from_tables(
    tables: list[dict[str, Any]], *, where: str, folder: Path | None = None
) -> tuple[Paint, ...]:
    """Return the paints of ``[[paint]]`` tables; names must differ; files are sought in `folder`."""
    if not tables:
        raise InputError(where, "it lists no paints", "add a [[paint]] table for each can")
    if len(tables) > _MOST_PAINTS:
        what = f"it lists {len(tables):,} paints, more than {_MOST_PAINTS}"
        raise InputError(where, what, "keep those that are to be had")
    paints: list[Paint] = []
    faults: list[InputError] = []
    for number, table in enumerate(tables, 1):
        try:
            paint = _paint_from_table(table, number=number, where=where, folder=folder or Path())
            if any(paint.id == other.id for other in paints):
                what = "two paints have this name"
                raise InputError(f'{where}, paint "{paint.id}"', what, "rename one of them")
            paints.append(paint)
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    return tuple(paints)


def _paint_from_table(table: dict[str, Any], *, number: int, where: str, folder: Path) -> Paint:
    name = take_name(table, "name", where=f"{where}, paint {number}")
    here = f'{where}, paint "{name}"'
    refuse_unknown_keys(table, _PAINT_KEYS, where=here)
    coats = DEFAULT_COATS
    if "coats" in table:
        value = take_number(table, "coats", where=here, least=1, most=10)
        if value != int(value):
            raise InputError(here, f'"coats" is {value:g}', "write a whole number from 1 to 10")
        coats = int(value)
    spread = DEFAULT_SPREAD_M2_PER_L
    if "coverage" in table:
        spread = parse_spread(table["coverage"], where=f"{here}, coverage")
    ground = WHITE_GROUND
    if "ground" in table:
        ground = take_text(table, "ground", where=here)
        if ground not in GROUND_NAMES:
            raise InputError(here, f'there is no ground "{ground}"', nearest(ground, GROUND_NAMES))
    if not any(key in table for key in _LOOK_KEYS):
        mend = (
            'write swatch = { daylight = "#rrggbb", blacklight = "#rrggbb" }, or body and glow, or matrix'
        )
        raise InputError(here, "it has no swatch", mend)
    measured = None
    if "matrix" in table:
        measured = read_matrix(find_named(folder, take_text(table, "matrix", where=here)))
    paint = Paint(
        id=name,
        swatch=_swatch(table["swatch"], where=here) if "swatch" in table else MappingProxyType({}),
        stock_l=parse_volume(table["stock"], where=f"{here}, stock") if "stock" in table else None,
        coats=coats,
        spread_m2_per_l=spread,
        ground=ground,
        matrix=measured.matrix if measured is not None else None,
        parameters=parameters_from_table(table, where=here) if "body" in table or "glow" in table else None,
        notes=measured.notes if measured is not None else (),
    )
    return with_swatches(paint)


def fit_paints(paints: Sequence[Paint]) -> tuple[Paint, ...]:
    """Return the paints with each measured matrix replaced by the parameters fitted to it.

    The matrix is taken for the paint's own coats over white, so that other coats and grounds can
    be foretold.

    Parameters
    ----------
    paints : sequence of Paint

    Returns
    -------
    tuple of Paint
    """
    return tuple(
        with_swatches(replace(paint, matrix=None, parameters=fit(paint.matrix)))
        if paint.matrix is not None
        else paint
        for paint in paints
    )


def with_swatches(paint: Paint) -> Paint:
    """Return a paint whose swatches agree with what is best known of it.

    So that a paint map, or a key beside it, shows a measured paint as the previews do.
    """
    if not has_spectrum(paint):
        return paint
    looks = appearance_of([paint], [DAYLIGHT, BLACKLIGHT]).xyz[0]
    swatch: dict[LightKind, Array] = {"daylight": looks[0], "blacklight": looks[1]}
    # The film is made by now; what it misses is told once, however often this is asked.
    notes = tuple(dict.fromkeys((*paint.notes, *film_notes(paint))))
    return replace(paint, swatch=MappingProxyType(swatch), notes=notes)


def _swatch(value: Any, *, where: str) -> Mapping[LightKind, Array]:
    mend = 'write swatch = { daylight = "#rrggbb", blacklight = "#rrggbb" }'
    if not isinstance(value, dict) or not value:
        raise InputError(where, "its swatch is not a table of colours", mend)
    refuse_unknown_keys(value, _LIGHT_KINDS, where=f"{where}, swatch")
    return MappingProxyType(
        {
            kind: xyz_of_swatch(value[kind], where=f"{where}, {kind} swatch")
            for kind in _LIGHT_KINDS
            if kind in value
        }
    )
