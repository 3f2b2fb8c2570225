"""What can be wanted of a scheme: one module a rule, one line each in `KINDS`.

A rule's dataclass fields are its options: the keys of a file, their types, units and help are
read from the fields, so a new rule is its module, its line here and its test.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

from palette.demands import Rule
from palette.errors import InputError
from palette.rules.clash import Clash
from palette.rules.depth import Depth
from palette.rules.edges import DEFAULT_EDGE_REACH_MM, edge_sections
from palette.rules.families import Families
from palette.rules.fixing import Never, Only, Pin
from palette.rules.hatch import Hatch, outline_contrast
from palette.rules.matching import Different, Same
from palette.rules.naming import nearest
from palette.rules.option import Reader
from palette.rules.quota import Quota, Share, Variety
from palette.rules.seam import AnyOrder, Seam
from palette.rules.spacing import Spacing
from palette.rules.stock import Stock
from palette.rules.stripe import Stripe

__all__ = [
    "DEFAULT_EDGE_REACH_MM",
    "KINDS",
    "RULE_KINDS",
    "AnyOrder",
    "Clash",
    "Depth",
    "Different",
    "Families",
    "Hatch",
    "Never",
    "Only",
    "Pin",
    "Quota",
    "Same",
    "Seam",
    "Share",
    "Spacing",
    "Stock",
    "Stripe",
    "Variety",
    "describe_kind",
    "describe_options",
    "edge_sections",
    "outline_contrast",
    "rule_from_dict",
    "rules_from_document",
    "schema_of_kind",
    "state_rule",
]

_RULES = (
    Clash,
    Families,
    Depth,
    Pin,
    Only,
    Never,
    Same,
    Different,
    Stock,
    Variety,
    Quota,
    Share,
    Spacing,
    Stripe,
    Seam,
    AnyOrder,
    Hatch,
)

KINDS: dict[str, type[Any]] = {rule.kind: rule for rule in _RULES}
"""The word a brief calls a rule by, and the rule."""

RULE_KINDS = tuple(KINDS)
"""The kinds of rules, as a brief calls them, in the order they are told of."""


def rules_from_document(document: Sequence[Mapping[str, Any]], *, where: str) -> tuple[Rule, ...]:
    """Return the rules of a list of tables, in order.

    Raises
    ------
    InputError
        All faults of the list together.
    """
    if not isinstance(document, list) or not all(isinstance(table, Mapping) for table in document):
        raise InputError(where, "the rules are not a list of tables", "write each rule as a [[rule]] table")
    rules: list[Rule] = []
    faults: list[InputError] = []
    for number, table in enumerate(document, 1):
        try:
            rules.append(rule_from_dict(table, where=f"{where}, rule {number}"))
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    return tuple(rules)


def rule_from_dict(document: Mapping[str, Any], *, where: str) -> Rule:
    """Return the rule one table describes: its ``kind`` and its options.

    Raises
    ------
    InputError
        The kind or a key is unknown, or a value is not what the key expects.
    """
    kind = document.get("kind")
    if not isinstance(kind, str):
        raise InputError(where, "the rule has no kind", f"add kind = one of: {', '.join(KINDS)}")
    if kind not in KINDS:
        raise InputError(where, f'there is no rule "{kind}"', nearest(kind, KINDS))
    readers = {item.name: _reader(item) for item in dataclasses.fields(KINDS[kind])}
    given: dict[str, Any] = {}
    faults: list[InputError] = []
    for key, value in document.items():
        if key == "kind":
            continue
        if key not in readers:
            faults.append(
                InputError(f"{where} ({kind})", f'there is no key "{key}"', nearest(key, readers))
            )
            continue
        try:
            given[key] = readers[key].read(value, f"{where} ({kind}), {key}")
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    rule: Rule = KINDS[kind](**given)
    return rule


def state_rule(rule: Rule) -> str:
    """Return a rule as one plain sentence that says when it is only preferred.

    Parameters
    ----------
    rule : Rule

    Returns
    -------
    str

    Examples
    --------
    >>> brief = palette.read_brief(Path("examples/canyon/brief.toml"))
    >>> palette.state_rule(brief.rules[2])
    'Every paint is on at least 1 section.'
    """
    told = rule.sentence()
    return told if rule.strength == "must" else f"Preferred: {told[0].lower()}{told[1:]}"


def describe_kind(kind: str) -> str:
    """Return what a kind of rule says, in its own first line.

    Parameters
    ----------
    kind : str
        One of `RULE_KINDS`.

    Returns
    -------
    str

    Raises
    ------
    InputError
        There is no such kind.

    Examples
    --------
    >>> palette.describe_kind("clash")
    'Neighbours look different in every chosen light, and two strong neighbours differ in hue.'
    """
    return (_kind(kind).__doc__ or "").strip().splitlines()[0]


def describe_options(kind: str) -> tuple[tuple[str, str, str], ...]:
    """Return key, what it expects and what it does, for each option of a kind of rule.

    Parameters
    ----------
    kind : str
        One of `RULE_KINDS`.

    Returns
    -------
    tuple of (str, str, str)

    Raises
    ------
    InputError
        There is no such kind.
    """
    return tuple(
        (
            item.name,
            _reader(item).expects + (f", {item.metadata['unit']}" if item.metadata["unit"] else ""),
            item.metadata["help"],
        )
        for item in dataclasses.fields(_kind(kind))
    )


def schema_of_kind(kind: str) -> dict[str, Any]:
    """Return the JSON Schema of a table of one kind of rule, its options read from the rule's fields."""
    properties: dict[str, Any] = {"kind": {"const": kind}}
    for item in dataclasses.fields(KINDS[kind]):
        unit = f", {item.metadata['unit']}" if item.metadata["unit"] else ""
        properties[item.name] = {
            "description": f"{item.metadata['help']}; {_reader(item).expects}{unit}",
            **_reader(item).schema,
        }
    return {
        "description": describe_kind(kind),
        "type": "object",
        "required": ["kind"],
        "additionalProperties": False,
        "properties": properties,
    }


def _kind(kind: str) -> type[Any]:
    if kind not in KINDS:
        raise InputError("rules", f'there is no rule "{kind}"', nearest(kind, KINDS))
    return KINDS[kind]


def _reader(item: dataclasses.Field[Any]) -> Reader:
    reader: Reader = item.metadata["reader"]
    return reader
