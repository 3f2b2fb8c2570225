"""The brief: one small TOML that says what is wanted, and the walk from it to a scheme."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from palette.adjacency import DEFAULT_MIN_BORDER_MM, DEFAULT_REACH_MM, find_neighbours
from palette.appearance import appearance_of
from palette.beside import facing_from_files
from palette.demands import Rule, Verdict, check_scheme
from palette.errors import InputError
from palette.filing import finish_interrupted
from palette.formats import FORMATS
from palette.layouts import panel_from_tape, read_layout
from palette.light import BLACKLIGHT, DAYLIGHT, Light
from palette.paint import Paint
from palette.panel import Panel
from palette.panel_run import join_panels
from palette.parsing import parse_toml
from palette.preview import (
    Change,
    Preview,
    Style,
    by_day,
    draw_change,
    draw_neighbours,
    draw_preview,
    draw_side_by_side,
    draw_split,
    half_width_px,
    usual_style,
)
from palette.progress import OnProgress, Step, silent
from palette.reading import (
    nearest,
    read_toml,
    refuse_unknown_keys,
    take_name,
    take_number,
    take_tables,
    take_text,
)
from palette.references import file_name, find_named
from palette.rules import rules_from_document
from palette.scheme import Scheme
from palette.solving import DEFAULT_AIMS, Aim, Limits, read_aims, solve
from palette.supplies import light_by_name, paints_from_tables, read_paints
from palette.survey import Survey
from palette.units import parse_length, parse_size

__all__ = [
    "Brief",
    "Outcome",
    "change_rules",
    "draw_borders",
    "draw_change_of",
    "draw_outcome",
    "draw_under",
    "judge",
    "read_brief",
    "run",
    "survey_brief",
]

_KEYS = (
    "name",
    "panel",
    "panels",
    "gap",
    "paints",
    "paint",
    "lights",
    "rules",
    "rule",
    "aims",
    "neighbours",
    "seed",
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Brief:
    """What is wanted: a panel, the paints on the shelf, the lights it is seen under, the rules.

    Parameters
    ----------
    path : Path
        The file it was read from.
    name : str
        For headings.
    panel : Panel
    paints : tuple of Paint
    lights : tuple of Light
    rules : tuple of Rule
    reach_mm : float
        The widest gap across which two sections are still neighbours, mm.
    min_border_mm : float
        The shortest border that counts, mm.
    seed : int
        Steers the engine where several schemes are equally good.
    aims : tuple of Aim
        What to improve once the rules are kept, most important first.
    """

    path: Path
    name: str
    panel: Panel
    paints: tuple[Paint, ...]
    lights: tuple[Light, ...]
    rules: tuple[Rule, ...]
    reach_mm: float = DEFAULT_REACH_MM
    min_border_mm: float = DEFAULT_MIN_BORDER_MM
    seed: int = 0
    aims: tuple[Aim, ...] = tuple(Aim(name=name) for name in DEFAULT_AIMS)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcome:
    """Everything a brief leads to.

    Parameters
    ----------
    brief : Brief
    survey : Survey
        What was measured.
    scheme : Scheme
        The best found.
    verdict : Verdict
        What the checker says of it.
    """

    brief: Brief
    survey: Survey
    scheme: Scheme
    verdict: Verdict


def read_brief(path: Path) -> Brief:
    """Return the brief of a TOML file; paths in it are relative to it.

    Keys: ``name``; ``panel``, a layout file, ``{ file = …, size = … }`` or the tables of a
    tape-measure layout; or ``panels``, layout files joined to a run from left to right, with a
    ``gap`` between them; ``paints``, a paint file, or ``[[paint]]`` tables; ``lights``, names;
    ``rules``, a file of ``[[rule]]`` tables, or those tables; ``[neighbours]`` with ``reach``
    and ``min_border``; ``aims``, names like ``"repeats"`` or ``"weakest-pair within 2"``, most
    important first; ``seed``.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Brief

    Raises
    ------
    InputError
        With every fault found, each naming its file and place.

    Examples
    --------
    >>> brief = palette.read_brief(Path("examples/canyon/brief.toml"))
    >>> [rule.kind for rule in brief.rules]
    ['clash', 'depth', 'quota']
    """
    where = str(path)
    finish_interrupted(path.parent)
    document = FORMATS["brief"].newest(read_toml(path), where=where)
    refuse_unknown_keys(document, _KEYS, where=where)
    found: dict[str, Any] = {}
    faults: list[InputError] = []
    # Each part is read even when another is wrong, so that one run tells everything.
    parts = {
        "panel": _panel,
        "paints": _paints,
        "lights": _lights,
        "rules": _rules,
        "aims": _aims,
        "spans": _spans,
    }
    for part, read in parts.items():
        try:
            found[part] = read(document, path)
        except InputError as fault:
            faults.extend(fault.each())
    InputError.gather(faults)
    reach_mm, min_border_mm = found.pop("spans")
    name = take_name(document, "name", where=where) if "name" in document else found["panel"].name
    seed = take_number(document, "seed", where=where, least=0, most=2**31) if "seed" in document else 0
    if seed != int(seed):
        raise InputError(where, f'"seed" is {seed:g}', "write a whole number")
    return Brief(
        path=path, name=name, seed=int(seed), reach_mm=reach_mm, min_border_mm=min_border_mm, **found
    )


def change_rules(brief: Brief, rules: str | Sequence[Rule]) -> Brief:
    """Return the brief with other rules.

    Parameters
    ----------
    brief : Brief
    rules : str or sequence of Rule
        The text of ``[[rule]]`` tables, as a brief has them; or rules, as a way out has them.

    Returns
    -------
    Brief

    Raises
    ------
    InputError
        With every fault of the text.
    """
    if not isinstance(rules, str):
        return replace(brief, rules=tuple(rules))
    where = "rules"
    document = parse_toml(rules, where=where)
    refuse_unknown_keys(document, ("rule",), where=where)
    return replace(brief, rules=_rules_of(document, brief.path.parent, where=where))


def survey_brief(brief: Brief) -> Survey:
    """Return the ground of a brief: neighbours found, looks worked out, rules found usable.

    Parameters
    ----------
    brief : Brief

    Returns
    -------
    Survey

    Raises
    ------
    InputError
        A rule names a light, section or paint that is not there, or a paint's look is unknown.
    """
    survey = Survey(
        panel=brief.panel,
        adjacency=find_neighbours(brief.panel, reach_mm=brief.reach_mm, min_border_mm=brief.min_border_mm),
        paints=brief.paints,
        appearance=appearance_of(brief.paints, brief.lights),
    )
    if len(brief.paints) == 1 and survey.adjacency.neighbours:
        what = f'"{brief.paints[0].id}" is the only paint, and neighbours need two'
        raise InputError(str(brief.path), what, "add another paint")
    InputError.gather(
        InputError(f"{brief.path}, {fault.where}", fault.what, fault.mend)
        for rule in brief.rules
        for fault in rule.faults(survey)
    )
    return survey


def run(brief: Brief, *, limits: Limits | None = None, on_progress: OnProgress = silent) -> Outcome:
    """Walk the whole way: survey the panel, find the best scheme, judge it.

    Parameters
    ----------
    brief : Brief
    limits : Limits or None
        When to stop looking for something better.
    on_progress : callable
        Told of each step.

    Returns
    -------
    Outcome

    Raises
    ------
    NoScheme
        The rules cannot all hold.

    Examples
    --------
    >>> outcome = palette.run(palette.read_brief(Path("examples/canyon/brief.toml")))
    >>> outcome.verdict.kept, outcome.scheme.proof.status
    (True, 'optimal')
    >>> round(outcome.verdict.weakest.difference)  # CIEDE2000
    38
    """
    on_progress(Step(room="survey", done=0, total=3, note="finding the neighbours"))
    survey = survey_brief(brief)
    on_progress(Step(room="solving", done=1, total=3, note="finding the best scheme"))
    scheme = solve(
        survey, brief.rules, aims=brief.aims, limits=limits, seed=brief.seed, on_progress=on_progress
    )
    on_progress(Step(room="checking", done=2, total=3, note="judging the scheme"))
    verdict = check_scheme(survey, brief.rules, scheme)
    return Outcome(brief=brief, survey=survey, scheme=scheme, verdict=verdict)


def judge(brief: Brief, scheme: Scheme, *, where: str = "scheme") -> Outcome:
    """Judge a scheme someone else made, or edited, against a brief.

    Parameters
    ----------
    brief : Brief
    scheme : Scheme
    where : str
        Its file, for messages.

    Returns
    -------
    Outcome

    Raises
    ------
    InputError
        The scheme leaves a section out, or names a section or a paint that does not exist.
    """
    survey = survey_brief(brief)
    verdict = check_scheme(survey, brief.rules, scheme, where=where)
    return Outcome(brief=brief, survey=survey, scheme=scheme, verdict=verdict)


def draw_under(
    outcome: Outcome,
    light: str,
    *,
    width_px: int = 1600,
    names: bool = False,
    style: Style | None = None,
) -> Preview:
    """Return the outcome under one of the brief's lights, or any other that `light_by_name` knows.

    ``both`` shows the first and the last light side by side, ``split`` in one panel. Without a
    `style`, each light has its usual one.

    Parameters
    ----------
    outcome : Outcome
    light : str
    width_px : int
        300 to 8192.
    names : bool
        Write each section's name on it.
    style : Style or None

    Returns
    -------
    Preview

    Raises
    ------
    InputError
        There is no such light, a paint's look under it is not known, or the width cannot be drawn.

    Examples
    --------
    >>> outcome = palette.run(palette.read_brief(Path("examples/canyon/brief.toml")))
    >>> palette.draw_under(outcome, "blacklight", width_px=300).image.shape
    (225, 300, 3)
    """
    lights = {known.id: known for known in outcome.brief.lights}
    if light in ("both", "split"):
        ends = (outcome.brief.lights[0], outcome.brief.lights[-1])
        each_px = half_width_px(width_px) if light == "both" else width_px
        first, last = (_draw(outcome, each, each_px, names, style) for each in ends)
        return (
            draw_side_by_side(first, last, width_px=width_px)
            if light == "both"
            else draw_split(first, last)
        )
    if light in lights:
        return _draw(outcome, lights[light], width_px, names, style)
    other = _another_light(light, outcome.brief)
    looks = appearance_of(outcome.brief.paints, (other,))
    seen = replace(outcome, survey=replace(outcome.survey, appearance=looks))
    return _draw(seen, other, width_px, names, style)


def _another_light(light: str, brief: Brief) -> Light:
    try:
        return light_by_name(light, where="--light", folder=brief.path.parent)
    except InputError:
        # A slip in a figure or a file keeps its own sentence; a mere word may be a brief's light.
        if any(mark in light for mark in "/+.*"):
            raise
        known = [each.id for each in brief.lights]
        mend = nearest(light, [*known, "both", "split"])
        raise InputError("--light", f'the brief has no light "{light}"', mend) from None


def draw_change_of(
    outcome: Outcome, *, width_px: int = 800, names: bool = False, style: Style | None = None
) -> Change:
    """Return the change from the brief's first light to its last as a moving picture.

    Parameters
    ----------
    outcome : Outcome
    width_px : int
        300 to 8192.
    names : bool
        Write each section's name on it.
    style : Style or None
        Each light's usual one where left out.

    Returns
    -------
    Change

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    ends = (outcome.brief.lights[0], outcome.brief.lights[-1])
    return draw_change(*(_draw(outcome, each, width_px, names, style) for each in ends))


def _draw(outcome: Outcome, light: Light, width_px: int, names: bool, style: Style | None) -> Preview:
    if style is not None and light.kind == "daylight":
        style = by_day(style)
    return draw_preview(
        outcome.survey,
        outcome.scheme,
        light,
        width_px=width_px,
        names=names,
        style=style or usual_style(light),
    )


def draw_outcome(outcome: Outcome, *, width_px: int = 1600, names: bool = False) -> dict[str, Preview]:
    """Return every picture of an outcome by file name: one for each light, ``both``, ``neighbours``.

    Parameters
    ----------
    outcome : Outcome
    width_px : int
        300 to 8192, of each picture.
    names : bool
        Write each section's name on it.

    Returns
    -------
    dict of str to Preview
        By file name without its ending.

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    pictures = {
        file_name(light.id): draw_under(outcome, light.id, width_px=width_px, names=names)
        for light in outcome.brief.lights
    }
    pictures["both"] = draw_under(outcome, "both", width_px=width_px, names=names)
    pictures["neighbours"] = draw_borders(outcome, width_px=width_px)
    return pictures


def draw_borders(outcome: Outcome, *, width_px: int = 1600) -> Preview:
    """Return the map of the borders, each drawn by how different its two paints look.

    Parameters
    ----------
    outcome : Outcome
    width_px : int
        300 to 8192.

    Returns
    -------
    Preview

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    survey = outcome.survey
    return draw_neighbours(
        survey.panel, survey.adjacency, survey=survey, scheme=outcome.scheme, width_px=width_px
    )


def _panel(document: Mapping[str, Any], path: Path) -> Panel:
    if "panels" in document:
        return _run_of_panels(document, path)
    if "gap" in document:
        raise InputError(f"{path}, gap", "there is no run of panels", "write panels = […], or leave it out")
    value = document.get("panel")
    mend = 'write panel = "wall.svg", or a [panel] table with the layout itself'
    if value is None:
        raise InputError(str(path), "it names no panel", mend)
    if isinstance(value, str):
        return read_layout(find_named(path.parent, value))
    if isinstance(value, dict) and "file" in value:
        refuse_unknown_keys(value, ("file", "size"), where=f"{path}, panel")
        file = take_text(value, "file", where=f"{path}, panel")
        size = parse_size(value["size"], where=f"{path}, panel size") if "size" in value else None
        return read_layout(find_named(path.parent, file), size=size)
    if isinstance(value, dict):
        return panel_from_tape(value, source=f"{path}, panel")
    raise InputError(str(path), f'"panel" is {value!r}', mend)


def _run_of_panels(document: Mapping[str, Any], path: Path) -> Panel:
    files, where = document["panels"], f"{path}, panels"
    if "panel" in document:
        what = "it names one panel and a run of panels as well"
        raise InputError(str(path), what, "keep either panel = … or panels = […]")
    if not isinstance(files, list) or not all(isinstance(file, str) for file in files):
        raise InputError(where, f"{files!r} is not a list of files", 'write panels = ["a.svg", "b.svg"]')
    gap = parse_length(document["gap"], where=f"{path}, gap") if "gap" in document else 0.0
    return join_panels(
        [read_layout(find_named(path.parent, file)) for file in files], gap_mm=gap, where=where
    )


def _paints(document: Mapping[str, Any], path: Path) -> tuple[Paint, ...]:
    if "paints" in document and "paint" in document:
        what = "it names a paint file and lists paints as well"
        raise InputError(str(path), what, "keep either paints = … or the [[paint]] tables")
    if "paint" in document:
        tables = take_tables(document, "paint", where=str(path))
        return paints_from_tables(tables, where=str(path), folder=path.parent)
    if "paints" not in document:
        mend = 'write paints = "paints.toml", or a [[paint]] table for each can'
        raise InputError(str(path), "it names no paints", mend)
    return read_paints(find_named(path.parent, take_text(document, "paints", where=str(path))))


def _lights(document: Mapping[str, Any], path: Path) -> tuple[Light, ...]:
    if "lights" not in document:
        return (DAYLIGHT, BLACKLIGHT)
    names, where = document["lights"], f"{path}, lights"
    mend = 'write lights = ["daylight", "blacklight"]'
    if not isinstance(names, list) or not names or not all(isinstance(name, str) for name in names):
        raise InputError(where, f"{names!r} is not a list of names", mend)
    if len(set(names)) < len(names):
        raise InputError(where, "a light is named twice", "keep each light once")
    return tuple(light_by_name(name, where=where, folder=path.parent) for name in names)


def _rules(document: Mapping[str, Any], path: Path) -> tuple[Rule, ...]:
    if "rules" in document and "rule" in document:
        what = "it names a rule file and lists rules as well"
        raise InputError(str(path), what, "keep either rules = … or the [[rule]] tables")
    if "rules" in document:
        path = find_named(path.parent, take_text(document, "rules", where=str(path)))
        document = FORMATS["rules"].newest(read_toml(path), where=str(path))
        refuse_unknown_keys(document, ("name", "rule"), where=str(path))
    return _rules_of(document, path.parent, where=str(path))


def _rules_of(document: Mapping[str, Any], folder: Path, *, where: str) -> tuple[Rule, ...]:
    tables = [
        facing_from_files(table, folder, where=f"{where}, rule {number}")
        if table.get("kind") == "seam" and "panel" in table
        else table
        for number, table in enumerate(take_tables(document, "rule", where=where), 1)
    ]
    if not tables:
        mend = 'add [[rule]] with kind = "clash", or rules = "rules.toml"'
        raise InputError(where, "it states no rules", mend)
    return rules_from_document(tables, where=where)


def _aims(document: Mapping[str, Any], path: Path) -> tuple[Aim, ...]:
    given, where = document.get("aims", list(DEFAULT_AIMS)), f"{path}, aims"
    if not isinstance(given, list) or not all(isinstance(aim, str) for aim in given):
        mend = 'write aims = ["weakest-pair within 2", "contrast"]'
        raise InputError(where, f"{given!r} is not a list of aims", mend)
    return read_aims(given, where=where)


def _spans(document: Mapping[str, Any], path: Path) -> tuple[float, float]:
    table, where = document.get("neighbours", {}), f"{path}, neighbours"
    if not isinstance(table, dict):
        raise InputError(where, "this is not a table", 'write [neighbours] and reach = "160 mm" below it')
    refuse_unknown_keys(table, ("reach", "min_border"), where=where)
    reach, border = DEFAULT_REACH_MM, DEFAULT_MIN_BORDER_MM
    if "reach" in table:
        reach = parse_length(table["reach"], where=f"{where}, reach")
    if "min_border" in table:
        border = parse_length(table["min_border"], where=f"{where}, min_border")
    return reach, border
