"""The plan file as a whole: read part by part, so that one slip costs one part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Any

from palette.errors import InputError
from palette.formats import FORMATS
from palette.plan.settings import (
    ALWAYS,
    LIQUIDS,
    Buying,
    Days,
    LabelSheet,
    Liquid,
    Paper,
    People,
    Rates,
    Settings,
    Site,
    Surface,
    Waste,
)
from palette.plan_file.hall import read_days, read_labels, read_paper, read_people, read_rates, read_site
from palette.plan_file.lighting import read_lamp_table, read_wish
from palette.plan_file.materials import read_buying, read_container, read_liquid, read_surface, read_waste
from palette.reading import read_toml, refuse_unknown_keys, take_tables

_LIQUID_KEYS = {role.replace(" ", "_"): role for role in LIQUIDS}
_KEYS = (*_LIQUID_KEYS, "surface", "waste", "buying", "container", "days", "rates", "site", "lamp",
         "wanted_light", "people", "paper", "labels")  # fmt: skip

__all__ = ["PlanFile", "read_plan_file"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFile:
    """What a plan file says.

    Parameters
    ----------
    settings : Settings
        With defaults for what it does not say.
    left_out : tuple of InputError
        One error for every part that cannot be used.
    """

    settings: Settings
    left_out: tuple[InputError, ...] = ()


def read_plan_file(path: Path) -> PlanFile:
    """Return what a plan file says.

    Parameters
    ----------
    path : Path

    Returns
    -------
    PlanFile

    Raises
    ------
    InputError
        The file is missing or not TOML. Wrong values do not raise: they are in `left_out`.
    """
    document = FORMATS["plan"].newest(read_toml(path), where=str(path))
    reader = _Reader(document, str(path))
    found = {
        "liquids": reader.liquids(),
        "surface": reader.part("surface", Surface(), read_surface),
        "waste": reader.part("waste", Waste(), read_waste),
        "buying": reader.buying(),
        "days": reader.part("days", Days(), read_days),
        "rates": reader.part("rates", Rates(), read_rates),
        "site": reader.part("site", Site(), read_site),
        "people": reader.part("people", People(), read_people),
        "paper": reader.part("paper", Paper(), read_paper),
        "labels": reader.part("labels", LabelSheet(), read_labels),
        "lamps": reader.rows("lamp", read_lamp_table),
        "lamp_wish": reader.part("wanted_light", None, read_wish),
    }
    reader.unknown()
    return PlanFile(settings=Settings(**found), left_out=tuple(reader.faults))


class _Reader:
    """Reads part by part and collects what is wrong, so that one slip costs one part."""

    def __init__(self, document: Mapping[str, Any], where: str) -> None:
        self.document = document
        self.where = where
        self.faults: list[InputError] = []

    def attempt(self, read: Callable[[], Any], otherwise: Any) -> Any:
        try:
            return read()
        except InputError as fault:
            self.faults.extend(self.placed(each) for each in fault.each())
            return otherwise

    def placed(self, fault: InputError) -> InputError:
        """Add the file's name to a fault a value found by itself."""
        if fault.where.startswith(self.where):
            return fault
        return InputError(f"{self.where}, {fault.where}", fault.what, fault.mend)

    def table(self, name: str) -> Mapping[str, Any]:
        value = self.document.get(name, {})
        if not isinstance(value, dict):
            raise InputError(
                f"{self.where}, {name}", "this is not a table", f"write [{name}] and its keys below it"
            )
        return value

    def part(self, name: str, usual: Any, read: Callable[[Mapping[str, Any], Any, str], Any]) -> Any:
        if name not in self.document:
            return usual
        return self.attempt(lambda: read(self.table(name), usual, f"{self.where}, {name}"), usual)

    def rows(self, name: str, read: Callable[[Mapping[str, Any], str], Any]) -> tuple[Any, ...]:
        tables = self.attempt(lambda: take_tables(self.document, name, where=self.where), [])
        found = []
        for number, table in enumerate(tables, 1):
            where = f"{self.where}, {name} {number}"
            row = self.attempt(partial(read, table, where), None)
            if row is not None:
                found.append(row)
        return tuple(found)

    def liquids(self) -> Mapping[str, Liquid]:
        found: dict[str, Liquid] = {}
        for key, role in _LIQUID_KEYS.items():
            if key in self.document or role in ALWAYS:
                usual = LIQUIDS[role]
                found[role] = self.part(key, usual, read_liquid)
        return MappingProxyType(found)

    def buying(self) -> Buying:
        usual = Buying(containers=self.rows("container", read_container))
        return self.part("buying", usual, read_buying)  # type: ignore[no-any-return]

    def unknown(self) -> None:
        self.attempt(lambda: refuse_unknown_keys(self.document, _KEYS, where=self.where), None)
