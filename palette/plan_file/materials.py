"""The tables about liquids, surfaces, waste and shops."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from palette.errors import InputError
from palette.plan.settings import Buying, Container, Liquid, Surface, Waste
from palette.plan_file.values import parse_hours, take_choice, take_whole
from palette.reading import refuse_unknown_keys, take_name, take_number
from palette.units import parse_length, parse_spread, parse_volume

__all__ = ["read_buying", "read_container", "read_liquid", "read_surface", "read_waste"]


def read_liquid(table: Mapping[str, Any], usual: Liquid, where: str) -> Liquid:
    refuse_unknown_keys(table, ("coverage", "coats", "stock", "touch_dry", "recoat"), where=where)
    stated: dict[str, Any] = {}
    if "coats" in table:
        stated["coats"] = take_whole(table, "coats", where=where, least=1, most=10)
    if "coverage" in table:
        stated["spread_m2_per_l"] = parse_spread(table["coverage"], where=f"{where}, coverage")
    if "stock" in table:
        stated["stock_l"] = parse_volume(table["stock"], where=f"{where}, stock")
    for key, name in (("touch_dry", "touch_dry_h"), ("recoat", "recoat_h")):
        if key in table:
            stated[name] = parse_hours(table[key], where=f"{where}, {key}")
    words = {"coats": "coats", "coverage": "spread_m2_per_l", "drying": "recoat_h"}
    assumed = tuple(word for word, name in words.items() if name not in stated and word in usual.assumed)
    return replace(usual, assumed=assumed, **stated)


def read_surface(table: Mapping[str, Any], usual: Surface, where: str) -> Surface:
    keys = ("thickness", "trim_thickness", "trim_paint", "line_width", "back", "white_under", "seams")
    refuse_unknown_keys(table, keys, where=where)
    stated: dict[str, Any] = {}
    for key, name in (
        ("thickness", "thickness_mm"),
        ("trim_thickness", "trim_thickness_mm"),
        ("line_width", "line_mm"),
    ):
        if key in table:
            stated[name] = parse_length(table[key], where=f"{where}, {key}")
    if "trim_paint" in table:
        stated["trim_paint"] = take_name(table, "trim_paint", where=where)
    for key, choices in (("back", ("painted", "bare")), ("white_under", ("face", "sections"))):
        if key in table:
            stated[key] = take_choice(table, key, choices, where=where)
    if "seams" in table:
        if not isinstance(table["seams"], list):
            raise InputError(
                f"{where}, seams", "this is not a list", 'write seams = ["1220 mm"], from the left edge'
            )
        stated["seams_x_mm"] = tuple(parse_length(x, where=f"{where}, seams") for x in table["seams"])
    return replace(usual, **stated)


def read_waste(table: Mapping[str, Any], usual: Waste, where: str) -> Waste:
    refuse_unknown_keys(table, ("grounds", "colours", "reserve"), where=where)
    stated: dict[str, Any] = {
        key: take_number(table, key, where=where, least=0, most=2)
        for key in ("grounds", "colours")
        if key in table
    }
    if "reserve" in table:
        stated["reserve_l"] = parse_volume(table["reserve"], where=f"{where}, reserve")
    return replace(usual, **stated)


def read_buying(table: Mapping[str, Any], usual: Buying, where: str) -> Buying:
    refuse_unknown_keys(table, ("currency",), where=where)
    return (
        replace(usual, currency=take_name(table, "currency", where=where)) if "currency" in table else usual
    )


def read_container(table: Mapping[str, Any], where: str) -> Container:
    refuse_unknown_keys(table, ("product", "size", "price", "at_most"), where=where)
    product = take_name(table, "product", where=where)
    if "size" not in table or "price" not in table:
        missing = "size" if "size" not in table else "price"
        raise InputError(where, f'the key "{missing}" is missing', 'add size = "1 L" and price = 19.90')
    if isinstance(table["price"], (int, float)) and table["price"] < 0:
        raise InputError(
            where, f"its price is {table['price']:g}, below zero", "give what it costs, 0 or more"
        )
    price = take_number(table, "price", where=where, least=0, most=1e6)
    most = take_whole(table, "at_most", where=where, least=0, most=10_000) if "at_most" in table else None
    litres = parse_volume(table["size"], where=f"{where}, size")
    return Container(product=product, litres=litres, price=round(price * 100), at_most=most)
