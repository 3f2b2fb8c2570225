"""The tables about lamps and the light that is wanted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from palette.errors import InputError
from palette.lamps import Lamp, LampWish, axis_intensity, intensity_of_reading
from palette.plan_file.values import parse_place, take_choice, take_point, take_whole
from palette.reading import refuse_unknown_keys, take_name, take_number
from palette.units import parse_length

__all__ = ["read_lamp_table", "read_wish"]


def read_lamp_table(table: Mapping[str, Any], where: str) -> Lamp:
    keys = (
        "name",
        "at",
        "out",
        "aim",
        "beam",
        "output_w",
        "reading",
        "length",
        "along",
        "peak_nm",
        "width_nm",
    )
    refuse_unknown_keys(table, keys, where=where)
    name = take_name(table, "name", where=where)
    x, y = take_point(table, "at", 2, where=where)
    out = parse_place(table.get("out"), where=f"{where}, out")
    if out <= 0:
        what = f'"{name}" hangs {out:g} mm before the wall, which is behind the panel'
        raise InputError(where, what, 'give its distance from the wall, like out = "1.2 m"')
    aim = take_point(table, "aim", 2, where=where) if "aim" in table else (x, y)
    beam = take_number(table, "beam", where=where, least=1, most=175) if "beam" in table else 120.0
    length = parse_length(table["length"], where=f"{where}, length") if "length" in table else 0.0
    more: dict[str, Any] = {}
    for key in ("peak_nm", "width_nm"):
        if key in table:
            more[key] = take_number(table, key, where=where, least=1, most=500)
    if "along" in table:
        more["along"] = take_choice(table, "along", ("across", "up"), where=where)
    return Lamp(
        id=name, x_mm=x, y_mm=y, out_mm=out, aim_x_mm=aim[0], aim_y_mm=aim[1], beam_deg=beam,
        length_mm=length, intensity_w_sr=_intensity(table, beam, length, where=where), **more,
    )  # fmt: skip


def _intensity(table: Mapping[str, Any], beam: float, length: float, *, where: str) -> float:
    if ("output_w" in table) == ("reading" in table):
        what = "its strength is not given" if "reading" not in table else "its strength is given twice"
        raise InputError(where, what, 'give output_w = 6 or reading = { uw_cm2 = 300, at = "1 m" }')
    if "output_w" in table:
        return axis_intensity(take_number(table, "output_w", where=where, least=0.001, most=10_000), beam)
    reading, here = table["reading"], f"{where}, reading"
    if not isinstance(reading, dict) or not set(reading) >= {"uw_cm2", "at"}:
        raise InputError(
            here, f"{reading!r} is not a reading", 'write reading = { uw_cm2 = 300, at = "1 m" }'
        )
    refuse_unknown_keys(reading, ("uw_cm2", "at"), where=here)
    microwatts = take_number(reading, "uw_cm2", where=here, least=0.001, most=1e7)
    distance = parse_length(reading["at"], where=here)
    if distance <= 0:
        raise InputError(here, "it was taken at no distance", 'write at = "1 m"')
    return intensity_of_reading(microwatts / 100, distance, beam_deg=beam, length_mm=length)


def read_wish(table: Mapping[str, Any], _usual: None, where: str) -> LampWish:
    refuse_unknown_keys(table, ("mean_uw_cm2", "evenness", "out", "above", "below", "at_most"), where=where)
    stated: dict[str, Any] = {"mean_w_m2": 1.0, "evenness": 0.4}
    if "mean_uw_cm2" in table:
        stated["mean_w_m2"] = take_number(table, "mean_uw_cm2", where=where, least=0.1, most=1e6) / 100
    if "evenness" in table:
        stated["evenness"] = take_number(table, "evenness", where=where, least=0, most=0.95)
    for key in ("out", "above", "below"):
        if key in table:
            stated[f"{key}_mm"] = take_point(table, key, 2, where=where)
    if "at_most" in table:
        stated["most"] = take_whole(table, "at_most", where=where, least=1, most=60)
    return LampWish(**stated)
