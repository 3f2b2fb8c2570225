"""Reads the numbers of the code, by its syntax tree, and those of the page that lists them.

What counts, and how the page writes it, is told at the head of ``palette/data/NUMBERS.md``.
"""

from __future__ import annotations

import ast
import math
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

import palette

ROOT = Path(palette.__file__).parent
PAGE = ROOT / "data" / "NUMBERS.md"

# Rooms and modules that only draw, show, parse or keep files: what they hold may be listed, and need not.
DRAWING = (
    "cli", "page", "papers", "filing", "notebook", "batch", "errors",
    "reading", "references", "markup", "parsing", "formats", "lanes", "scheme_file",
    "inspection/files", "inspection/legend", "inspection/marking", "inspection/overlaying",
    "preview/canvas", "preview/collision_map", "preview/compact", "preview/contact_sheet", "preview/looks",
    "preview/names", "preview/neighbour_map", "preview/sheet", "preview/swatch_card",
)  # fmt: skip
# Rooms that parse and search: their functions are not walked, their named constants are.
SEARCHING = ("solving", "saving", "layouts", "photos")
# Bounds on what these read, by the way they are called, may be listed, and need not: they stop only what
# nobody means.
READING = (
    "layouts", "photos", "plan_file", "spectral_files", "supplies", "paint_parameters", "light_words",
    "units", "rules/naming", "rules/option",
)  # fmt: skip
GUARD = re.compile(r"_?(MOST|MAX|LONGEST|DEEPEST|FARTHEST|FIRST|LAST|NUMBERS_PER|AT_ONCE)(_|$)")

NEUTRAL = {0, 1, -1}
# They count, halve, turn, change a scale or are rounding slack; alone they say nothing of the world.
PLAIN = {*range(13), 0.5, 60, 90, 180, 255, 256, 360, 3600, *(10.0**k for k in range(-15, 13))}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of the page: where, its names, and for each the numbers it is said to have."""

    where: str
    names: tuple[str, ...]
    values: tuple[str, ...]
    unit: str
    meaning: str
    source: str


def numbers_of(node: ast.AST) -> list[float]:
    """Return the numbers written in an expression, in order, a minus sign with its number."""
    if (
        isinstance(node, ast.UnaryOp)
        and isinstance(node.op, ast.USub)
        and isinstance(node.operand, ast.Constant)
    ):
        return [-value for value in numbers_of(node.operand)]
    if isinstance(node, ast.Constant):
        is_number = isinstance(node.value, (int, float)) and not isinstance(node.value, bool)
        return [node.value] if is_number else []
    return [value for child in ast.iter_child_nodes(node) for value in numbers_of(child)]


def constants_of(path: Path) -> dict[str, ast.expr]:
    """Return module constants, dataclass defaults and keyword defaults that hold numbers, by name."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found: dict[str, ast.expr] = {}
    for node in tree.body:
        for name, value in _assigned(node):
            if re.fullmatch(r"_*[A-Z][A-Z0-9_]*", name) and numbers_of(value):
                found[name] = value
    for owner in ast.walk(tree):
        if isinstance(owner, ast.ClassDef):
            for node in owner.body:
                for name, value in _assigned(node):
                    made = isinstance(value, ast.Call) and ast.unparse(value.func) == "field"
                    if not made and set(numbers_of(value)) - NEUTRAL:
                        found[f"{owner.name}.{name}"] = value
        if isinstance(owner, ast.FunctionDef):
            given = owner.args
            ordinary = [*given.posonlyargs, *given.args]
            last = ordinary[len(ordinary) - len(given.defaults) :]
            pairs = [*zip(last, given.defaults, strict=True)]
            pairs += zip(given.kwonlyargs, given.kw_defaults, strict=True)
            for argument, default in pairs:
                if default is not None and set(numbers_of(default)) - NEUTRAL:
                    found[f"{owner.name}.{argument.arg}"] = default
    return found


def formulas_of(path: Path) -> dict[str, list[float]]:
    """Return the telling numbers inside each function, by ``name()`` or ``Class.name()``."""
    if lies_in(path, DRAWING + SEARCHING):
        return {}
    found: dict[str, list[float]] = {}

    def walk(node: ast.AST, outer: str) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.ClassDef):
                walk(child, f"{outer}{child.name}.")
            elif isinstance(child, ast.FunctionDef):
                written = [abs(value) for line in child.body for value in numbers_of(line)]
                telling = [value for value in dict.fromkeys(written) if value not in PLAIN]
                if telling:
                    found[f"{outer}{child.name}()"] = telling

    walk(ast.parse(path.read_text(encoding="utf-8")), "")
    return found


def where_of(path: Path) -> str:
    """Return how the page names a module: ``optics/film``."""
    return str(path.relative_to(ROOT).with_suffix("")).removesuffix("/__init__")


def lies_in(path: Path, rooms: tuple[str, ...]) -> bool:
    """Return whether a module is one of some rooms, or in one."""
    where = where_of(path)
    return any(where == room or where.startswith(f"{room}/") for room in rooms)


def modules() -> list[Path]:
    """Return all modules of the package."""
    return sorted(ROOT.rglob("*.py"))


def rows_of_page() -> list[Row]:
    """Return the rows of the page's tables of constants."""
    rows = []
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
        if line.startswith("| `") and len(cells) == 6:
            where, names, values, unit, meaning, source = cells
            rows.append(
                Row(
                    where=where.strip("`"), names=tuple(name.strip("` ") for name in names.split(", ")),
                    values=tuple(value.strip() for value in values.split("; ")),
                    unit=unit, meaning=meaning, source=source,
                )
            )  # fmt: skip
    return rows


def says(cell: str, numbers: list[float]) -> bool:
    """Return whether a value cell states these numbers: one by one, or their count and sum."""
    counted = re.fullmatch(r"(\d+) numbers, sum (\S+)", cell)
    if counted:
        same_sum = math.isclose(math.fsum(numbers), float(counted[2]), rel_tol=1e-5, abs_tol=1e-9)
        return len(numbers) == int(counted[1]) and same_sum
    bare = re.sub(r"'[^']*'", "", cell.strip("`"))
    stated = re.findall(r"(?<![\w.])(?:(?<=[\s(\[,])-|(?<=^)-)?\d+(?:\.\d+)?(?:e[+-]?\d+)?(?![\w.])", bare)
    return [float(text) for text in stated] == [float(value) for value in numbers]


def cell_of(value: ast.expr | list[float]) -> str:
    """Return the cell that states a constant's or a formula's numbers."""
    numbers = value if isinstance(value, list) else numbers_of(value)
    text = ", ".join(f"{n!r}" for n in value) if isinstance(value, list) else ast.unparse(value)
    text = re.sub(r"^np\.array\((.*?)(, float)?\)$", r"\1", text)
    if len(text) > 64 or "; " in text or "|" in text:
        return f"{len(numbers)} numbers, sum {math.fsum(numbers):.8g}"
    return f"`{text}`"


def _assigned(node: ast.stmt) -> list[tuple[str, ast.expr]]:
    if isinstance(node, ast.AnnAssign) and node.value is not None:
        return [(ast.unparse(node.target), node.value)]
    if not isinstance(node, ast.Assign):
        return []
    target, value = node.targets[0], node.value
    if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
        return [(ast.unparse(t), v) for t, v in zip(target.elts, value.elts, strict=True)]
    return [(ast.unparse(target), value)]


def data_files() -> list[Path]:
    """Return the data files of the package that hold numbers."""
    return sorted(path for path in (ROOT / "data").rglob("*") if path.suffix in {".csv", ".toml"})


def numbers_of_file(path: Path) -> list[float]:
    """Return all numbers of a data file, in its order; comments and words are none."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".csv":
        cells = (cell for line in text.splitlines() if not line.startswith("#") for cell in line.split(","))
        return [float(cell) for cell in cells if re.fullmatch(r"-?\d+(\.\d+)?(e-?\d+)?", cell.strip())]

    def flat(value: object) -> list[float]:
        if isinstance(value, dict):
            return [number for part in value.values() for number in flat(part)]
        if isinstance(value, list):
            return [number for part in value for number in flat(part)]
        return [float(value)] if isinstance(value, (int, float)) and not isinstance(value, bool) else []

    return flat(tomllib.loads(text))
