"""Paints and lights from files."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from palette.colour import Array, xyz_of_swatch
from palette.errors import InputError
from palette.light import BLACKLIGHT, DAYLIGHT, Light, LightKind
from palette.paint import DEFAULT_COATS, DEFAULT_SPREAD_M2_PER_L, Paint
from palette.reading import (
    nearest,
    read_toml,
    refuse_unknown_keys,
    take_number,
    take_tables,
    take_text,
)
from palette.units import parse_spread, parse_volume

__all__ = ["light_by_name", "paints_from_tables", "read_paints"]

_PAINT_KEYS = ("name", "swatch", "stock", "coats", "coverage")
_LIGHT_KINDS: tuple[LightKind, ...] = ("daylight", "blacklight")
_LIGHTS = {light.id: light for light in (DAYLIGHT, BLACKLIGHT)}


def light_by_name(name: str, *, where: str) -> Light:
    """Return a light palette knows by name.

    Raises
    ------
    InputError
        No light has that name.
    """
    if name not in _LIGHTS:
        raise InputError(where, f'there is no light "{name}"', nearest(name, _LIGHTS))
    return _LIGHTS[name]


def read_paints(path: Path) -> tuple[Paint, ...]:
    """Return the paints of a TOML file of ``[[paint]]`` tables.

    Keys: ``name``; ``swatch = { daylight = "#rrggbb", blacklight = "#rrggbb" }``, each sRGB hex
    or ``[L, a, b]`` against D65; ``stock`` (``"0.75 L"``, ``"16 fl oz"``); ``coats``;
    ``coverage`` per coat (``"7 m2/L"``, ``"285 ft2/gal"``).

    Raises
    ------
    InputError
        With every fault of the file.
    """
    document = read_toml(path)
    refuse_unknown_keys(document, ("version", "name", "paint"), where=str(path))
    return paints_from_tables(take_tables(document, "paint", where=str(path)), where=str(path))


def paints_from_tables(tables: list[dict[str, Any]], *, where: str) -> tuple[Paint, ...]:
    """Return the paints of ``[[paint]]`` tables; names must differ."""
    if not tables:
        raise InputError(where, "it lists no paints", "add a [[paint]] table for each can")
    paints: list[Paint] = []
    faults: list[InputError] = []
    for number, table in enumerate(tables, 1):
        try:
            paint = _paint_from_table(table, number=number, where=where)
            if any(paint.id == other.id for other in paints):
                what = "two paints have this name"
                raise InputError(f'{where}, paint "{paint.id}"', what, "rename one of them")
            paints.append(paint)
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    return tuple(paints)


def _paint_from_table(table: dict[str, Any], *, number: int, where: str) -> Paint:
    name = take_text(table, "name", where=f"{where}, paint {number}")
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
    return Paint(
        id=name,
        swatch=_swatch(table.get("swatch"), where=here),
        stock_l=parse_volume(table["stock"], where=f"{here}, stock") if "stock" in table else None,
        coats=coats,
        spread_m2_per_l=spread,
    )


def _swatch(value: Any, *, where: str) -> Mapping[LightKind, Array]:
    mend = 'write swatch = { daylight = "#rrggbb", blacklight = "#rrggbb" }'
    if value is None:
        raise InputError(where, "it has no swatch", mend)
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
